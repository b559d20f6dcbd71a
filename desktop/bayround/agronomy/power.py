"""How many plots, and what difference could this trial see? To be asked before planting.

Exact powers from the noncentral t and F distributions (Cohen 1988, Statistical Power Analysis); counts
by the normal approximation for two negative binomial means (Zhu & Lakkis 2014, Statistics in Medicine
33:376-387, from memory). Plants inside a plot are not plots.
"""

import math
from collections.abc import Callable

from bayround.agronomy.distributions import normal_quantile, t_quantile
from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number, share_between, whole_number
from bayround.agronomy.noncentral import chance_f_below, chance_t_beyond
from bayround.agronomy.studentized_range import studentized_range_quantile

__all__ = [
    "error_degrees_of_freedom",
    "plots_for_f_test",
    "plots_for_two_counts",
    "plots_for_two_means",
    "power_of_f_test",
    "power_of_t_test",
    "smallest_detectable_difference",
    "smallest_difference_of_design",
]

_MOST_PLOTS = 10_000_000.0


def _solve(gap: Callable[[float], float], low: float, high: float) -> float:
    from scipy.optimize import brentq

    return float(brentq(gap, low, high, xtol=1e-10, rtol=1e-13))


def power_of_t_test(
    difference: float, deviation: float, plots: float, *, paired: bool = False, alpha: float = 0.05
) -> float:
    """Chance that a two-sided t test finds a true difference between two treatments.

    ``difference`` and ``deviation`` (standard deviation of plots; of the differences when ``paired``)
    in one unit; ``plots`` per treatment (pairs when paired), 2 or more, need not be whole.
    Errors: ValueError on impossible input.
    """
    positive_number(deviation, "deviation")
    share_between(alpha, "alpha")
    if positive_number(plots, "plots") < 2:
        raise ValueError(f"plots must be at least 2, got {plots}")
    degrees = plots - 1 if paired else 2 * plots - 2
    root = math.sqrt(plots if paired else plots / 2)
    effect = abs(difference) / deviation * root
    return chance_t_beyond(t_quantile(1 - alpha / 2, degrees), degrees, effect)


def plots_for_two_means(
    difference: float,
    deviation: float,
    *,
    paired: bool = False,
    alpha: float = 0.05,
    power: float = 0.8,
) -> float:
    """Plots per treatment (pairs when ``paired``) for a t test to find a true difference; round it up.

    Units and errors as `power_of_t_test`; ValueError too when the difference is 0 or hopelessly small.
    """
    share_between(power, "power")
    if difference == 0:
        raise ValueError("difference must not be 0: no number of plots finds it")

    def gap(plots: float) -> float:
        return power_of_t_test(difference, deviation, plots, paired=paired, alpha=alpha) - power

    if gap(2.0) >= 0:
        return 2.0
    highest = 4.0
    while gap(highest) < 0:
        highest *= 2
        if highest > _MOST_PLOTS:
            raise ValueError("the difference is too small beside the spread to be found by any trial")
    return _solve(gap, 2.0, highest)


def power_of_f_test(effect: float, treatments: int, plots_in_all: float, *, alpha: float = 0.05) -> float:
    """Chance that a one-way F test finds treatments that differ.

    ``effect``: standard deviation of the true treatment means over that of plots (Cohen's f);
    ``plots_in_all``: all plots together. Errors: ValueError on impossible input.
    """
    from scipy.special import fdtri

    not_negative_number(effect, "effect")
    share_between(alpha, "alpha")
    groups = whole_number(treatments, "treatments", at_least=2)
    if positive_number(plots_in_all, "plots_in_all") <= groups:
        raise ValueError(f"plots_in_all must be above the number of treatments, got {plots_in_all}")
    critical = float(fdtri(groups - 1, plots_in_all - groups, 1 - alpha))
    return 1 - chance_f_below(critical, groups - 1, plots_in_all - groups, plots_in_all * effect**2)


def plots_for_f_test(effect: float, treatments: int, *, alpha: float = 0.05, power: float = 0.8) -> float:
    """Plots in all for a one-way F test to find treatments that differ by Cohen's f; round it up.

    Errors: ValueError on impossible input, or an effect too small for any trial.
    """
    positive_number(effect, "effect")
    share_between(power, "power")
    least = whole_number(treatments, "treatments", at_least=2) + 1.0

    def gap(plots: float) -> float:
        return power_of_f_test(effect, treatments, plots, alpha=alpha) - power

    if gap(least) >= 0:
        return least
    highest = 2 * least
    while gap(highest) < 0:
        highest *= 2
        if highest > _MOST_PLOTS:
            raise ValueError("the effect is too small to be found by any trial")
    return _solve(gap, least, highest)


def error_degrees_of_freedom(treatments: int, replicates: int, *, in_blocks: bool) -> int:
    """Degrees of freedom left for error: (t - 1)(r - 1) in blocks, t (r - 1) without.

    Errors: ValueError with fewer than two treatments or replicates.
    """
    groups = whole_number(treatments, "treatments", at_least=2)
    repeats = whole_number(replicates, "replicates", at_least=2)
    return (groups - 1) * (repeats - 1) if in_blocks else groups * (repeats - 1)


def smallest_detectable_difference(
    standard_error_of_difference: float,
    error_degrees: float,
    treatments: int,
    *,
    alpha: float = 0.05,
    power: float = 0.8,
) -> float:
    """Smallest true difference of a pair that Tukey's comparison finds with this power.

    In the unit of the standard error: the difference at which noncentral t passes q/sqrt(2) with
    probability ``power``; for two treatments this is the t test. Errors: ValueError on impossible input.
    """
    positive_number(standard_error_of_difference, "standard_error_of_difference")
    share_between(alpha, "alpha")
    if share_between(power, "power") <= alpha:
        raise ValueError("power must be above alpha")
    groups = whole_number(treatments, "treatments", at_least=2)
    critical = studentized_range_quantile(1 - alpha, groups, error_degrees) / math.sqrt(2)

    def gap(noncentrality: float) -> float:
        return chance_t_beyond(critical, error_degrees, noncentrality) - power

    highest = critical + 2
    while gap(highest) < 0:
        highest *= 2
    return standard_error_of_difference * _solve(gap, 0.0, highest)


def smallest_difference_of_design(
    deviation: float,
    treatments: int,
    replicates: int,
    *,
    in_blocks: bool,
    alpha: float = 0.05,
    power: float = 0.8,
) -> float:
    """Smallest difference a planned trial can see, in the unit of ``deviation`` (of plots in a block).

    Give the deviation in % of the mean to get the difference in % of the mean. Errors as
    `smallest_detectable_difference`.
    """
    degrees = error_degrees_of_freedom(treatments, replicates, in_blocks=in_blocks)
    error = positive_number(deviation, "deviation") * math.sqrt(2 / replicates)
    return smallest_detectable_difference(error, degrees, treatments, alpha=alpha, power=power)


def plots_for_two_counts(
    first_mean: float,
    second_mean: float,
    *,
    clumping_k: float = math.inf,
    alpha: float = 0.05,
    power: float = 0.8,
) -> float:
    """Plots per treatment to tell two mean counts apart (negative binomial); round it up.

    (z + z)² (1/m1 + 1/m2 + 2/k) / ln²(m1/m2); ``clumping_k`` small for clumped counts, infinite for
    Poisson counts. Errors: ValueError when means are equal or not above 0, or k is not above 0.
    """
    positive_number(first_mean, "first_mean")
    positive_number(second_mean, "second_mean")
    if first_mean == second_mean:
        raise ValueError("the two means are equal: no number of plots tells them apart")
    if not clumping_k > 0:
        raise ValueError(f"clumping_k must be greater than 0, got {clumping_k}")
    points = normal_quantile(1 - share_between(alpha, "alpha") / 2) + normal_quantile(power)
    variance = 1 / first_mean + 1 / second_mean + 2 / clumping_k
    return points**2 * variance / math.log(first_mean / second_mean) ** 2
