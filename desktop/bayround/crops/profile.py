"""The shape of a crop profile: what is keyed in for a plant, and every number the program uses for that crop.

All objects are frozen. They are made by `loading.load_crops` and changed only by `overrides.apply_overrides`,
which makes new ones.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bayround.crops.organisms import Organism

Basis = Literal["published", "common practice", "memory", "farm"]
FruitStage = Literal["flower", "set", "green", "turning", "coloured"]
DegreeDayMethod = Literal["simple_average", "modified_average", "single_triangle", "single_sine"]

FRUIT_STAGES: tuple[FruitStage, ...] = ("flower", "set", "green", "turning", "coloured")


@dataclass(frozen=True, slots=True)
class SourcedNumber:
    """One agronomic number with its unit and where it comes from.

    `basis` is "farm" once a farm has put in its own value; `original` is then the value in the crop file,
    and `source` still names the origin of that file value after the words that say it was replaced.
    """

    name: str
    value: float
    unit: str
    source: str
    basis: Basis
    label: str
    note: str = ""
    original: float | None = None


@dataclass(frozen=True, slots=True)
class ReadingField:
    """One thing a scout keys in for a marked plant.

    Outside `hard_low..hard_high` a value is impossible, outside `soft_low..soft_high` doubtful, in `unit`
    ("" for a count on the whole plant). A `monotone` field never falls on the same plant. A rise of more than
    `max_rise_per_week` is doubtful (None: no limit). `usual_spread` is the standard deviation of a plant's weekly change (monotone) or level (counts:
    on a square-root scale, where it is 1), `plant_spread` that between plants; a fall up to `measuring_error` is let
    pass. `stage` is "" where no flowers or fruit are counted.
    """

    key: str
    label: str
    hint: str
    unit: str
    decimals: int
    hard_low: float
    hard_high: float
    soft_low: float
    soft_high: float
    monotone: bool
    max_rise_per_week: float | None
    usual_spread: float
    plant_spread: float
    measuring_error: float
    counts_as_fruit: bool
    stage: FruitStage | Literal[""]
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class LoadBandPoint:
    """The fruit a crop should carry (set, green, turning and coloured, per m² of bay) at one age.

    `original_low_per_m2` and `original_high_per_m2` hold the file's values once a farm has put in its own.
    """

    weeks_after_transplanting: float
    low_per_m2: float
    high_per_m2: float
    source: str
    basis: Basis
    note: str = ""
    original_low_per_m2: float | None = None
    original_high_per_m2: float | None = None


@dataclass(frozen=True, slots=True)
class CropProfile:
    """Everything the program believes about one crop.

    `pick_stages` are the stages at which it is picked, the usual one first. `organisms` are the keys
    looked for on every round. Both temperatures and the heat sum belong to `degree_day_method`.
    """

    key: str
    name: str
    eppo_code: str
    scientific_name: str
    pick_stages: tuple[FruitStage, ...]
    degree_day_method: DegreeDayMethod
    organisms: tuple[str, ...]
    fields: tuple[ReadingField, ...]
    numbers: Mapping[str, SourcedNumber]
    load_band: tuple[LoadBandPoint, ...]

    def number(self, name: str) -> SourcedNumber:
        """The number called `name`. Raises KeyError, in words, when the profile has none of that name."""
        try:
            return self.numbers[name]
        except KeyError:
            raise KeyError(f"The crop profile of {self.name} has no number called '{name}'.") from None

    def field(self, key: str) -> ReadingField:
        """The reading field called `key`. Raises KeyError, in words, when this crop has no such field."""
        for field in self.fields:
            if field.key == key:
                return field
        known = ", ".join(field.key for field in self.fields)
        raise KeyError(f"No field '{key}' is keyed in for {self.name}. Its fields are: {known}.")


@dataclass(frozen=True, slots=True)
class Crops:
    """All crop profiles and organisms, by key."""

    profiles: Mapping[str, CropProfile]
    organisms: Mapping[str, Organism]

    def profile(self, key: str) -> CropProfile:
        """The profile of one crop. Raises KeyError, in words, for an unknown crop."""
        try:
            return self.profiles[key]
        except KeyError:
            known = ", ".join(sorted(self.profiles))
            raise KeyError(f"There is no crop profile called '{key}'. Known crops: {known}.") from None

    def organism(self, key: str) -> Organism:
        """One organism. Raises KeyError, in words, for an unknown one."""
        try:
            return self.organisms[key]
        except KeyError:
            raise KeyError(f"There is no organism called '{key}' in organisms.toml.") from None
