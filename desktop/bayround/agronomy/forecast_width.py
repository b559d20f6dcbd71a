"""How wide a forecast's interval must be, once the forecaster's own record is known.

A model says how uncertain its forecast is; its record says how far it was out. The two are drawn together as
a normal variance is from a prior guess: scaled inverse chi-square (Gelman et al. 2013, Bayesian Data
Analysis, 3rd ed., section 3.3, with a flat prior on the mean).
"""

import math
from collections.abc import Sequence

from bayround.agronomy.distributions import two_sided_z
from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import counts_of, finite_numbers, positive_number, same_length, share_between

__all__ = [
    "counting_variation",
    "pooled_deviation",
    "pooled_variation_of_counts",
    "relative_deviation_of_next",
    "scaled_residuals",
    "width_factor",
]


def pooled_deviation(residuals: Sequence[float], *, prior_deviation: float, prior_weight: float) -> float:
    """Standard deviation of residuals, drawn towards ``prior_deviation``; same unit.

    √((w·prior² + Σ(r - r̄)²) / (w + n - 1)): ``prior_weight`` w is how many residuals the prior is worth.
    With none or one it is the prior itself. Errors: ValueError when the weight is not above 0, the prior is
    below 0, or a residual is not finite.
    """
    numbers = finite_numbers(residuals, "residuals", 0)
    weight = positive_number(prior_weight, "prior_weight")
    prior = not_negative_number(prior_deviation, "prior_deviation")
    if len(numbers) < 2:
        return prior
    mean = math.fsum(numbers) / len(numbers)
    squares = math.fsum([(number - mean) ** 2 for number in numbers])
    return math.sqrt((weight * prior**2 + squares) / (weight + len(numbers) - 1))


def scaled_residuals(actual: Sequence[float], foreseen: Sequence[float]) -> list[float]:
    """How far each week was out, as a share: (actual - foreseen) / root of (mean of both x mean foreseen).

    For errors that are small it is the log ratio; a week in which nothing came, or little was foreseen, stays
    within bounds. Weeks without either are left out. Errors: ValueError when lists differ in length or a number
    is not finite.
    """
    came, said = finite_numbers(actual, "actual", 0), finite_numbers(foreseen, "foreseen", 0)
    same_length(came, said, "actual and foreseen")
    level = math.fsum(said) / max(1, len(said))
    return [
        (each - expected) / math.sqrt((each + expected) / 2 * level)
        for each, expected in zip(came, said, strict=True)
        if each + expected > 0
    ]


def relative_deviation_of_next(week_deviation: float, factor_error: float) -> float:
    """Standard deviation of the next week around a corrected forecast, as a share of the forecast.

    Root of the summed squares of the swing from week to week and of what is still unknown of the factor.
    Errors: ValueError when one is below 0.
    """
    return math.hypot(
        not_negative_number(week_deviation, "week_deviation"),
        not_negative_number(factor_error, "factor_error"),
    )


def width_factor(inside: int, weeks: int, *, level: float, prior_weight: float) -> float:
    """Factor on the width of an interval that promises ``level``, from how many past ones held what came.

    The share that held is drawn towards the promise, (w·level + inside) / (w + weeks), the mean of a beta
    posterior (Gelman et al. 2013, section 2.4): ``prior_weight`` w is how many weeks the promise is worth. Factor
    = z(level) / z(that share), normal quantiles of two-sided intervals: errors that are normal lie in the
    interval so wide with chance ``level``. Without a week it is 1. Errors: ValueError when more held than there
    were, the level is no share, or the weight is not above 0.
    """
    promised = share_between(level, "level")
    weight = positive_number(prior_weight, "prior_weight")
    if weeks == 0:
        return 1.0
    held, judged = counts_of(inside, weeks, "inside")
    return two_sided_z(promised) / two_sided_z((weight * promised + held) / (weight + judged))


def counting_variation(counts: Sequence[float], plants: Sequence[float]) -> float:
    """Squared variation (variance over squared mean) that counts on so many plants have by luck alone.

    The mean of 1 / expected count over the rounds (Poisson). Errors: ValueError when nothing was counted, lists
    differ in length, a count is below 0 or a number of plants not above 0.
    """
    rate = _rate(counts, plants)
    return math.fsum([1 / (rate * on) for on in plants]) / len(plants)


def pooled_variation_of_counts(
    counts: Sequence[float], plants: Sequence[float], *, prior_variation: float, prior_weight: float
) -> float:
    """Squared variation of what is counted, beyond the luck of counting, drawn towards ``prior_variation``².

    counts: fruit or flowers on so many ``plants`` at each round. Own part: variance of the rounds about their mean
    rate, over the squared rate, less what luck explains, and never below 0: for equal plants (s² - mean) / mean²,
    the moment estimate of 1/k of a negative binomial (Bliss & Fisher 1953, Biometrics 9:176-200, from memory). Then
    (w·prior² + (n-1)·own) / (w + n - 1), as `pooled_deviation`. Errors: as `counting_variation`, and ValueError
    when the weight is not above 0 or the prior below 0.
    """
    rate, luck = _rate(counts, plants), counting_variation(counts, plants)
    weight = positive_number(prior_weight, "prior_weight")
    prior = not_negative_number(prior_variation, "prior_variation") ** 2
    more = len(counts) - 1
    if more == 0:
        return prior
    scatter = math.fsum([(c / (rate * on) - 1) ** 2 for c, on in zip(counts, plants, strict=True)]) / more
    return (weight * prior + more * max(0.0, scatter - luck)) / (weight + more)


def _rate(counts: Sequence[float], plants: Sequence[float]) -> float:
    """Counted on a plant, over all rounds; above 0."""
    same_length(counts, plants, "counts and plants")
    if not (counts and min(counts) >= 0 and min(plants) > 0):
        raise ValueError("counts must not be below 0, on at least one plant each")
    return positive_number(math.fsum(counts) / math.fsum(plants), "sum of counts")
