"""Who walked which bay on which day: the rounds of the season, missed bays left out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from bayround.facts.rounds import Round
from bayround.facts.weeks import Week

from .chance import fact_id
from .scenario import BayPlan, Scenario


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """One bay walked on one day by one scout. *place* counts the bays of the round."""

    bay: BayPlan
    week: Week
    day: date
    scout: str
    place: int


def visits(scenario: Scenario) -> tuple[PlannedVisit, ...]:
    """Return all visits in the order they were walked; a bay is walked from its transplanting on."""
    missed = {(entry["bay"], Week.parse(entry["week"])) for entry in scenario.tables["missed"]}
    found = []
    for week in scenario.weeks:
        for walk in scenario.tables["walk"]:
            day = week.monday + timedelta(days=walk["weekday"] - 1)
            bays = [bay for bay in scenario.bays if bay.house in walk["houses"] and bay.transplanted_on < day]
            walked = [bay for bay in bays if (bay.name, week) not in missed]
            scout = _scout(scenario, walk, week)
            found += [PlannedVisit(bay, week, day, scout, place) for place, bay in enumerate(walked)]
    return tuple(found)


def round_id(seed: int, visit: PlannedVisit) -> str:
    """Return the key of the round a visit belongs to."""
    return fact_id(seed, visit.day, "round", visit.day, visit.scout)


def visit_id(seed: int, visit: PlannedVisit) -> str:
    """Return the key of a visit."""
    return fact_id(seed, visit.day, "visit", visit.day, visit.bay.name)


def rounds(
    scenario: Scenario, seed: int, planned: tuple[PlannedVisit, ...], person_ids: dict[str, str]
) -> tuple[Round, ...]:
    """Return one round a scout and day; what was missed stands in its note."""
    house_scouts = {(visit.week, visit.bay.house): visit for visit in planned}
    notes: dict[str, str] = {}
    for entry in scenario.tables["missed"]:
        house = next(bay.house for bay in scenario.bays if bay.name == entry["bay"])
        notes[round_id(seed, house_scouts[Week.parse(entry["week"]), house])] = entry["note"]
    found = {}
    for visit in planned:
        key = round_id(seed, visit)
        found[key] = Round(key, visit.day, person_ids[visit.scout], notes.get(key, ""))
    return tuple(found.values())


def _scout(scenario: Scenario, walk: dict[str, Any], week: Week) -> str:
    scouts = [entry["scout"] for entry in scenario.tables["walk"]]
    swapped = str(week) in scenario.tables["rounds"]["scouts_swap_houses_in"]
    step = 1 if swapped else 0
    name: str = scouts[(scouts.index(walk["scout"]) + step) % len(scouts)]
    return name
