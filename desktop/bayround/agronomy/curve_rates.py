"""When a fitted growth curve is steepest and how fast it then grows, each with its standard error.

Delta method on the fit's covariance: the error of a function is the root of g' C g, g its derivatives with
respect to asymptote, shift and rate (Seber & Wild 1989, Nonlinear Regression, section 5.1; from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.curves import CurveFit

__all__ = ["SteepestGrowth", "steepest_growth"]


@dataclass(frozen=True, slots=True)
class SteepestGrowth:
    """Day of the fastest growth (days from the fit's origin) and its rate (unit of the values per day)."""

    day: float
    day_error: float
    rate_per_day: float
    rate_error: float


def steepest_growth(fit: CurveFit) -> SteepestGrowth:
    """Steepest day shift/rate and rate asymptote·rate/4 (logistic) or /e (Gompertz), with standard errors."""
    part = 4.0 if fit.kind == "logistic" else math.e
    by_day = (0.0, 1.0 / fit.rate_per_day, -fit.shift / fit.rate_per_day**2)
    by_rate = (fit.rate_per_day / part, 0.0, fit.asymptote / part)
    return SteepestGrowth(
        day=fit.steepest_day,
        day_error=_error(fit, by_day),
        rate_per_day=fit.steepest_rate_per_day,
        rate_error=_error(fit, by_rate),
    )


def _error(fit: CurveFit, gradient: Sequence[float]) -> float:
    variance = math.fsum(gradient[i] * fit.covariance[i][j] * gradient[j] for i in range(3) for j in range(3))
    return math.sqrt(max(0.0, variance))
