"""Picks: on which days a bay was picked, and how much fruit and weight came off it."""

from __future__ import annotations

from datetime import date, timedelta

from bayround.facts.work import Pick

from .chance import fact_id, normal, stream
from .fruit import PlantFruit
from .scenario import BayPlan, Scenario
from .set_up import SetUp

SECOND_GRADE_WEIGHT = 0.85


def days(scenario: Scenario, bay: BayPlan) -> frozenset[date]:
    """Return the days on which pickers walked the bay."""
    stopped = {entry["bay"]: entry["from_day"] for entry in scenario.tables["picking_stopped"]}
    last = scenario.last_day
    if bay.name in stopped:
        last = min(last, stopped[bay.name] - timedelta(days=1))
    every_day = (
        bay.transplanted_on + timedelta(days=step) for step in range((last - bay.transplanted_on).days + 1)
    )
    return frozenset(day for day in every_day if day.isoweekday() in scenario.crops[bay.crop].pick_weekdays)


def of_bay(
    scenario: Scenario, seed: int, set_up: SetUp, bay: BayPlan, plants: tuple[PlantFruit, ...]
) -> tuple[Pick, ...]:
    """Return the bay's picks by grade; a day on which nothing was ripe leaves no record."""
    crew = scenario.tables["jobs"]["crew"]
    second = scenario.crops[bay.crop].second_grade_share
    found = []
    for step, day in enumerate(sorted(plants[0].picked)):
        rng = stream(seed, bay.name, "pick", day)
        per_plant = sum(plant.picked[day] for plant in plants) / len(plants)
        fruit = round(per_plant * bay.plants * normal(rng, 1.0, 0.03))
        poor = round(fruit * second * 2.0 * rng.random())
        weight_g = scenario.varieties[bay.variety].fruit_g * bay.fruit_size * normal(rng, 1.0, 0.03)
        for grade, share_of, each_g in (
            ("first", fruit - poor, weight_g),
            ("second", poor, weight_g * SECOND_GRADE_WEIGHT),
        ):
            kg = round(share_of * each_g / 1000, 1)
            if share_of > 0 and kg > 0:
                found.append(
                    Pick(
                        id=fact_id(seed, day, "pick", day, bay.name, grade),
                        bay_id=set_up.bays[bay.name].id,
                        planting_id=set_up.plantings[bay.name].id,
                        picked_on=day,
                        kg=kg,
                        fruit=share_of,
                        grade=grade,
                        colour=scenario.varieties[bay.variety].colour,
                        picked_by_id=set_up.people[crew[step % len(crew)]].id,
                    )
                )
    return tuple(found)
