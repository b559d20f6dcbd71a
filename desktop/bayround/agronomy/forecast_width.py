"""How wide a forecast's interval must be, once the forecaster's own record is known.

A model says how uncertain its forecast is; its record says how far it was out. The two are drawn together as
a normal variance is from a prior guess: scaled inverse chi-square (Gelman et al. 2013, Bayesian Data
Analysis, 3rd ed., section 3.3, with a flat prior on the mean).
"""

import math
from collections.abc import Sequence

from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import finite_numbers, positive_number, same_length

__all__ = ["pooled_deviation", "relative_deviation_of_next", "scaled_residuals"]


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
    squares = math.fsum((number - mean) ** 2 for number in numbers)
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
