"""What the small farm of these tests holds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.farm import Bay, House, Person, Planting

TODAY = date(2026, 10, 20)


@dataclass(frozen=True)
class SmallFarm:
    """An open farm and what is in it."""

    open: OpenFarm
    person: Person
    house: House
    bays: tuple[Bay, Bay]
    plantings: tuple[Planting, Planting]
    moment: Moment
