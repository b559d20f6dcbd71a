"""A small farm to bring files into: two houses, four bays of pepper, two rounds behind it, one bay treated."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import factory
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.farm import Bay, House, MarkedPlant, Person, Planting, Role
from bayround.facts.rounds import Reading, Round, Visit, VisitState
from bayround.facts.work import TreatmentBay
from bayround.records import write_setup

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
ROUNDS = (date(2026, 11, 10), date(2026, 11, 17))
TREATED_AT = datetime(2026, 11, 22, 9, 0, tzinfo=UTC)
PRE_HARVEST_DAYS = 7.0
PLANTS = 5
SCOUT, OTHER = "Alder", "Birch"


def numbers(bay: int, plant: int, week: int) -> dict[str, float]:
    """Return what was read on a plant: every bay, plant and week differs, and all of it is likely."""
    return {
        "height_cm": 88.0 + 6.0 * week + 1.5 * bay + plant,
        "last_tie_cm": 80.0 + 6.0 * week,
        "flowers": float((plant + bay) % 4),
        "fruit_set": float((plant + week) % 3),
        "fruit_green": float((plant * 2 + bay) % 5),
        "fruit_turning": float(plant % 2),
        "fruit_coloured": 0.0,
    }


@dataclass(frozen=True)
class Placed:
    """A bay with what stands in it."""

    house: House
    bay: Bay
    planting: Planting
    plants: tuple[MarkedPlant, ...]


def make(path: Path) -> None:
    """Write the farm."""
    scout, other = factory.person(name=SCOUT), factory.person(name=OTHER, role=Role.WORKER)
    facts: list[object] = [scout, other]
    rounds = [Round(factory.key(), day, scout.id) for day in ROUNDS]
    facts += rounds
    number = 0
    for house_number in (1, 2):
        house = factory.house(name=f"Net house {house_number}", position=house_number)
        facts.append(house)
        for bay_number in (1, 2):
            number += 1
            bay = factory.bay(house, name=f"Bay {bay_number}", position=bay_number)
            planting = factory.planting(bay, variety=f"Variety P{number}")
            plants = factory.plants(planting, PLANTS)
            facts += [bay, planting, *plants]
            for week, walked in enumerate(rounds):
                visit = Visit(
                    factory.key(), walked.id, bay.id, planting.id, walked.held_on, scout.id, VisitState.DONE,
                    NOW - timedelta(days=20), NOW - timedelta(days=20),
                )  # fmt: skip
                facts.append(visit)
                facts += [
                    Reading(factory.key(), visit.id, plant.id, **numbers(number, plant.number, week))
                    for plant in plants
                ]
            if number == 1:
                treatment = factory.treatment(
                    TREATED_AT, re_entry_hours=12.0, pre_harvest_days=PRE_HARVEST_DAYS
                )
                facts += [treatment, TreatmentBay(factory.key(), treatment.id, bay.id)]
    farm = farm_actions.create(path, "Test farm")
    write_setup.add(farm.store, *facts)
    farm.close()


@dataclass(frozen=True)
class Desk:
    """An open farm with a person at it."""

    farm: OpenFarm
    folder: Path

    @property
    def moment(self) -> Moment:
        return Moment(TODAY, NOW, self.person(SCOUT).id)

    def person(self, name: str) -> Person:
        from bayround.records import read_parts

        return next(one for one in read_parts.read_setup(self.farm.store).people if one.name == name)

    def text(self, name: str, text: str, encoding: str = "utf-8") -> Path:
        """Write a text file."""
        path = self.folder / name
        path.write_bytes(text.encode(encoding))
        return path
