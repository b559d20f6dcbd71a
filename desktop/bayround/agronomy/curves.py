"""S-shaped growth: logistic and Gompertz curves with standard errors, and the day a curve reaches a level.

Both are written with the same three numbers, u = exp(shift - rate·day):
logistic asymptote / (1 + u), Gompertz asymptote · exp(-u). The steepest day is shift / rate.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.inputs import finite_number, finite_numbers, positive_number, same_length
from bayround.agronomy.refusals import (
    CURVE_NOT_FOUND,
    LEVEL_ABOVE_CURVE,
    NO_CEILING_YET,
    TOO_FEW_DATES,
    Refused,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

CurveKind = Literal["logistic", "gompertz"]

#: Three numbers are fitted; the corrected AIC is undefined below six readings.
_FEWEST_DATES = 6


@dataclass(frozen=True, slots=True)
class CurveFit:
    """A fitted curve. Standard errors and ``covariance`` in the order asymptote, shift, rate.

    ``aicc`` compares the two kinds on the same readings: the smaller is the better supported.
    """

    kind: CurveKind
    asymptote: float
    shift: float
    rate_per_day: float
    standard_errors: tuple[float, float, float]
    covariance: tuple[tuple[float, float, float], ...]
    residual_sum_of_squares: float
    residual_deviation: float
    degrees_of_freedom: int
    steepest_day: float
    steepest_level: float
    steepest_rate_per_day: float
    aicc: float


@dataclass(frozen=True, slots=True)
class CurveDay:
    """The day a fitted curve reaches a level, with its interval (delta method)."""

    day: float
    standard_error: float
    low: float
    high: float
    level: float


def _curve(kind: CurveKind, days: "Floats", asymptote: float, shift: float, rate: float) -> "Floats":
    """The curve at each day."""
    import numpy as np

    u = np.exp(np.clip(shift - rate * days, -700.0, 700.0))
    shape: Floats = 1.0 / (1.0 + u) if kind == "logistic" else np.exp(-u)
    return asymptote * shape


def _slopes(kind: CurveKind, days: "Floats", asymptote: float, shift: float, rate: float) -> "Floats":
    """Derivatives of the curve with respect to asymptote, shift and rate, one row a day."""
    import numpy as np

    u = np.exp(np.clip(shift - rate * days, -300.0, 300.0))
    shape = 1.0 / (1.0 + u) if kind == "logistic" else np.exp(-u)
    by_shift = -asymptote * u * shape * (shape if kind == "logistic" else 1.0)
    slopes: Floats = np.column_stack([shape, by_shift, -days * by_shift])
    return slopes


def _start_values(kind: CurveKind, days: "Floats", values: "Floats") -> list[float]:
    """Start values from a line through the transformed readings, the ceiling set just above the highest."""
    import numpy as np

    ceiling = 1.05 * float(values.max())
    ratio = ceiling / values
    transformed = np.log(ratio - 1.0) if kind == "logistic" else np.log(np.log(ratio))
    slope, intercept = np.polyfit(days, transformed, 1)
    return [ceiling, float(intercept), max(-float(slope), 1e-6)]


def fit_curve(
    kind: CurveKind, days: Sequence[float], values: Sequence[float], confidence: float = 0.95
) -> CurveFit | Refused:
    """Least-squares fit of a three-number growth curve by ``scipy.optimize.curve_fit``.

    ``days`` in days from any origin, ``values`` above 0 in any unit. Readings of the same plants week after
    week are not independent, so the standard errors are on the small side; fit bay means. Refused for fewer
    than six dates, when no curve is found, or when growth has not bent yet: the asymptote is not clearly
    above zero at ``confidence``, or a straight line is as well supported (corrected AIC). Raises ValueError
    for unequal lengths or values of 0 or below.
    """
    x, y = finite_numbers(days, "days", 0), finite_numbers(values, "values", 0)
    same_length(x, y, "days and values")
    if any(value <= 0.0 for value in y):
        raise ValueError("values must be above 0")
    if len(set(x)) < _FEWEST_DATES:
        return Refused(TOO_FEW_DATES)
    found = _least_squares(kind, x, y)
    if found is None:
        return Refused(CURVE_NOT_FOUND)
    (asymptote, shift, rate), covariance, rest = found
    freedom = len(x) - 3
    errors = [math.sqrt(covariance[i][i]) for i in range(3)]
    aicc, aicc_of_line = _aicc(rest, len(x), 3), _aicc(_line_rest(x, y), len(x), 2)
    if asymptote - two_sided_t(confidence, freedom) * errors[0] <= 0.0 or aicc >= aicc_of_line:
        return Refused(NO_CEILING_YET)
    return CurveFit(
        kind=kind,
        asymptote=asymptote,
        shift=shift,
        rate_per_day=rate,
        standard_errors=(errors[0], errors[1], errors[2]),
        covariance=tuple((row[0], row[1], row[2]) for row in covariance),
        residual_sum_of_squares=rest,
        residual_deviation=math.sqrt(rest / freedom),
        degrees_of_freedom=freedom,
        steepest_day=shift / rate,
        steepest_level=asymptote / (2.0 if kind == "logistic" else math.e),
        steepest_rate_per_day=asymptote * rate / (4.0 if kind == "logistic" else math.e),
        aicc=aicc,
    )


def _aicc(rest: float, n: int, numbers: int) -> float:
    """Akaike's criterion corrected for few readings, the error variance counted as one more number."""
    k = numbers + 1
    return (n * math.log(rest / n) if rest > 0.0 else -math.inf) + 2 * k + 2 * k * (k + 1) / (n - k - 1)


def _line_rest(x: Sequence[float], y: Sequence[float]) -> float:
    """Residual sum of squares of the straight line."""
    mean_x, mean_y = math.fsum(x) / len(x), math.fsum(y) / len(y)
    sxx = math.fsum((a - mean_x) ** 2 for a in x)
    slope = math.fsum((a - mean_x) * b for a, b in zip(x, y, strict=True)) / sxx
    return math.fsum((b - mean_y - slope * (a - mean_x)) ** 2 for a, b in zip(x, y, strict=True))


def _least_squares(
    kind: CurveKind, x: list[float], y: list[float]
) -> tuple[list[float], list[list[float]], float] | None:
    """Best three numbers, their covariance and the residual sum of squares; None when none is found."""
    import warnings

    import numpy as np
    from scipy.optimize import OptimizeWarning, curve_fit

    days, values = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)

    def curve(at: "Floats", asymptote: float, shift: float, rate: float) -> "Floats":
        return _curve(kind, at, asymptote, shift, rate)

    def slopes(at: "Floats", asymptote: float, shift: float, rate: float) -> "Floats":
        return _slopes(kind, at, asymptote, shift, rate)

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", OptimizeWarning)
        try:
            start = _start_values(kind, days, values)
            best: Any
            best, covariance = curve_fit(
                curve, days, values, p0=start, jac=slopes, maxfev=2000, xtol=1e-12, ftol=1e-12
            )
        except RuntimeError:
            return None
    rest = float(np.sum((values - _curve(kind, days, *best)) ** 2))
    if not (
        np.all(np.isfinite(best)) and np.all(np.isfinite(covariance)) and best[0] > 0.0 and best[2] > 0.0
    ):
        return None
    return [float(number) for number in best], [[float(cell) for cell in row] for row in covariance], rest


def curve_value(fit: CurveFit, day: float) -> float:
    """Value of the fitted curve at a day."""
    u = math.exp(min(700.0, max(-700.0, fit.shift - fit.rate_per_day * finite_number(day, "day"))))
    return fit.asymptote / (1.0 + u) if fit.kind == "logistic" else fit.asymptote * math.exp(-u)


def day_curve_reaches(fit: CurveFit, level: float, confidence: float = 0.95) -> CurveDay | Refused:
    """Day at which the fitted curve reaches ``level`` (unit of the values), with a delta-method t interval.

    Refused when the level is not clearly below the asymptote: at or above it, or within its interval. Raises
    ValueError for a level of 0 or below.
    """
    positive_number(level, "level")
    quantile = two_sided_t(confidence, fit.degrees_of_freedom)
    if fit.asymptote - quantile * fit.standard_errors[0] <= level:
        return Refused(LEVEL_ABOVE_CURVE)
    ratio = fit.asymptote / level
    inner = ratio - 1.0 if fit.kind == "logistic" else math.log(ratio)
    day = (fit.shift - math.log(inner)) / fit.rate_per_day
    by_asymptote = -1.0 / (fit.rate_per_day * inner * (level if fit.kind == "logistic" else fit.asymptote))
    gradient = (by_asymptote, 1.0 / fit.rate_per_day, -day / fit.rate_per_day)
    variance = math.fsum(gradient[i] * fit.covariance[i][j] * gradient[j] for i in range(3) for j in range(3))
    error = math.sqrt(max(0.0, variance))
    return CurveDay(day, error, day - quantile * error, day + quantile * error, level)
