"""How fast the plants grow: the change of the same marked plants, and a trend no single reading bends."""

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from bayround.agronomy.inputs import (
    finite_number,
    finite_numbers,
    positive_number,
    same_length,
    share_between,
)
from bayround.agronomy.refusals import NO_CHANGE_IN_DATE, NO_PLANT_TWICE, TOO_FEW_DATES, Refused
from bayround.agronomy.sampling import mean_interval

Plant = TypeVar("Plant", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Rate:
    """A change per unit of time with its interval; ``None`` where one plant alone gives no interval."""

    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class PairedGrowth(Generic[Plant]):
    """Change of the plants measured at both dates, in cm when heights are in cm.

    ``change_by_plant`` in the order of the earlier date; ``dropped_out`` were measured only earlier,
    ``joined`` only later: both are left out of every figure. ``shrank`` lists plants that lost height.
    """

    change_cm: Rate
    cm_per_day: Rate
    cm_per_week: Rate
    standard_deviation_cm: float | None
    n: int
    days: float
    change_by_plant: tuple[tuple[Plant, float], ...]
    dropped_out: tuple[Plant, ...]
    joined: tuple[Plant, ...]
    shrank: tuple[Plant, ...]
    level: float


@dataclass(frozen=True, slots=True)
class Trend:
    """Theil-Sen line: median slope per day with interval, and the value at day 0."""

    slope_per_day: float
    low: float
    high: float
    intercept: float
    n: int
    level: float


def paired_growth(
    earlier_cm: Mapping[Plant, float],
    later_cm: Mapping[Plant, float],
    days: float,
    population: int | None = None,
    level: float = 0.95,
) -> PairedGrowth[Plant] | Refused:
    """Growth of the same marked plants between two dates: mean of the differences with Student's t interval.

    Height in cm by plant key at each date, ``days`` between them; ``population`` is the number of plants in
    the bay. A replaced plant needs a new key. Refused when no plant was measured at both dates. Raises
    ValueError for days of 0 or below or a height that is not finite. (Student 1908, Biometrika 6:1-25.)
    """
    positive_number(days, "days")
    share_between(level, "level")
    for name, heights in (("earlier heights", earlier_cm), ("later heights", later_cm)):
        finite_numbers(heights.values(), name, 0)
    changes = tuple(
        (plant, later_cm[plant] - height) for plant, height in earlier_cm.items() if plant in later_cm
    )
    if not changes:
        return Refused(NO_PLANT_TWICE)
    mean = mean_interval([change for _, change in changes], population, level)

    def rate(per: float) -> Rate:
        low, high = (None if limit is None else limit * per for limit in (mean.low, mean.high))
        return Rate(mean.mean * per, low, high)

    return PairedGrowth(
        change_cm=rate(1.0),
        cm_per_day=rate(1.0 / days),
        cm_per_week=rate(7.0 / days),
        standard_deviation_cm=mean.standard_deviation,
        n=mean.n,
        days=float(days),
        change_by_plant=changes,
        dropped_out=tuple(plant for plant in earlier_cm if plant not in later_cm),
        joined=tuple(plant for plant in later_cm if plant not in earlier_cm),
        shrank=tuple(plant for plant, change in changes if change < 0.0),
        level=level,
    )


def theil_sen_trend(days: Sequence[float], values: Sequence[float], level: float = 0.95) -> Trend | Refused:
    """Median of all pairwise slopes with Sen's interval, by scipy.

    Sen 1968, J. Am. Stat. Assoc. 63:1379-1389. Intercept: median value less slope times median day. With few
    dates the limits move in steps. Refused when so few dates are given that no interval of this level exists
    (2/n! > 1 - level: below five at 0.95), or all are the same. Raises ValueError for unequal lengths or
    values that are not finite.
    """
    x, y = finite_numbers(days, "days", 0), finite_numbers(values, "values", 0)
    same_length(x, y, "days and values")
    share_between(level, "level")
    dates = len(set(x))
    if x and dates == 1:
        return Refused(NO_CHANGE_IN_DATE)
    if dates < 2 or 2.0 / math.factorial(min(dates, 20)) > 1.0 - level:
        return Refused(TOO_FEW_DATES)
    from scipy.stats import theilslopes

    fit = theilslopes(y, x, level)
    slope, intercept = finite_number(float(fit.slope), "slope"), float(fit.intercept)
    return Trend(slope, float(fit.low_slope), float(fit.high_slope), intercept, len(x), level)
