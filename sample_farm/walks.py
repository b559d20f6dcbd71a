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

    id: str
    round_id: str
    bay: BayPlan
    week: Week
    day: date
    scout: str
    place: int


def visits(scenario: Scenario, seed: int) -> tuple[PlannedVisit, ...]:
    """Return all visits in the order they were walked; a bay is walked from its transplanting on."""
    missed = {(entry["bay"], Week.parse(entry["week"])) for entry in scenario.tables["missed"]}
    found = []
    for week in scenario.weeks:
        for walk in scenario.tables["walk"]:
            day = week.monday + timedelta(days=walk["weekday"] - 1)
            bays = [bay for bay in scenario.bays if bay.house in walk["houses"] and bay.transplanted_on < day]
            walked = [bay for bay in bays if (bay.name, week) not in missed]
            scout = _scout(scenario, walk, week)
            round_id = fact_id(seed, day, "round", day, scout)
            for place, bay in enumerate(walked):
                visit_id = fact_id(seed, day, "visit", day, bay.name)
                found.append(PlannedVisit(visit_id, round_id, bay, week, day, scout, place))
    return tuple(found)


def rounds(
    scenario: Scenario, planned: tuple[PlannedVisit, ...], person_ids: dict[str, str]
) -> tuple[Round, ...]:
    """Return one round a scout and day; what was missed stands in its note."""
    visits_of_house = {(visit.week, visit.bay.house): visit for visit in planned}
    notes: dict[str, str] = {}
    for entry in scenario.tables["missed"]:
        house = next(bay.house for bay in scenario.bays if bay.name == entry["bay"])
        notes[visits_of_house[Week.parse(entry["week"]), house].round_id] = entry["note"]
    found = {}
    for visit in planned:
        note = notes.get(visit.round_id, "")
        found[visit.round_id] = Round(visit.round_id, visit.day, person_ids[visit.scout], note)
    return tuple(found.values())


def _scout(scenario: Scenario, walk: dict[str, Any], week: Week) -> str:
    scouts = [entry["scout"] for entry in scenario.tables["walk"]]
    swapped = str(week) in scenario.tables["rounds"]["scouts_swap_houses_in"]
    step = 1 if swapped else 0
    name: str = scouts[(scouts.index(walk["scout"]) + step) % len(scouts)]
    return name
