"""Means with honest intervals: simple, walked, ratio and clustered samples, and whether two bays differ.

Wherever the number of plants in the bay is known, the finite-population correction is used (Cochran 1977,
Sampling Techniques, 3rd ed., chapters 2, 6, 9 and 11; from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.inputs import finite_numbers, same_length, share_between, whole_number
from bayround.agronomy.refusals import NO_SCATTER, Refused


@dataclass(frozen=True, slots=True)
class MeanEstimate:
    """A mean with its interval, in the unit of the values. With one value there is no interval: ``None``."""

    mean: float
    standard_deviation: float | None
    standard_error: float | None
    low: float | None
    high: float | None
    n: int
    population: int | None
    level: float


@dataclass(frozen=True, slots=True)
class RatioEstimate:
    """Sum of y over sum of x across ``n`` clusters, with its interval; unit of y per unit of x."""

    ratio: float
    standard_error: float
    low: float
    high: float
    n: int
    level: float


@dataclass(frozen=True, slots=True)
class ClusterEstimate:
    """Mean per plant from plants in bays, and what the grouping costs.

    ``design_effect`` says how many times more plants this takes than plants drawn singly over all bays, and
    ``effective_n`` how many such plants the sample is worth (never more than were looked at).
    ``intraclass_correlation`` is how alike plants of one bay are: 0 not at all, 1 wholly, below 0 less than
    chance.
    """

    mean: float
    standard_error: float
    low: float
    high: float
    bays: int
    plants: int
    intraclass_correlation: float
    design_effect: float
    effective_n: float
    level: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """First bay minus second bay, with interval. ``told_apart`` only when the interval leaves out zero."""

    difference: float
    standard_error: float
    low: float
    high: float
    degrees_of_freedom: float
    told_apart: bool
    level: float


def _finite_population_factor(n: int, population: int | None) -> float:
    """Factor sqrt(1 - n/N) on a standard error; 1 when the population is not given.

    Raises ValueError when more were sampled than there are.
    """
    if population is None:
        return 1.0
    if whole_number(population, "population", at_least=1) < n:
        raise ValueError(f"sampled {n} of a population of {population}")
    return math.sqrt(1.0 - n / population)


def sample_mean_and_deviation(values: Sequence[float]) -> tuple[float, float]:
    """Mean and standard deviation (divisor n - 1) of at least two finite values."""
    numbers = finite_numbers(values, "values", at_least=2)
    mean = math.fsum(numbers) / len(numbers)
    return mean, math.sqrt(math.fsum((number - mean) ** 2 for number in numbers) / (len(numbers) - 1))


def mean_interval(
    values: Sequence[float], population: int | None = None, level: float = 0.95
) -> MeanEstimate:
    """Mean with Student's t interval: mean ± t(n-1) · s/√n · √(1 - n/N).

    ``population`` is the number of plants in the bay. Raises ValueError for no value, a value that is not
    finite, or more values than plants.
    """
    numbers = finite_numbers(values, "values")
    share_between(level, "level")
    n = len(numbers)
    factor = _finite_population_factor(n, population)
    if n == 1:
        return MeanEstimate(numbers[0], None, None, None, None, 1, population, level)
    mean, deviation = sample_mean_and_deviation(numbers)
    error = deviation / math.sqrt(n) * factor
    half = two_sided_t(level, n - 1) * error
    return MeanEstimate(mean, deviation, error, mean - half, mean + half, n, population, level)


def walked_mean_interval(
    values_in_walking_order: Sequence[float], population: int | None = None, level: float = 0.95
) -> MeanEstimate:
    """Mean of a grid walked in order, its error taken from the differences between neighbouring stops.

    Variance of the mean (1 - n/N) · Σ(y[i+1]-y[i])² / (2n(n-1)): a slow trend along the walk, which an even
    grid averages out, does not widen the interval (Wolter 1985, Introduction to Variance Estimation, ch. 7;
    von Neumann et al. 1941, whose variance of this estimator gives 2(n-1)²/(3n-4) degrees of freedom; both
    from memory). ``standard_deviation`` is the one left after the trend. Raises ValueError as
    ``mean_interval`` does.
    """
    plain = mean_interval(values_in_walking_order, population, level)
    if plain.n == 1:
        return plain
    n, numbers = plain.n, finite_numbers(values_in_walking_order, "values")
    squares = math.fsum((later - earlier) ** 2 for earlier, later in pairwise(numbers))
    deviation = math.sqrt(squares / (2.0 * (n - 1)))
    error = deviation / math.sqrt(n) * _finite_population_factor(n, population)
    half = two_sided_t(level, 2.0 * (n - 1) ** 2 / (3.0 * n - 4.0)) * error
    return MeanEstimate(
        plain.mean, deviation, error, plain.mean - half, plain.mean + half, n, population, level
    )


def ratio_estimate(
    y_totals: Sequence[float], x_totals: Sequence[float], population: int | None = None, level: float = 0.95
) -> RatioEstimate:
    """Ratio Σy/Σx over sampled clusters, with t interval on n - 1 degrees of freedom.

    Standard error √((1-n/N)/n · Σ(y-Rx)²/(n-1)) / x̄ (Cochran 1977, ch. 6; from memory). With x the number of
    plants looked at in each bay this is the mean per plant over bays. ``population`` is the number of bays
    there are. Raises ValueError for fewer than two clusters, unequal lengths, a negative x or an x sum of
    zero.
    """
    y, x = finite_numbers(y_totals, "y totals", 2), finite_numbers(x_totals, "x totals", 2)
    same_length(y, x, "y and x totals")
    if min(x) < 0.0 or math.fsum(x) <= 0.0:
        raise ValueError("x totals must not be negative and not all zero")
    n = len(y)
    ratio = math.fsum(y) / math.fsum(x)
    residual = math.fsum((y_i - ratio * x_i) ** 2 for y_i, x_i in zip(y, x, strict=True)) / (n - 1)
    error = math.sqrt(residual / n) * _finite_population_factor(n, population) / (math.fsum(x) / n)
    half = two_sided_t(level, n - 1) * error
    return RatioEstimate(ratio, error, ratio - half, ratio + half, n, level)


def intraclass_correlation(groups: Sequence[Sequence[float]]) -> float:
    """Analysis-of-variance estimate of the correlation of plants within a bay: (MSB-MSW)/(MSB+(m0-1)·MSW).

    m0 is the size all bays would need to have for the same information, equal to the size when sizes are
    equal (Snedecor & Cochran, Statistical Methods; from memory). 0 when nothing scatters or every bay has one
    plant. Raises ValueError for fewer than two bays or an empty bay.
    """
    if len(groups) < 2:
        raise ValueError(f"at least 2 bays needed, {len(groups)} given")
    bays = [finite_numbers(group, "a bay's values") for group in groups]
    sizes = [len(bay) for bay in bays]
    total = sum(sizes)
    if total == len(bays):
        return 0.0
    grand = math.fsum(math.fsum(bay) for bay in bays) / total
    means = [math.fsum(bay) / len(bay) for bay in bays]
    between = math.fsum(size * (mean - grand) ** 2 for size, mean in zip(sizes, means, strict=True))
    within = math.fsum((value - mean) ** 2 for bay, mean in zip(bays, means, strict=True) for value in bay)
    mean_between, mean_within = between / (len(bays) - 1), within / (total - len(bays))
    typical_size = (total - sum(size * size for size in sizes) / total) / (len(bays) - 1)
    spread = mean_between + (typical_size - 1.0) * mean_within
    return (mean_between - mean_within) / spread if spread > 0.0 else 0.0


def design_effect(plants_per_bay: float, correlation: float) -> float:
    """1 + (m - 1)·ICC: how many times more plants a grouped sample needs.

    Kish 1965, Survey Sampling (from memory). Raises ValueError for fewer than one plant a bay or a
    correlation outside -1 to 1.
    """
    if not plants_per_bay >= 1.0:
        raise ValueError(f"plants per bay must be at least 1, not {plants_per_bay}")
    if not -1.0 <= correlation <= 1.0:
        raise ValueError(f"a correlation lies between -1 and 1, not {correlation}")
    return 1.0 + (plants_per_bay - 1.0) * correlation


def cluster_estimate(
    groups: Sequence[Sequence[float]], population_bays: int | None = None, level: float = 0.95
) -> ClusterEstimate:
    """Mean per plant from plants in some of the bays: the bays, not the plants, are the sample.

    ``groups`` holds one sequence of plant values per bay; ``population_bays`` is how many bays there are. The
    interval is that of ``ratio_estimate`` with t on bays - 1 degrees of freedom. Raises ValueError for fewer
    than two bays or an empty bay.
    """
    correlation = intraclass_correlation(groups)
    sizes = [len(group) for group in groups]
    plants = sum(sizes)
    ratio = ratio_estimate([math.fsum(group) for group in groups], sizes, population_bays, level)
    size_felt = sum(size * size for size in sizes) / plants
    effect = design_effect(size_felt, correlation)
    return ClusterEstimate(
        mean=ratio.ratio,
        standard_error=ratio.standard_error,
        low=ratio.low,
        high=ratio.high,
        bays=ratio.n,
        plants=plants,
        intraclass_correlation=correlation,
        design_effect=effect,
        effective_n=plants / max(effect, 1.0),
        level=level,
    )


def compare_bays(
    first: Sequence[float],
    second: Sequence[float],
    first_population: int | None = None,
    second_population: int | None = None,
    level: float = 0.95,
) -> Comparison | Refused:
    """Can these two bays be told apart? Difference of means with Welch's interval.

    Welch 1947, Biometrika 34:28-35. Says whether the plants standing in the bays differ, not why: plants
    within one bay are no replicates of a variety or a treatment. Populations are the numbers of plants in the
    bays; with both counted out the difference is exact. Refused when no plant differs from its neighbours in
    either bay. Raises ValueError for fewer than two plants in a bay.
    """
    mean_1, deviation_1 = sample_mean_and_deviation(first)
    mean_2, deviation_2 = sample_mean_and_deviation(second)
    if deviation_1 == 0.0 and deviation_2 == 0.0:
        return Refused(NO_SCATTER)
    n_1, n_2 = len(first), len(second)
    variance_1 = (deviation_1 * _finite_population_factor(n_1, first_population)) ** 2 / n_1
    variance_2 = (deviation_2 * _finite_population_factor(n_2, second_population)) ** 2 / n_2
    difference, error = mean_1 - mean_2, math.sqrt(variance_1 + variance_2)
    if error == 0.0:
        freedom = float(n_1 + n_2 - 2)
    else:
        freedom = (variance_1 + variance_2) ** 2 / (variance_1**2 / (n_1 - 1) + variance_2**2 / (n_2 - 1))
    half = two_sided_t(level, freedom) * error
    low, high = difference - half, difference + half
    return Comparison(difference, error, low, high, freedom, low > 0.0 or high < 0.0, level)
