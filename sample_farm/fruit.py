"""Flowers and fruit of one plant, day by day: what hung on it at each visit and what was picked from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from random import Random

from .chance import normal, poisson, stream
from .scenario import BayPlan, CropPlan, Scenario
from .weather import HouseWeather, heat

PLANTS_FOLLOWED = 26
"""Plants of a bay that are played through; the marked ones are among them, the picks come from all."""

FOUND_BY_PICKERS = 0.93
NEVER = float("inf")


@dataclass(frozen=True, slots=True)
class StageCounts:
    """What a scout counts on one plant. *trusses* are flowers so far as whole trusses (tomato)."""

    flowers: int
    fruit_set: int
    fruit_green: int
    fruit_turning: int
    fruit_coloured: int
    trusses: int


@dataclass(frozen=True, slots=True)
class PlantFruit:
    """One plant's season: counts at each visit, fruit taken at each pick."""

    counts: Mapping[date, StageCounts]
    picked: Mapping[date, int]


@dataclass(frozen=True, slots=True)
class Hanging:
    """One fruit: heat at which its flower opened, its own pace, heat at which it drops."""

    opened_at: float
    pace: float
    drops_at: float


@dataclass(frozen=True, slots=True)
class BayDay:
    """What one day is to every plant of a bay: degree-days so far, those since flowering began, flowers to expect."""

    day: date
    total_cd: float
    flowered_cd: float
    new_flowers: float
    visited: bool
    picked: bool


def of_bay(
    scenario: Scenario,
    seed: int,
    bay: BayPlan,
    weather: HouseWeather,
    visit_days: frozenset[date],
    pick_days: frozenset[date],
) -> tuple[PlantFruit, ...]:
    """Play `PLANTS_FOLLOWED` plants of a bay through the season."""
    crop = scenario.crops[bay.crop]
    days = _days(bay, crop, weather, visit_days, pick_days)
    usual_stop = bay.stops_setting_at_per_m2 * bay.area_m2 / bay.plants
    plants = []
    for place in range(PLANTS_FOLLOWED):
        rng = stream(seed, bay.name, "fruit", place)
        plants.append(_play(bay, crop, days, usual_stop * normal(rng, 1.0, 0.10), rng))
    return tuple(plants)


def _days(
    bay: BayPlan,
    crop: CropPlan,
    weather: HouseWeather,
    visit_days: frozenset[date],
    pick_days: frozenset[date],
) -> list[BayDay]:
    per_cd = crop.flowers_per_100_cd_per_stem * bay.stems_per_plant / 100
    total = flowered = 0.0
    days = []
    for day, (low_c, high_c) in weather.items():
        if day < bay.transplanted_on:
            continue
        gained = heat(crop, low_c, high_c)
        share = _flowering_share(crop, (day - bay.transplanted_on).days)
        total += gained
        flowered += gained if share else 0.0
        days.append(
            BayDay(day, total, flowered, share * gained * per_cd, day in visit_days, day in pick_days)
        )
    return days


def _flowering_share(crop: CropPlan, age_days: int) -> float:
    """Return how far flowering has come: nothing, a fifth on the first day, all of it some weeks later."""
    since_first = age_days - crop.first_flower_day
    if since_first < 0:
        return 0.0
    return min(1.0, 0.2 + 0.8 * since_first / crop.full_flowering_after_days)


def _play(bay: BayPlan, crop: CropPlan, days: list[BayDay], stops_at: float, rng: Random) -> PlantFruit:
    """Play one plant. *stops_at*: fruit on the plant at which no flower sets any more."""
    flowers: list[float] = []
    fruit: list[Hanging] = []
    counts: dict[date, StageCounts] = {}
    picked: dict[date, int] = {}
    pick_from = crop.green_cd if "green" in (crop.picked_at, bay.colour_aim) else crop.coloured_cd
    for today in days:
        total = today.total_cd
        if today.new_flowers:
            flowers += [total] * poisson(rng, today.new_flowers)
        if fruit:
            fruit = [one for one in fruit if total < one.drops_at]
        while flowers and total - flowers[0] >= crop.set_cd:
            opened = flowers.pop(0)
            if rng.random() < crop.set_chance_empty * max(0.0, 1.0 - len(fruit) / stops_at):
                fruit.append(_new_fruit(crop, opened, bay.pace, rng))
        if today.visited:
            counts[today.day] = _count(crop, today, len(flowers), fruit)
        if today.picked:
            left = [
                one
                for one in fruit
                if (total - one.opened_at) * one.pace < pick_from or rng.random() >= FOUND_BY_PICKERS
            ]
            picked[today.day] = len(fruit) - len(left)
            fruit = left
    return PlantFruit(counts, picked)


def _new_fruit(crop: CropPlan, opened_at: float, usual_pace: float, rng: Random) -> Hanging:
    pace = usual_pace * normal(rng, 1.0, 0.05)
    fate, when = rng.random(), rng.random()
    drops_at = NEVER
    if fate < crop.drop_young:
        drops_at = opened_at + crop.set_cd + when * 0.6 * (crop.green_cd - crop.set_cd)
    elif fate < crop.drop_young + crop.drop_green:
        drops_at = opened_at + crop.green_cd + when * (crop.turning_cd - crop.green_cd)
    return Hanging(opened_at, pace, drops_at)


def _count(crop: CropPlan, today: BayDay, flowers: int, fruit: list[Hanging]) -> StageCounts:
    reached = [(today.total_cd - one.opened_at) * one.pace for one in fruit]
    coloured = sum(grown >= crop.coloured_cd for grown in reached)
    turning = sum(grown >= crop.turning_cd for grown in reached) - coloured
    green = sum(grown >= crop.green_cd for grown in reached) - coloured - turning
    young = len(reached) - green - turning - coloured
    return StageCounts(flowers, young, green, turning, coloured, _trusses(crop, today.flowered_cd))


def _trusses(crop: CropPlan, flowered_cd: float) -> int:
    if not crop.flowers_per_truss or not flowered_cd:
        return 0
    return 1 + int(flowered_cd * crop.flowers_per_100_cd_per_stem / 100 / crop.flowers_per_truss)
