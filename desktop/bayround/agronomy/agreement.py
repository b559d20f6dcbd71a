"""Do two scouts see the same? Kappa for grades, concordance and limits of agreement for measurements."""

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Literal

from bayround.agronomy.distributions import two_sided_t, two_sided_z
from bayround.agronomy.inputs import finite_numbers, positive_number, same_length, whole_number
from bayround.agronomy.refusals import NO_SPREAD_TO_COMPARE, ONE_CATEGORY_ONLY, Refused
from bayround.agronomy.sampling import MeanEstimate, mean_interval

Weighting = Literal["none", "linear", "quadratic"]


@dataclass(frozen=True, slots=True)
class Kappa:
    """Agreement beyond chance with its interval; show it only beside ``observed`` and the table.

    ``observed`` and ``by_chance`` are the (weighted) shares of agreement seen and expected.
    """

    kappa: float
    standard_error: float
    low: float
    high: float
    observed: float
    by_chance: float
    n: int
    level: float


@dataclass(frozen=True, slots=True)
class Concordance:
    """Lin's coefficient with interval: ``correlation`` (together) times ``accuracy`` (equal)."""

    concordance: float
    standard_error: float
    low: float
    high: float
    correlation: float
    accuracy: float
    n: int
    level: float


@dataclass(frozen=True, slots=True)
class AgreementLimits:
    """First scout minus second: mean with interval, and the limits between which single differences lie."""

    mean_difference: float
    mean_low: float
    mean_high: float
    standard_deviation: float
    lower_limit: float
    upper_limit: float
    limit_standard_error: float
    n: int
    level: float


def cross_table(
    first: Sequence[Hashable], second: Sequence[Hashable], categories: Sequence[Hashable]
) -> tuple[tuple[int, ...], ...]:
    """How often the first scout said row and the second column, categories in the order given.

    Raises ValueError for unequal lengths or a grade that is not among the categories.
    """
    same_length(first, second, "gradings")
    place = {category: index for index, category in enumerate(categories)}
    table = [[0] * len(place) for _ in place]
    for one, other in zip(first, second, strict=True):
        if one not in place or other not in place:
            raise ValueError(f"{one!r} or {other!r} is not among the categories")
        table[place[one]][place[other]] += 1
    return tuple(tuple(row) for row in table)


def disagreement_weights(categories: int, weighting: Weighting) -> tuple[tuple[float, ...], ...]:
    """Weight of each disagreement: all alike, by steps ("linear") or by steps squared ("quadratic")."""
    power = {"none": 0, "linear": 1, "quadratic": 2}[weighting]
    span = range(categories)
    return tuple(tuple(0.0 if i == j else float(abs(i - j) ** power) for j in span) for i in span)


def kappa(
    table: Sequence[Sequence[int]],
    weighting: Weighting = "none",
    weights: Sequence[Sequence[float]] | None = None,
    level: float = 0.95,
) -> Kappa | Refused:
    """Cohen's kappa, weighted or not, with the large-sample interval of Fleiss, Cohen & Everitt 1969.

    ``table`` counts units, rows the first scout; ``weights`` may give one's own disagreement weights (0 on
    the diagonal) instead of ``weighting``. Cohen 1960, Educ. Psychol. Meas. 20:37-46; 1968, Psychol. Bull.
    70:213-220. Refused when both scouts used only one category. Raises ValueError for a table that is not
    square, negative or empty, or weights that do not fit it.
    """
    size = len(table)
    n = sum(whole_number(cell, "a count") for row in table for cell in row)
    if size < 2 or any(len(row) != size for row in table) or n == 0:
        raise ValueError("the table must be square, of two categories or more, and not empty")
    blame = disagreement_weights(size, weighting) if weights is None else weights
    if len(blame) != size or any(len(row) != size or min(row) < 0.0 for row in blame):
        raise ValueError("weights must be as many as the table's cells and not negative")
    span = range(size)
    worst = positive_number(max(max(row) for row in blame), "largest weight")
    credit = [[1.0 - blame[i][j] / worst for j in span] for i in span]
    share = [[table[i][j] / n for j in span] for i in span]
    rows, columns = [math.fsum(row) for row in share], [math.fsum(share[i][j] for i in span) for j in span]
    observed = math.fsum(credit[i][j] * share[i][j] for i in span for j in span)
    by_chance = math.fsum(credit[i][j] * rows[i] * columns[j] for i in span for j in span)
    if by_chance >= 1.0 - 1e-12:
        return Refused(ONE_CATEGORY_ONLY)
    value = (observed - by_chance) / (1.0 - by_chance)
    by_row = [math.fsum(credit[i][j] * columns[j] for j in span) for i in span]
    by_column = [math.fsum(credit[i][j] * rows[i] for i in span) for j in span]
    squares = math.fsum(
        share[i][j] * (credit[i][j] - (by_row[i] + by_column[j]) * (1.0 - value)) ** 2
        for i in span
        for j in span
    )
    spread = max(0.0, squares - (value - by_chance * (1.0 - value)) ** 2)
    error = math.sqrt(spread / n) / (1.0 - by_chance)
    half = two_sided_z(level) * error
    return Kappa(value, error, value - half, value + half, observed, by_chance, n, level)


def lins_concordance(
    first: Sequence[float], second: Sequence[float], level: float = 0.95
) -> Concordance | Refused:
    """Lin's concordance 2·sxy/(sx²+sy²+(x̄-ȳ)²), divisor n, interval on the inverse hyperbolic tangent.

    Lin 1989, Biometrics 45:255-268, with the correction of 2000, 56:324-325. Both scouts on the same plants,
    same order. Refused when a scout's readings do not differ or are unrelated exactly. Raises ValueError for
    fewer than three pairs, unequal lengths or values that are not finite.
    """
    x, y = finite_numbers(first, "first scout", 3), finite_numbers(second, "second scout", 3)
    same_length(x, y, "both scouts' readings")
    n = len(x)
    mean_x, mean_y = math.fsum(x) / n, math.fsum(y) / n
    var_x = math.fsum((a - mean_x) ** 2 for a in x) / n
    var_y = math.fsum((b - mean_y) ** 2 for b in y) / n
    both = math.fsum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / n
    if var_x == 0.0 or var_y == 0.0 or both == 0.0:
        return Refused(NO_SPREAD_TO_COMPARE)
    value = 2.0 * both / (var_x + var_y + (mean_x - mean_y) ** 2)
    r = both / math.sqrt(var_x * var_y)
    if abs(value) >= 1.0 - 1e-14:
        whole = math.copysign(1.0, value)
        return Concordance(whole, 0.0, whole, whole, whole, 1.0, n, level)
    u2 = (mean_x - mean_y) ** 2 / math.sqrt(var_x * var_y)
    variance = (1.0 - r**2) * value**2 * (1.0 - value**2) / r**2
    variance += 2.0 * value**3 * (1.0 - value) * u2 / r - value**4 * u2**2 / (2.0 * r**2)
    error = math.sqrt(max(0.0, variance) / (n - 2))
    half = two_sided_z(level) * error / (1.0 - value**2)
    low, high = math.tanh(math.atanh(value) - half), math.tanh(math.atanh(value) + half)
    return Concordance(value, error, low, high, r, value / r, n, level)


def mean_difference(first: Sequence[float], second: Sequence[float], level: float = 0.95) -> MeanEstimate:
    """How much more the first scout reads than the second on the same plants: paired mean with t interval.

    Raises ValueError for no pair, unequal lengths or values that are not finite.
    """
    same_length(first, second, "both scouts' readings")
    return mean_interval([a - b for a, b in zip(first, second, strict=True)], level=level)


def limits_of_agreement(
    first: Sequence[float], second: Sequence[float], level: float = 0.95, multiplier: float | None = None
) -> AgreementLimits:
    """Limits of agreement: mean difference ± z·SD, z two-sided at ``level`` (or ``multiplier``, such as 2).

    Standard error of a limit √(3s²/n). Bland & Altman 1986, Lancet i:307-310. Raises ValueError for fewer
    than two pairs, unequal lengths or values that are not finite.
    """
    finite_numbers(first, "first scout", 2)
    mean = mean_difference(first, second, level)
    deviation = mean.standard_deviation or 0.0
    reach = (
        two_sided_z(level) if multiplier is None else positive_number(multiplier, "multiplier")
    ) * deviation
    half = two_sided_t(level, mean.n - 1) * deviation / math.sqrt(mean.n)
    return AgreementLimits(
        mean_difference=mean.mean,
        mean_low=mean.mean - half,
        mean_high=mean.mean + half,
        standard_deviation=deviation,
        lower_limit=mean.mean - reach,
        upper_limit=mean.mean + reach,
        limit_standard_error=math.sqrt(3.0 * deviation**2 / mean.n),
        n=mean.n,
        level=level,
    )
