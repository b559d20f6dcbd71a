"""The day a straight line crosses a level, such as the top wire, with Fieller's interval or a refusal."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.inputs import finite_number, finite_numbers, same_length, whole_number
from bayround.agronomy.refusals import NO_CHANGE_IN_DATE, SLOPE_NOT_CLEAR, TOO_FEW_DATES, Refused


@dataclass(frozen=True, slots=True)
class ReachingDay:
    """The day the line crosses the level, with Fieller's limits, in the days the readings came in.

    ``g`` says how uncertain the slope is (0 certain, 1 not different from zero). ``days_beyond_last`` is how
    far the day lies after the last reading; below 0 the level has been passed already. A line carried far
    beyond its readings is a guess about growth, whatever the interval says.
    """

    day: float
    low: float
    high: float
    slope_per_day: float
    slope_standard_error: float
    g: float
    days_beyond_last: float
    n: int
    confidence: float


def day_line_reaches(
    days: Sequence[float],
    values: Sequence[float],
    level: float,
    confidence: float = 0.95,
    new_plants: int | None = None,
) -> ReachingDay | Refused:
    """Day at which the least-squares line through the readings reaches ``level``, by inverse prediction.

    Without ``new_plants`` the day for the mean line; with it, for the mean of that many new single readings.
    Limits x̄ + [(x0-x̄) ± (t·s/b)·√((x0-x̄)²/Sxx + (1-g)(1/n+q))]/(1-g), g = t²s²/(b²Sxx), q = 0 or
    1/new_plants (Fieller 1954, J. R. Stat. Soc. B 16:175-185; Graybill & Iyer 1994, Regression Analysis, ch.
    6). Readings should be bay means or one plant's; both unit and origin of days are the caller's. Refused
    for fewer than three readings, one date only, or g >= 1: the slope is not clearly different from zero and
    no date can be given. Raises ValueError for unequal lengths or numbers that are not finite.
    """
    x, y = finite_numbers(days, "days", 0), finite_numbers(values, "values", 0)
    same_length(x, y, "days and values")
    finite_number(level, "level")
    q = 0.0 if new_plants is None else 1.0 / whole_number(new_plants, "new plants", at_least=1)
    n = len(x)
    if n < 3:
        return Refused(TOO_FEW_DATES)
    mean_x, mean_y = math.fsum(x) / n, math.fsum(y) / n
    sxx = math.fsum((a - mean_x) ** 2 for a in x)
    if sxx == 0.0:
        return Refused(NO_CHANGE_IN_DATE)
    slope = math.fsum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / sxx
    rest = math.fsum((b - mean_y - slope * (a - mean_x)) ** 2 for a, b in zip(x, y, strict=True))
    deviation = math.sqrt(rest / (n - 2))
    t = two_sided_t(confidence, n - 2)
    if slope == 0.0 or (g := (t * deviation / slope) ** 2 / sxx) >= 1.0:
        return Refused(SLOPE_NOT_CLEAR)
    away = (level - mean_y) / slope
    half = t * deviation / abs(slope) * math.sqrt(away**2 / sxx + (1.0 - g) * (1.0 / n + q))
    low, high = (mean_x + (away + side * half) / (1.0 - g) for side in (-1.0, 1.0))
    error = deviation / math.sqrt(sxx)
    day = mean_x + away
    return ReachingDay(day, low, high, slope, error, g, day - max(x), n, confidence)
