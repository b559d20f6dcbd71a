"""Crop profiles and organism lists: every agronomic number, read from `resources/` and checked."""

from bayround.crops.loading import load_crops
from bayround.crops.organisms import (
    DensityRelation,
    Organism,
    OrganismKind,
    SequentialPlan,
    Species,
    Threshold,
    ThresholdKind,
)
from bayround.crops.overrides import apply_overrides
from bayround.crops.profile import (
    Basis,
    CropProfile,
    Crops,
    FruitStage,
    LoadBandPoint,
    ReadingField,
    SourcedNumber,
)

__all__ = [
    "Basis",
    "CropProfile",
    "Crops",
    "DensityRelation",
    "FruitStage",
    "LoadBandPoint",
    "Organism",
    "OrganismKind",
    "ReadingField",
    "SequentialPlan",
    "SourcedNumber",
    "Species",
    "Threshold",
    "ThresholdKind",
    "apply_overrides",
    "load_crops",
]
