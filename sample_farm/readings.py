"""Visits and readings: heights, ties, flowers and fruit of every marked plant, as keyed in."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import Any

from bayround.facts.farm import MarkedPlant
from bayround.facts.rounds import PlantState, Reading, Visit, VisitState

from .chance import fact_id, half_up, normal, stream
from .fruit import PlantFruit
from .growth import BayHeights
from .scenario import BayPlan, CropPlan, Scenario, start_of_rounds
from .set_up import SetUp
from .walks import PlannedVisit


def visits(scenario: Scenario, set_up: SetUp, planned: tuple[PlannedVisit, ...]) -> tuple[Visit, ...]:
    """Return the finished visits, each with its time of day (UTC) and note."""
    notes = {(entry["bay"], entry["week"]): entry["text"] for entry in scenario.tables["visit_note"]}
    minutes = scenario.tables["rounds"]["minutes_a_bay"]
    found = []
    for visit in planned:
        round_started = datetime.combine(visit.day, start_of_rounds(scenario), UTC)
        started = round_started + timedelta(minutes=minutes * visit.place)
        found.append(
            Visit(
                id=visit.id,
                round_id=visit.round_id,
                bay_id=set_up.bays[visit.bay.name].id,
                planting_id=set_up.plantings[visit.bay.name].id,
                visited_on=visit.day,
                scout_id=set_up.people[visit.scout].id,
                state=VisitState.DONE,
                started_at=started,
                finished_at=started + timedelta(minutes=minutes - 1),
                note=notes.get((visit.bay.name, str(visit.week)), ""),
            )
        )
    return tuple(found)


def of_bay(
    scenario: Scenario,
    seed: int,
    bay: BayPlan,
    plants: tuple[MarkedPlant, ...],
    planned: list[PlannedVisit],
    heights: BayHeights,
    fruit: tuple[PlantFruit, ...],
) -> tuple[Reading, ...]:
    """Return the bay's readings. The marked plants are the first of the plants that were played through."""
    crop = scenario.crops[bay.crop]
    rng = stream(seed, bay.name, "extra fields")
    skipped = {(e["week"], e["plant"]): e["note"] for e in scenario.tables["skipped"] if e["bay"] == bay.name}
    died = {(e["week"], e["plant"]): e["why"] for e in scenario.tables["died"] if e["bay"] == bay.name}
    found = []
    for visit in planned:
        for place, plant in enumerate(plants):
            if (visit.day, plant.id) not in heights.read:
                continue
            named: dict[str, Any] = {
                "id": fact_id(seed, visit.day, "reading", visit.day, bay.name, plant.number),
                "visit_id": visit.id,
                "marked_plant_id": plant.id,
            }
            when = (str(visit.week), plant.number)
            if when in skipped:
                found.append(Reading(**named, state=PlantState.SKIPPED, note=skipped[when]))
            elif when in died:
                found.append(Reading(**named, state=PlantState.DEAD, note=died[when]))
            else:
                numbers = _numbers(crop, bay, visit.day, heights, plant, fruit[place], rng)
                found.append(Reading(**named, **numbers))
    return tuple(found)


def _numbers(
    crop: CropPlan,
    bay: BayPlan,
    day: date,
    heights: BayHeights,
    plant: MarkedPlant,
    fruit: PlantFruit,
    rng: Random,
) -> dict[str, Any]:
    read, counts = heights.read[day, plant.id], fruit.counts[day]
    age_days = (day - bay.transplanted_on).days
    numbers: dict[str, float] = {
        "height_cm": read.height_cm,
        "last_tie_cm": read.last_tie_cm,
        "flowers": counts.flowers,
        "fruit_set": counts.fruit_set,
        "fruit_green": counts.fruit_green,
    }
    if crop.picked_at != "green":
        numbers |= {"fruit_turning": counts.fruit_turning, "fruit_coloured": counts.fruit_coloured}
    extra: dict[str, float] = {
        "trusses": counts.trusses,
        "stem_diameter_mm": _stem_diameter_mm(age_days, rng),
        "leaves": _leaves(crop, age_days, rng),
    }
    return numbers | {field: extra[field] for field in crop.extra_fields}


def _stem_diameter_mm(age_days: int, rng: Random) -> float:
    """Return a stem that starts thin, is thickest before the first fruit and thins a little under its load."""
    weeks = age_days / 7
    usual = 6.5 + 0.9 * weeks if weeks < 6 else 11.9 - 0.1 * (weeks - 6)
    return round(half_up(normal(rng, usual, 0.6), 0.1), 1)


def _leaves(crop: CropPlan, age_days: int, rng: Random) -> float:
    return min(3 + int(crop.leaves_per_week * age_days / 7), crop.leaves_kept) + int(rng.random() * 3)
