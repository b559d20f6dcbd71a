"""What is picked, bay by bay: what is typed, what is written down already, the day as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from bayround.facts.bay_past import BayPast
from bayround.facts.farm import Person
from bayround.facts.work import Correction, Pick
from bayround.figures.figure import Figure


@dataclass(frozen=True, slots=True)
class PickEntry:
    """What was picked of one grade and colour in one bay."""

    kg: float
    fruit: int | None = None
    grade: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class PickChange:
    """A pick kept before, and the right numbers."""

    before: Pick
    kg: float
    fruit: int | None = None


@dataclass(frozen=True, slots=True)
class PickLine:
    """One bay with a crop on the day: what is written down already, and how it stands.

    *figures*: picked this week, to date (kg, kg/m² gross, kg/plant), foreseen. *stopped*: why nobody may pick
    on the day, judged from its first moment.
    """

    bay_id: str
    name: str
    planting_id: str
    area_m2: float
    usual_colour: str
    usual_weight_kg: float
    picked: tuple[Pick, ...]
    figures: Mapping[str, Figure]
    stopped: tuple[str, ...]
    past: BayPast
    inside: tuple[str, ...] = ()
    """What was picked on the day and lies inside an interval, in words, with its explanation or the lack of one."""


@dataclass(frozen=True, slots=True)
class PickDay:
    """All bays of one day, in walk order, and what is chosen from."""

    day: date
    lines: tuple[PickLine, ...]
    grades: tuple[str, ...]
    colours: tuple[str, ...]
    people: tuple[Person, ...]
    total: Figure
    history: tuple[Correction, ...] = ()
