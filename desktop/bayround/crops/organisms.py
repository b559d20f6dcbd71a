"""The shape of an organism (pest, disease, weed, beneficial) and of the levels at which something is due."""

from dataclasses import dataclass
from typing import Literal

OrganismKind = Literal["pest", "disease", "weed", "beneficial"]
ThresholdKind = Literal["presence", "incidence_percent", "mean_per_unit", "card_per_day", "severity_percent"]
FileBasis = Literal["published", "common practice", "memory"]
CodeBasis = Literal["published", "memory", "none"]

ANY_CROP = "*"


@dataclass(frozen=True, slots=True)
class SequentialPlan:
    """Numbers for looking on one part at a time: leave, act, or keep looking.

    `p_leave` and `p_act` are shares (0 to 1) of infested parts; `alpha` is the chance of acting at `p_leave`,
    `beta` the chance of leaving at `p_act`; after `max_inspected` parts the scout stops undecided.
    """

    p_leave: float
    p_act: float
    alpha: float
    beta: float
    max_inspected: int
    source: str
    basis: FileBasis


@dataclass(frozen=True, slots=True)
class Threshold:
    """A level at which something is due.

    "presence" (value 1): the first find is due, where it was found. All other kinds: the whole bay is due at
    `value`, in `unit`, measured on `part` ("" for presence and cards). Where a source prints a range,
    `value` is its lower and `value_high` its upper end. A part counts as infested from `infested_from_count`
    individuals on.
    `plan` is given for "incidence_percent" and only there.
    """

    kind: ThresholdKind
    crops: tuple[str, ...]
    value: float
    value_high: float | None
    unit: str
    part: str
    infested_from_count: int
    source: str
    basis: FileBasis
    applies_note: str
    plan: SequentialPlan | None


@dataclass(frozen=True, slots=True)
class DensityRelation:
    """A published line from the share of infested parts to the mean count per part.

    ln(mean) = intercept + slope · ln(-ln(1 - share)), share of parts with more than `tally` individuals
    (Kono & Sugino 1958; Nachman 1984). `unit` is that of the mean.
    """

    crops: tuple[str, ...]
    part: str
    tally: int
    intercept: float
    slope: float
    unit: str
    source: str
    basis: FileBasis
    applies_note: str


@dataclass(frozen=True, slots=True)
class Species:
    """A scientific name with its EPPO code ("" when none is given) and where that code comes from."""

    scientific_name: str
    eppo_code: str
    eppo_code_basis: CodeBasis


@dataclass(frozen=True, slots=True)
class Organism:
    """One heading under which a scout checks: the main species, others noted with it, and the thresholds."""

    key: str
    kind: OrganismKind
    name: str
    scientific_name: str
    eppo_code: str
    eppo_code_basis: CodeBasis
    inspect: tuple[str, ...]
    default_inspect: str
    counting: bool
    severity: bool
    look_for: str
    caution: str
    also: tuple[Species, ...]
    thresholds: tuple[Threshold, ...]
    density_relations: tuple[DensityRelation, ...]

    def thresholds_for(self, crop_key: str) -> tuple[Threshold, ...]:
        """All thresholds that hold for a crop, in file order, those written for that very crop first."""
        own = tuple(threshold for threshold in self.thresholds if crop_key in threshold.crops)
        general = tuple(threshold for threshold in self.thresholds if ANY_CROP in threshold.crops)
        return own + general

    def threshold_for(
        self, crop_key: str, kind: ThresholdKind, part: str | None = None, infested_from_count: int = 1
    ) -> Threshold | None:
        """The threshold of one kind for a crop, or None.

        A row for the crop itself goes before a "*" row. `part`: only a threshold measured on that part (a
        share of leaves says nothing about flowers); None takes the first of any part. Rows that count a
        part as infested only from 2, 3, ... individuals on are found only when `infested_from_count` asks so.
        """
        for threshold in self.thresholds_for(crop_key):
            if threshold.kind != kind or threshold.infested_from_count != infested_from_count:
                continue
            if part is None or threshold.part == part:
                return threshold
        return None

    def density_relation_for(self, crop_key: str, part: str) -> DensityRelation | None:
        """The published line from share infested to mean count for a crop and part, or None."""
        for relation in self.density_relations:
            if relation.part == part and (crop_key in relation.crops or ANY_CROP in relation.crops):
                return relation
        return None
