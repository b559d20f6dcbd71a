"""Which treatments differ, by how much, and how sure that is.

Tukey's honest significant difference, with Kramer's form for unequal sizes (Tukey 1953; Kramer 1956,
Biometrics 12:307-310): the chance of even one false difference among all pairs stays at the level asked
for. Fisher's least significant difference only after a significant F test, and then said so. Share of
variation explained with its noncentral-F interval: Steiger 2004, Psychological Methods 9:164-182.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from bayround.agronomy.distributions import t_quantile
from bayround.agronomy.guards import not_negative_number, share_from_none_to_all
from bayround.agronomy.inputs import positive_number, share_between
from bayround.agronomy.noncentral import chance_f_below
from bayround.agronomy.studentized_range import chance_range_above, studentized_range_quantile

__all__ = [
    "Share",
    "TreatmentDifference",
    "explained_share",
    "protected_lsd",
    "significant_pairs",
    "tukey_comparisons",
]


@dataclass(frozen=True, slots=True)
class TreatmentDifference:
    """First less second, with the interval that holds for all pairs together (for this pair under LSD)."""

    first: str
    second: str
    difference: float
    low: float
    high: float
    standard_error: float
    p_value: float
    significant: bool


@dataclass(frozen=True, slots=True)
class Share:
    """Share (0 to 1) of the variation that the treatments explain, and its interval."""

    share: float
    low: float
    high: float


def _difference_errors(
    count: int, covariance: Sequence[Sequence[float]], error_mean_square: float
) -> dict[tuple[int, int], float]:
    positive_number(error_mean_square, "error_mean_square")
    if len(covariance) != count or any(len(row) != count for row in covariance):
        raise ValueError("mean_covariance must have one row and one column a treatment")
    return {
        (i, j): math.sqrt(error_mean_square * (covariance[i][i] + covariance[j][j] - 2 * covariance[i][j]))
        for i, j in combinations(range(count), 2)
    }


def tukey_comparisons(
    names: Sequence[str],
    means: Sequence[float],
    mean_covariance: Sequence[Sequence[float]],
    *,
    error_mean_square: float,
    error_degrees: float,
    alpha: float = 0.05,
) -> tuple[TreatmentDifference, ...]:
    """Every pair by Tukey's honest significant difference, Kramer's form where sizes differ.

    ``mean_covariance``: covariance of the means divided by the error variance (1/n on the diagonal when
    plots are independent); half width = q sqrt(error variance of the difference / 2).
    Errors: ValueError when sizes do not match, fewer than two means, or the error is not above 0.
    """
    errors = _difference_errors(len(means), mean_covariance, error_mean_square)
    if len(names) != len(means) or len(means) < 2:
        raise ValueError("names and means must have the same length, at least 2")
    quantile = studentized_range_quantile(1 - alpha, len(means), error_degrees)
    ranges = [math.sqrt(2) * abs(means[i] - means[j]) / error for (i, j), error in errors.items()]
    tails = [chance_range_above(each, len(means), error_degrees) for each in ranges]
    return tuple(
        _comparison(names, means, pair, error, quantile / math.sqrt(2), tail)
        for (pair, error), tail in zip(errors.items(), tails, strict=True)
    )


def _comparison(
    names: Sequence[str],
    means: Sequence[float],
    pair: tuple[int, int],
    standard_error: float,
    multiplier: float,
    p_value: float,
) -> TreatmentDifference:
    difference = means[pair[0]] - means[pair[1]]
    half = multiplier * standard_error
    return TreatmentDifference(
        first=names[pair[0]],
        second=names[pair[1]],
        difference=difference,
        low=difference - half,
        high=difference + half,
        standard_error=standard_error,
        p_value=p_value,
        significant=abs(difference) > half,
    )


def protected_lsd(
    names: Sequence[str],
    means: Sequence[float],
    mean_covariance: Sequence[Sequence[float]],
    *,
    error_mean_square: float,
    error_degrees: float,
    f_test_p_value: float,
    alpha: float = 0.05,
) -> tuple[TreatmentDifference, ...] | None:
    """Every pair by the least significant difference, or None when the F test was not significant.

    The None is the protection: without a significant F test these comparisons find differences that are
    not there. Errors: ValueError as `tukey_comparisons`, or a p-value outside 0 to 1.
    """
    if share_from_none_to_all(f_test_p_value, "f_test_p_value") >= share_between(alpha, "alpha"):
        return None
    from scipy.special import stdtr

    errors = _difference_errors(len(means), mean_covariance, error_mean_square)
    multiplier = t_quantile(1 - alpha / 2, error_degrees)
    return tuple(
        _comparison(
            names,
            means,
            (i, j),
            error,
            multiplier,
            float(2 * stdtr(error_degrees, -abs(means[i] - means[j]) / error)),
        )
        for (i, j), error in errors.items()
    )


def significant_pairs(comparisons: Sequence[TreatmentDifference]) -> tuple[tuple[str, str], ...]:
    """The pairs that differ significantly, for `letters.compact_letters`."""
    return tuple((each.first, each.second) for each in comparisons if each.significant)


def explained_share(f: float, treatment_degrees: int, error_degrees: float, alpha: float = 0.05) -> Share:
    """Share of the variation (blocks left out) that the treatments explain, from an F test.

    share = df F / (df F + error df); interval: the noncentralities at which the observed F stands at
    1 - alpha/2 and alpha/2, each turned into a share by lambda / (lambda + df + error df + 1) (Steiger
    2004). Errors: ValueError on a negative F, or degrees not greater than 0.
    """
    from scipy.optimize import brentq

    not_negative_number(f, "f")
    positive_number(treatment_degrees, "treatment_degrees")
    positive_number(error_degrees, "error_degrees")
    size = treatment_degrees + error_degrees + 1

    def limit(probability: float) -> float:
        def gap(noncentrality: float) -> float:
            return chance_f_below(f, treatment_degrees, error_degrees, noncentrality) - probability

        if f == 0 or gap(0.0) <= 0:
            return 0.0
        highest = 10.0 * (1 + f * treatment_degrees)
        while gap(highest) > 0:
            highest *= 2
        root = float(brentq(gap, 0.0, highest, xtol=1e-10, maxiter=500))
        return root / (root + size)

    explained = treatment_degrees * f
    return Share(explained / (explained + error_degrees), limit(1 - alpha / 2), limit(alpha / 2))
