"""Count until the mean is known well enough: Taylor's and Iwao's laws, and stop lines built on them.

Precision D always means standard error / mean here; d, half an interval / mean, needs z² = 3.84 times the
units. Natural logarithms; papers that print log10 a need a = 10^(log10 a).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.distributions import two_sided_z
from bayround.agronomy.inputs import finite_numbers, positive_number, same_length, whole_number
from bayround.agronomy.refusals import (
    EXPONENT_TOO_NEAR_TWO,
    MEANS_TOO_ALIKE,
    NOT_CLUMPED,
    TOO_FEW_INSPECTED,
    TOO_FEW_SETS,
    Refused,
)


@dataclass(frozen=True, slots=True)
class TaylorFit:
    """s² = a·m^b over ``sets`` counted sets, with standard errors of ln a and b, and r² of the log line."""

    a: float
    b: float
    log_a_standard_error: float
    b_standard_error: float
    r_squared: float
    sets: int


@dataclass(frozen=True, slots=True)
class IwaoFit:
    """Mean crowding m + s²/m - 1 = alpha + beta·m over ``sets`` counted sets, with standard errors and r²."""

    alpha: float
    beta: float
    alpha_standard_error: float
    beta_standard_error: float
    r_squared: float
    sets: int


@dataclass(frozen=True, slots=True)
class ClassificationBounds:
    """Iwao's curves after n units: below ``low`` the mean is under the threshold, above ``high`` over it."""

    inspected: int
    low: float
    high: float


def _line(x: Sequence[float], y: Sequence[float]) -> tuple[float, float, float, float, float]:
    """Least-squares intercept and slope, their standard errors, and r²."""
    n = len(x)
    mean_x, mean_y = math.fsum(x) / n, math.fsum(y) / n
    sxx = math.fsum((a - mean_x) ** 2 for a in x)
    sxy = math.fsum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True))
    syy = math.fsum((b - mean_y) ** 2 for b in y)
    slope = sxy / sxx
    intercept = mean_y - slope * mean_x
    rest = math.fsum((b - intercept - slope * a) ** 2 for a, b in zip(x, y, strict=True))
    square = rest / (n - 2)
    explained = 1.0 - rest / syy if syy > 0.0 else 0.0
    return (
        intercept,
        slope,
        math.sqrt(square * (1.0 / n + mean_x**2 / sxx)),
        math.sqrt(square / sxx),
        explained,
    )


def _sets(
    means: Sequence[float], variances: Sequence[float], fewest: int
) -> list[tuple[float, float]] | Refused:
    """(mean, variance) of the sets in which something was found; Refused when too few or all alike."""
    m, v = finite_numbers(means, "means", 0), finite_numbers(variances, "variances", 0)
    same_length(m, v, "means and variances")
    if any(value < 0.0 for value in (*m, *v)):
        raise ValueError("means and variances must not be negative")
    pairs = [(mean, variance) for mean, variance in zip(m, v, strict=True) if mean > 0.0 and variance > 0.0]
    if len(pairs) < max(3, fewest):
        return Refused(TOO_FEW_SETS)
    if max(mean for mean, _ in pairs) <= min(mean for mean, _ in pairs) * (1.0 + 1e-9):
        return Refused(MEANS_TOO_ALIKE)
    return pairs


def taylor_fit(
    means: Sequence[float], variances: Sequence[float], fewest_sets: int = 5
) -> TaylorFit | Refused:
    """Taylor's power law ln s² = ln a + b·ln m by least squares (Taylor 1961, Nature 189:732-735).

    Means and variances (divisor n - 1) of counts per unit, one pair a set; sets with nothing found are left
    out. Better with over 15 units a set and means over two orders of magnitude. Refused with fewer than
    ``fewest_sets`` sets or equal means. Raises ValueError on negative input or unequal lengths.
    """
    pairs = _sets(means, variances, fewest_sets)
    if isinstance(pairs, Refused):
        return pairs
    line = _line([math.log(m) for m, _ in pairs], [math.log(v) for _, v in pairs])
    log_a, b, log_a_error, b_error, explained = line
    return TaylorFit(math.exp(log_a), b, log_a_error, b_error, explained, len(pairs))


def iwao_fit(means: Sequence[float], variances: Sequence[float], fewest_sets: int = 5) -> IwaoFit | Refused:
    """Iwao's patchiness regression of mean crowding on the mean (Iwao 1968, Res. Popul. Ecol. 10:1-20).

    The fit implies s² = (alpha+1)m + (beta-1)m². Input, refusals and errors as in ``taylor_fit``.
    """
    pairs = _sets(means, variances, fewest_sets)
    if isinstance(pairs, Refused):
        return pairs
    alpha, beta, alpha_error, beta_error, explained = _line(
        [m for m, _ in pairs], [m + v / m - 1.0 for m, v in pairs]
    )
    return IwaoFit(alpha, beta, alpha_error, beta_error, explained, len(pairs))


def moment_k(mean: float, variance: float) -> float | Refused:
    """Negative binomial exponent of one set, m²/(s²-m). Refused when counts scatter as if by chance."""
    positive_number(mean, "mean")
    return Refused(NOT_CLUMPED) if variance <= mean else mean * mean / (variance - mean)


def taylor_k(mean: float, a: float, b: float) -> float | Refused:
    """Negative binomial exponent at a mean, from Taylor's law: m/(a·m^(b-1) - 1). Refused where s² <= m."""
    return moment_k(mean, positive_number(a, "a") * positive_number(mean, "mean") ** b)


def common_k(
    means: Sequence[float], variances: Sequence[float], units: Sequence[int], fewest_sets: int = 3
) -> float | Refused:
    """One negative binomial exponent for several sets: Σx'²/Σx'y' with x' = m² - s²/n, y' = s² - m.

    The unweighted regression through the origin of Bliss & Owen 1958, Biometrika 45:37-58 (as in Southwood,
    Ecological Methods; from memory). ``units`` is how many units each set has. Refused for too few sets, or
    when the sets together scatter no more than by chance. Raises ValueError on impossible input.
    """
    m, v = finite_numbers(means, "means", 0), finite_numbers(variances, "variances", 0)
    same_length(m, v, "means and variances")
    same_length(m, units, "means and units")
    if any(value < 0.0 for value in (*m, *v)):
        raise ValueError("means and variances must not be negative")
    if sum(mean > 0.0 for mean in m) < fewest_sets:
        return Refused(TOO_FEW_SETS)
    x = [
        mean**2 - variance / whole_number(n, "units", 2)
        for mean, variance, n in zip(m, v, units, strict=True)
    ]
    product = math.fsum(a * (variance - mean) for a, mean, variance in zip(x, m, v, strict=True))
    return Refused(NOT_CLUMPED) if product <= 0.0 else math.fsum(a * a for a in x) / product


def units_for_precision(mean: float, a: float, b: float, precision: float) -> float:
    """Units for SE/mean = ``precision`` at an expected mean: a·m^(b-2)/D², not rounded.

    Taylor's a and b; a = b = 1 is the Poisson case. Raises ValueError on impossible input.
    """
    spread = float(positive_number(a, "a") * positive_number(mean, "mean") ** (b - 2.0))
    return spread / positive_number(precision, "precision") ** 2


def units_for_relative_half_width(
    mean: float, a: float, b: float, half_width: float, level: float = 0.95
) -> float:
    """Units for half an interval / mean = ``half_width``: z² · ``units_for_precision`` (Karandinos 1976)."""
    return two_sided_z(level) ** 2 * units_for_precision(mean, a, b, half_width)


def green_stop_total(
    inspected: int, a: float, b: float, precision: float, highest_b: float = 1.8
) -> float | Refused:
    """Total found at which to stop counting: (a·n^(1-b)/D²)^(1/(2-b)).

    Green 1970, Res. Popul. Ecol. 12:249-251. On this line the standard error is exactly D times the mean.
    Refused for ``b`` of ``highest_b`` or more, where the exponent explodes (common practice, no source).
    Raises ValueError on impossible input.
    """
    n = whole_number(inspected, "inspected", at_least=1)
    positive_number(precision, "precision")
    if not b < min(highest_b, 2.0):
        return Refused(EXPONENT_TOO_NEAR_TWO)
    return float((positive_number(a, "a") * n ** (1.0 - b) / precision**2) ** (1.0 / (2.0 - b)))


def kuno_stop_total(inspected: int, alpha: float, beta: float, precision: float) -> float | Refused:
    """Total found at which to stop counting: (alpha+1)/(D² - (beta-1)/n).

    Kuno 1969, Res. Popul. Ecol. 11:127-136. Refused while n <= (beta-1)/D², where no count reaches the
    precision. Raises ValueError on impossible input.
    """
    n = whole_number(inspected, "inspected", at_least=1)
    positive_number(alpha + 1.0, "alpha + 1")
    left = positive_number(precision, "precision") ** 2 - (beta - 1.0) / n
    return Refused(TOO_FEW_INSPECTED) if left <= 0.0 else (alpha + 1.0) / left


def taylor_variance(mean: float, a: float, b: float) -> float:
    """Variance of a count per unit at this mean, a·m^b."""
    return float(positive_number(a, "a") * positive_number(mean, "mean") ** b)


def iwao_variance(mean: float, alpha: float, beta: float) -> float:
    """Variance of a count per unit at this mean, (alpha+1)m + (beta-1)m²; ValueError unless above 0."""
    return positive_number((alpha + 1.0) * positive_number(mean, "mean") + (beta - 1.0) * mean**2, "variance")


def iwao_bounds(
    inspected: int, threshold: float, variance: float, level: float = 0.90
) -> ClassificationBounds:
    """Iwao's curves about a threshold mean: n·m ∓ z·√(n·V), z two-sided at ``level`` (Iwao 1975).

    ``variance`` at the threshold from ``iwao_variance`` or ``taylor_variance``. The lower bound may be below
    0 at first: then "below the threshold" cannot be said yet. Raises ValueError on impossible input.
    """
    n = whole_number(inspected, "inspected", at_least=1)
    middle = n * positive_number(threshold, "threshold")
    half = two_sided_z(level) * math.sqrt(n * positive_number(variance, "variance"))
    return ClassificationBounds(n, middle - half, middle + half)


def iwao_largest(variance: float, half_width: float, level: float = 0.90) -> float:
    """Units that know a mean at the threshold to ± ``half_width``: z²·V/h², not rounded; give up there."""
    return (
        two_sided_z(level) ** 2
        * positive_number(variance, "variance")
        / positive_number(half_width, "half width") ** 2
    )
