"""Picks coming in the next weeks, from the fruit counted by stage on the marked plants.

A fruit seen in a stage is somewhere inside it: where the rounds before say (`stage_ages`), or else anywhere
with equal chance. The stages still ahead of it, and how much fruit differ, give the chance that it is picked
in a given week. Forecast = plants standing x
mean over marked plants of (chance x count). Its error has parts that are kept apart: which plants were
marked (by far the largest), luck of single fruit (binomial), the chances themselves, the ages of the
fruit within a stage, the common clock (weather), and the weight of a fruit. Counting by stage as the base of a forecast is published (Wulfsohn et
al. 2012, Precision Agriculture; Verroens et al. 2006, Acta Horticulturae 718, fruit set to pick in sweet
pepper); the sums are survey sampling (Cochran 1977, chapter 2) and plain probability.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.guards import not_negative_number, share_from_none_to_all
from bayround.agronomy.inputs import positive_number, share_between, whole_number
from bayround.agronomy.ripening_sums import (
    FruitWeight,
    NewFlowers,
    Sample,
    expected_fruit,
    most_when_none_seen,
    variances,
)
from bayround.agronomy.ripening_time import FruitStage
from bayround.agronomy.stage_ages import StageAges, even_ages

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = [
    "FruitWeight",
    "NewFlowers",
    "PickForecast",
    "PickWindow",
    "corrected_window",
    "forecast_picks",
]


@dataclass(frozen=True, slots=True)
class PickWindow:
    """Picks expected between two ends of weeks, in fruit and kg for the whole planting.

    error_*: standard errors in fruit, one a source; error_weight_kg: what the weight adds, in kg.
    complete: False when flowers not yet open could be picked in it and were not given.
    """

    first_week: int
    last_week: int
    fruit: float
    fruit_low: float
    fruit_high: float
    kg: float
    kg_low: float
    kg_high: float
    error_plants: float
    error_luck: float
    error_chances: float
    error_clock: float
    error_weight_kg: float
    complete: bool
    error_ages: float = 0.0


@dataclass(frozen=True, slots=True)
class PickForecast:
    """A window for each week, and one for all of them together (its interval is not their sum)."""

    weeks: tuple[PickWindow, ...]
    together: PickWindow
    plants_counted: int
    level: float


def _window(sample: Sample, weeks: tuple[int, int], start: float | None, end: float) -> PickWindow:
    fruit = expected_fruit(sample, start, end)
    parts = variances(sample, start, end)
    multiplier = two_sided_t(sample.level, len(sample.counts) - 1)
    variance = parts.plants + parts.luck + parts.chances + parts.ages + parts.clock
    half = multiplier * math.sqrt(variance)
    high = fruit + half if fruit > 0 else most_when_none_seen(sample, start, end)
    weight = sample.weight
    of_weight = (fruit * weight.standard_error_kg) ** 2 + fruit * weight.deviation_kg**2
    kg = fruit * weight.mean_kg
    half_kg = multiplier * math.sqrt(weight.mean_kg**2 * variance + of_weight)
    total = math.fsum(stage.duration for stage in sample.stages)
    return PickWindow(
        first_week=weeks[0],
        last_week=weeks[1],
        fruit=fruit,
        fruit_low=max(0.0, fruit - half),
        fruit_high=high,
        kg=kg,
        kg_low=max(0.0, kg - half_kg),
        kg_high=kg + half_kg if fruit > 0 else high * weight.mean_kg,
        error_plants=math.sqrt(parts.plants),
        error_luck=math.sqrt(parts.luck),
        error_chances=math.sqrt(parts.chances),
        error_clock=math.sqrt(parts.clock),
        error_weight_kg=math.sqrt(of_weight),
        complete=sample.flowers is not None or end <= total * (1 - 2 * sample.variation),
        error_ages=math.sqrt(parts.ages),
    )


def _sample(
    counts: Sequence[Sequence[float]], stages: Sequence[FruitStage], standing: int
) -> tuple["NDArray[Any]", int]:
    import numpy as np

    if not stages:
        raise ValueError("at least one stage is needed")
    for stage in stages:
        positive_number(stage.duration, f"duration of {stage.name}")
        share_from_none_to_all(stage.chance, f"chance of {stage.name}")
        not_negative_number(stage.chance_variance, f"chance_variance of {stage.name}")
    if len(counts) < 2:
        raise ValueError("at least two marked plants are needed for a forecast with an interval")
    if any(len(row) != len(stages) for row in counts):
        raise ValueError("every marked plant needs one count a stage")
    for row in counts:
        for count in row:
            not_negative_number(count, "count")
    return np.asarray(counts, dtype=float), whole_number(standing, "plants_standing", at_least=len(counts))


def _checked_ages(
    ages: Sequence[StageAges] | None, stages: Sequence[FruitStage], week: float
) -> Sequence[StageAges]:
    if ages is None:
        return [even_ages(stage.duration, week) for stage in stages]
    if len(ages) != len(stages):
        raise ValueError("ages must be given for every stage")
    for stage, own in zip(stages, ages, strict=True):
        ends = [each.oldest for each in own.bins]
        if not ends or max(ends) > stage.duration * (1 + 1e-9):
            raise ValueError(f"the ages in {stage.name} go beyond its duration")
        if abs(math.fsum(each.share for each in own.bins) - 1) > 1e-6:
            raise ValueError(f"the shares of the ages in {stage.name} do not add up to 1")
    return ages


def _check_numbers(
    weight: FruitWeight, flowers: NewFlowers | None, duration_variation: float, clock_deviation: float
) -> None:
    """Refuse what can't be of fruit, flowers or clock. Errors: ValueError."""
    positive_number(weight.mean_kg, "mean_kg")
    for name in ("deviation_kg", "standard_error_kg"):
        not_negative_number(getattr(weight, name), name)
    if flowers is not None:
        not_negative_number(flowers.per_plant, "new flowers per_plant")
        not_negative_number(flowers.standard_error, "new flowers standard_error")
    not_negative_number(duration_variation, "duration_variation")
    not_negative_number(clock_deviation, "clock_deviation")


def _rising_ends(week_ends: Sequence[float]) -> list[float]:
    """The ends of 1 to 4 weeks, which must rise. Errors: ValueError."""
    ends = [positive_number(end, "week_ends") for end in week_ends]
    if not 1 <= len(ends) <= 4 or any(b <= a for a, b in pairwise(ends)):
        raise ValueError("week_ends must be 1 to 4 rising numbers")
    return ends


def forecast_picks(
    counts: Sequence[Sequence[float]],
    stages: Sequence[FruitStage],
    *,
    week_ends: Sequence[float],
    plants_standing: int,
    weight: FruitWeight,
    duration_variation: float = 0.0,
    clock_deviation: float = 0.0,
    new_flowers: NewFlowers | None = None,
    ages: Sequence[StageAges] | None = None,
    set_variation: float = 0.0,
    level: float = 0.8,
) -> PickForecast:
    """Fruit and kg to be picked in each of the coming weeks, with an interval.

    counts: marked plants x stages, fruit per plant, stages from the youngest on. week_ends: the clock at
    the end of each week (`clock_in_days`, `clock_in_degree_days`), in the unit of the durations.
    duration_variation: standard deviation over mean of the time single fruit still need.
    clock_deviation: standard deviation, in the unit of the clock, of what all fruit have in common (weather
    other than expected). new_flowers: needed where fruit now still in bud are picked within the weeks.
    ages: when the fruit of each stage entered it (`stage_ages`); left out, they are spread evenly and
    set_variation (standard deviation over mean of the fruit set in single weeks) says how far that may be
    from the truth.
    Interval: forecast ± t(plants - 1) x root of the summed variances, not below 0; where no fruit was seen,
    the upper end is what so few plants could have missed.
    Errors: ValueError for fewer than two plants, counts below 0, ragged rows, impossible stages, ends that
    do not rise, or more plants counted than stand.
    """
    array, standing = _sample(counts, stages, plants_standing)
    _check_numbers(weight, new_flowers, duration_variation, clock_deviation)
    ends = _rising_ends(week_ends)
    week = ends[-1] - (ends[-2] if len(ends) > 1 else 0.0)
    sample = Sample(
        counts=array,
        stages=stages,
        standing=standing,
        variation=duration_variation,
        clock_deviation=clock_deviation,
        flowers=new_flowers,
        weight=weight,
        level=share_between(level, "level"),
        ages=_checked_ages(ages, stages, week),
        set_variation=not_negative_number(set_variation, "set_variation"),
        week=week,
    )
    return PickForecast(
        weeks=tuple(
            _window(sample, (week, week), start, end)
            for week, (start, end) in enumerate(zip([None, *ends[:-1]], ends, strict=True), start=1)
        ),
        together=_window(sample, (1, len(ends)), None, ends[-1]),
        plants_counted=len(counts),
        level=level,
    )


def corrected_window(window: PickWindow, factor: float) -> PickWindow:
    """A window with forecast and interval multiplied by a bias factor (`forecast_score`).

    Errors: ValueError when the factor is not above 0.
    """
    positive_number(factor, "factor")
    if factor == 1.0:
        return window
    return replace(
        window,
        fruit=window.fruit * factor,
        fruit_low=window.fruit_low * factor,
        fruit_high=window.fruit_high * factor,
        kg=window.kg * factor,
        kg_low=window.kg_low * factor,
        kg_high=window.kg_high * factor,
        error_plants=window.error_plants * factor,
        error_luck=window.error_luck * factor,
        error_chances=window.error_chances * factor,
        error_clock=window.error_clock * factor,
        error_weight_kg=window.error_weight_kg * factor,
        error_ages=window.error_ages * factor,
    )
