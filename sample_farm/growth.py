"""Heads and ties of one bay: how tall the marked plants really were, what was read, and when they were tied."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random

from bayround.facts.farm import MarkedPlant

from .chance import half_up, normal, stream
from .scenario import BayPlan, CropPlan, Scenario
from .walks import PlannedVisit

TIED_AFTER_DAYS = 2  # every other bay of a round a day later


@dataclass(frozen=True, slots=True)
class HeightRead:
    """What the scout wrote down for one plant."""

    height_cm: float
    last_tie_cm: float


@dataclass(frozen=True, slots=True)
class Tying:
    """A bay was tied on *day* because of what was read at *visit*; no day: not yet tied when the season ends."""

    visit: PlannedVisit
    day: date | None
    head_above_tie_cm: float


@dataclass(frozen=True, slots=True)
class BayHeights:
    """All readings of height and tie of one bay: (day, key of the marked plant) → reading; and the tyings."""

    read: Mapping[tuple[date, str], HeightRead]
    tyings: tuple[Tying, ...]


@dataclass(frozen=True, slots=True)
class Stem:
    """One plant's own start and strength."""

    start_cm: float
    vigour: float


def head_cm(crop: CropPlan, stem: Stem, age_days: int) -> float:
    """Return the true height: a logistic curve that starts at the transplant's height."""
    at_start = _logistic(-crop.steepness_per_week * crop.fastest_in_week)
    now = _logistic(crop.steepness_per_week * (age_days / 7 - crop.fastest_in_week))
    return stem.start_cm + stem.vigour * crop.rise_cm * (now - at_start) / (1.0 - at_start)


def measure(
    scenario: Scenario, seed: int, bay: BayPlan, plants: tuple[MarkedPlant, ...], planned: list[PlannedVisit]
) -> BayHeights:
    """Walk the bay's visits in order: read every plant that stands, tie the bay when it is due.

    The last round is not followed by tying: its jobs are still to be done.
    """
    crop = scenario.crops[bay.crop]
    rng = stream(seed, bay.name, "heights")
    stems = {plant.id: _stem(bay, crop, rng) for plant in plants}
    tie = dict.fromkeys(stems, 0.0)
    read: dict[tuple[date, str], HeightRead] = {}
    before = dict.fromkeys(stems, 0.0)
    tyings: list[Tying] = []
    due: Tying | None = None
    for visit in planned:
        standing = [plant.id for plant in plants if _stands(plant, visit.day)]
        for key in standing:
            true_cm = head_cm(crop, stems[key], (visit.day - bay.transplanted_on).days)
            before[key] = _read_off(scenario, visit, true_cm, before[key], rng)
            read[visit.day, key] = HeightRead(before[key], tie[key])
        if visit is planned[-1]:
            break
        gap_cm = sum(before[key] - tie[key] for key in standing) / len(standing)
        overdue, due = due, due or _due(bay, crop, gap_cm, visit)
        put_off = rng.random() < crop.put_off_chance and not overdue
        if due is None or put_off:
            continue
        day = visit.day + timedelta(days=TIED_AFTER_DAYS + visit.place % 2)
        tyings.append(replace(due, day=day))
        due = None
        for key, stem in stems.items():
            head = head_cm(crop, stem, (day - bay.transplanted_on).days)
            tie[key] = max(tie[key], half_up(head - crop.left_free_cm - 4.0 * rng.random(), 1.0))
    return BayHeights(read, tuple(tyings if due is None else [*tyings, due]))


def _stem(bay: BayPlan, crop: CropPlan, rng: Random) -> Stem:
    return Stem(crop.start_cm * normal(rng, 1.0, 0.12), bay.vigour * normal(rng, 1.0, 0.06))


def _read_off(
    scenario: Scenario, visit: PlannedVisit, true_cm: float, before_cm: float, rng: Random
) -> float:
    """Return the height as written: whole centimetres, a small error, the scout's habit.

    Where it would be lower than last time the scout measures again and, finding no growth, writes the same.
    """
    error = normal(rng, 0.0, scenario.tables["rounds"]["measuring_error_cm"])
    return max(half_up(true_cm + error + scenario.person(visit.scout).reads_high_cm, 1.0), before_cm)


def _due(bay: BayPlan, crop: CropPlan, gap_cm: float, visit: PlannedVisit) -> Tying | None:
    """Return the tying that a visit made due, if any; a bay that nobody ties any more has none."""
    if bay.not_tied_from is not None and visit.day >= bay.not_tied_from:
        return None
    return Tying(visit, None, gap_cm) if crop.tied_when == "weekly" or gap_cm >= crop.tie_every_cm else None


def _stands(plant: MarkedPlant, day: date) -> bool:
    started = plant.marked_on is None or plant.marked_on <= day
    return started and (plant.ended_on is None or day < plant.ended_on)


def _logistic(value: float) -> float:
    return 1.0 / (1.0 + math.exp(-value))
