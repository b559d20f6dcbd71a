"""The farm as set up: houses, bays, plantings, marked plants, people."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class HouseKind(StrEnum):
    """What covers the crop."""

    NET_HOUSE = "net house"
    GREENHOUSE = "greenhouse"
    TUNNEL = "tunnel"
    OPEN_BED = "open bed"


class ColourAim(StrEnum):
    """Whether a planting is meant to be picked green or coloured."""

    GREEN = "green"
    COLOURED = "coloured"


class Role(StrEnum):
    """What a person does; it says who, it protects nothing."""

    SCOUT = "scout"
    SUPERVISOR = "supervisor"
    MANAGER = "manager"
    WORKER = "worker"


@dataclass(frozen=True, slots=True)
class FarmInfo:
    """The farm itself; *revision* counts the changes written to its file."""

    id: str
    name: str
    invented: bool = False
    currency: str = ""
    revision: int = 0
    opened_on: date | None = None


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who walks, works or decides."""

    id: str
    name: str
    role: Role = Role.SCOUT
    hours_per_week: float | None = None
    active: bool = True


@dataclass(frozen=True, slots=True)
class House:
    """A net house, greenhouse, tunnel or open bed. Map places are metres east and north of a corner."""

    id: str
    name: str
    kind: HouseKind
    length_m: float
    width_m: float
    wire_height_m: float | None = None
    cover: str = ""
    cover_fitted_on: date | None = None
    map_east_m: float | None = None
    map_north_m: float | None = None
    position: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class Bay:
    """A part of a house that is walked, judged and worked as one. *position* is the walk order."""

    id: str
    house_id: str
    name: str
    rows: int
    length_m: float
    width_m: float
    position: int = 0
    retired_on: date | None = None

    @property
    def area_m2(self) -> float:
        """Gross area, length × width."""
        return self.length_m * self.width_m


@dataclass(frozen=True, slots=True)
class Planting:
    """One crop in one bay from transplanting to removal."""

    id: str
    bay_id: str
    crop: str
    variety: str
    transplanted_on: date
    plants: int
    stems_per_plant: int = 2
    training: str = ""
    colour_aim: ColourAim = ColourAim.COLOURED
    removed_on: date | None = None
    note: str = ""

    def stands_on(self, day: date) -> bool:
        """Tell whether the crop stands on *day*."""
        return self.transplanted_on <= day and (self.removed_on is None or day < self.removed_on)

    def age_days(self, day: date) -> int:
        """Days after transplanting."""
        return (day - self.transplanted_on).days


@dataclass(frozen=True, slots=True)
class PlantChoice:
    """How a plant came to be marked: drawn with *seed*, or *targeted* for what was seen on it.

    Targeted plants are read like the others and kept out of every mean: they say nothing about the bay.
    """

    id: str
    marked_plant_id: str
    seed: int | None = None
    targeted: bool = False


@dataclass(frozen=True, slots=True)
class MarkedPlant:
    """A plant measured at every round. A replaced plant starts a new series."""

    id: str
    planting_id: str
    number: int
    row: int
    position: int
    stems: int | None = None
    marked_on: date | None = None
    ended_on: date | None = None
    ended_why: str = ""
    replaces_id: str | None = None

    @property
    def label(self) -> str:
        """Short name on sheets and screens: number, row and position in the row."""
        return f"{self.number} · r{self.row} p{self.position}"
