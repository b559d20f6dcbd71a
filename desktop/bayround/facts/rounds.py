"""What a round saw: visits, readings of marked plants, checks, cards, weeds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

READING_FIELDS = (
    "height_cm",
    "last_tie_cm",
    "stem_diameter_mm",
    "nodes",
    "trusses",
    "leaves",
    "flowers",
    "fruit_set",
    "fruit_green",
    "fruit_turning",
    "fruit_coloured",
    "fruit_picked",
)
"""Every number a reading can hold; a crop profile says which of them are keyed in."""

FRUIT_FIELDS = ("fruit_set", "fruit_green", "fruit_turning", "fruit_coloured")
"""The fruit a plant carries, by stage."""


class VisitState(StrEnum):
    """A visit is a draft until it is finished; afterwards only corrections change it."""

    DRAFT = "draft"
    DONE = "done"


class PlantState(StrEnum):
    """What the scout found in place of the marked plant."""

    STANDING = "standing"
    SKIPPED = "skipped"
    DEAD = "dead"


@dataclass(frozen=True, slots=True)
class Round:
    """A dated walk of the bays by one scout."""

    id: str
    held_on: date
    scout_id: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Visit:
    """One bay in one round."""

    id: str
    round_id: str
    bay_id: str
    planting_id: str
    visited_on: date
    scout_id: str
    state: VisitState = VisitState.DRAFT
    started_at: datetime | None = None
    finished_at: datetime | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """One marked plant at one visit; a missing number was not taken (zero is a number)."""

    id: str
    visit_id: str
    marked_plant_id: str
    state: PlantState = PlantState.STANDING
    height_cm: float | None = None
    last_tie_cm: float | None = None
    stem_diameter_mm: float | None = None
    nodes: float | None = None
    trusses: float | None = None
    leaves: float | None = None
    flowers: float | None = None
    fruit_set: float | None = None
    fruit_green: float | None = None
    fruit_turning: float | None = None
    fruit_coloured: float | None = None
    fruit_picked: float | None = None
    note: str = ""

    def value(self, field: str) -> float | None:
        """Return the number of one of `READING_FIELDS`."""
        if field not in READING_FIELDS:
            raise KeyError(field)
        found: float | None = getattr(self, field)
        return found

    @property
    def fruit(self) -> float | None:
        """Fruit carried: the stages that were counted, added; missing when none was."""
        counted = [number for field in FRUIT_FIELDS if (number := self.value(field)) is not None]
        return sum(counted) if counted else None


@dataclass(frozen=True, slots=True)
class PestCheck:
    """One organism looked for at one visit: units inspected, infested, individuals counted."""

    id: str
    visit_id: str
    organism: str
    inspected_part: str
    inspected: int
    infested: int
    counted: int | None = None
    severity_percent: float | None = None
    where: str = ""


@dataclass(frozen=True, slots=True)
class CardCount:
    """Insects on one sticky card over the days it hung."""

    id: str
    visit_id: str
    card: str
    organism: str
    count: int
    days_hung: float
    area_cm2: float | None = None
    colour: str = ""


@dataclass(frozen=True, slots=True)
class WeedNote:
    """Weed cover of the bay's ground, in percent."""

    id: str
    visit_id: str
    cover_percent: float
    seeding: bool = False
    species: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class DoubtAnswer:
    """A doubtful value that the scout looked at again and let stand."""

    id: str
    visit_id: str
    marked_plant_id: str
    field: str
    value: float
    rule: str
    answered_at: datetime | None = None
