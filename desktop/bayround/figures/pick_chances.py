"""The chance that a fruit seen in a stage is picked in the end: the crop profile's, and what a planting's own say.

Fruit that hang in a stage at one round have left it once the stage is over; what came into the stages beyond it
in that time, or was picked, are those that made it. Rounds a whole stage apart are used, so that no fruit is
followed twice. The share that makes it is drawn towards the profile (`ripening_time.learn_chance`).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from bayround.agronomy.ripening_time import FruitStage, learn_chance
from bayround.crops.profile import CropProfile
from bayround.figures.pick_rounds import PickPast

SURE = 1 - 1e-6
"""A chance of one can't be learned about; so much stands for it."""


@dataclass(frozen=True, slots=True)
class StageChance:
    """What became of the fruit of one stage: followed, came through it, and the chance to be picked in the end.

    *profile*: the chance in the crop profile; *own_share*: weight of the planting's own fruit in *chance* (0 to 1).
    """

    stage: str
    followed: int
    came_through: int
    profile: float
    chance: float
    variance: float
    own_share: float


@dataclass(frozen=True, slots=True)
class _Course:
    """A planting's rounds, oldest first: clock since the first, plants counted, fruit at a stage or beyond and picked."""

    at: list[float]
    plants: list[int]
    in_stage: list[list[float]]
    reached: list[list[float]]


def learned(seen: PickPast, profile: CropProfile, stages: Sequence[FruitStage]) -> tuple[StageChance, ...]:
    """Return for every stage the chance that a fruit in it is picked, the planting's own marked plants counted in."""
    course = _course(seen) if seen.picks_known and len(seen.rounds) > 1 else None
    weight = profile.number("chance_profile_fruit").value
    found: list[StageChance] = []
    beyond = StageChance("", 0, 0, 1.0, 1.0, 0.0, 0.0)
    for place in range(len(stages) - 1, -1, -1):
        beyond = _chance(stages, place, beyond, course, weight)
        found.append(beyond)
    return tuple(reversed(found))


def with_chances(stages: Sequence[FruitStage], chances: Sequence[StageChance]) -> tuple[FruitStage, ...]:
    """Return the stages with the learned chances and how sure they are."""
    return tuple(
        replace(stage, chance=one.chance, chance_variance=one.variance) if one.variance else stage
        for stage, one in zip(stages, chances, strict=True)
    )


def _chance(
    stages: Sequence[FruitStage], place: int, beyond: StageChance, course: _Course | None, weight: float
) -> StageChance:
    """Chance from a stage on: to come through it × the chance from the next one on; variances add up (first order)."""
    stage = stages[place]
    if place == len(stages) - 1:
        return StageChance(stage.name, 0, 0, stage.chance, stage.chance, 0.0, 0.0)
    step = min(SURE, stage.chance / stages[place + 1].chance)
    followed, through = _followed(course, place, stage.duration) if course else (0, 0)
    own = learn_chance(min(through, followed), followed, profile_chance=step, profile_weight=weight)
    chance = own.chance * beyond.chance
    sure = 0.0 if not followed else own.variance / own.chance**2
    of_beyond = beyond.variance / beyond.chance**2
    variance = chance**2 * (sure + of_beyond)
    return StageChance(stage.name, followed, through, stage.chance, chance, variance, own.own_share)


def _course(seen: PickPast) -> _Course:
    course, picked = _Course([], [], [], []), 0.0
    for one, ago, since in zip(reversed(seen.rounds), reversed(seen.ago), reversed(seen.picked), strict=True):
        picked += since
        count = len(one.rows)
        means = [total / count for total in map(sum, zip(*one.rows.values(), strict=True))]
        course.at.append(seen.ago[-1] - ago)
        course.plants.append(count)
        course.in_stage.append(means)
        beyond = list(accumulate(reversed(means), initial=0.0))[::-1]
        course.reached.append([each + picked for each in beyond])
    return course


def _followed(course: _Course, place: int, duration: float) -> tuple[int, int]:
    """Return fruit that were in a stage at rounds a whole stage apart, and how many came through it."""
    seen = through = 0.0
    free_from = -1.0
    for start, began in enumerate(course.at):
        end = began + duration
        if began < free_from or end > course.at[-1]:
            continue
        fruit = course.in_stage[start][place]
        if fruit <= 0:
            continue
        came = _reached_at(course, place + 1, end) - course.reached[start][place + 1]
        seen += fruit * course.plants[start]
        through += max(0.0, came) * course.plants[start]
        free_from = end
    return round(seen), round(through)


def _reached_at(course: _Course, place: int, at: float) -> float:
    """Fruit per plant at a stage or beyond, picked ones counted in, at a time between two rounds (straight line)."""
    later = min(bisect_right(course.at, at), len(course.at) - 1)
    before = later - 1
    share = (at - course.at[before]) / (course.at[later] - course.at[before])
    low, high = course.reached[before][place], course.reached[later][place]
    return low + min(1.0, share) * (high - low)
