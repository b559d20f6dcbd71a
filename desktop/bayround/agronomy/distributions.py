"""Quantiles of the usual distributions, and what a two-sided level needs of them.

The normal comes from the standard library, the rest from ``scipy.special`` (quicker to import than
``scipy.stats``). The same few are asked for again and again, so they are kept.
"""

from functools import lru_cache

from bayround.agronomy.inputs import positive_number, share_between


@lru_cache(maxsize=4096)
def normal_quantile(probability: float) -> float:
    """Standard normal quantile; ValueError unless 0 < probability < 1."""
    from statistics import NormalDist

    return NormalDist().inv_cdf(share_between(probability, "probability"))


def two_sided_z(level: float) -> float:
    """Normal quantile of a two-sided interval: 1.959964 at ``level`` 0.95."""
    return normal_quantile(0.5 + share_between(level, "level") / 2.0)


@lru_cache(maxsize=4096)
def t_quantile(probability: float, degrees_of_freedom: float) -> float:
    """Student's t quantile; degrees of freedom need not be whole. ValueError on impossible input."""
    from scipy.special import stdtrit

    share_between(probability, "probability")
    return float(stdtrit(positive_number(degrees_of_freedom, "degrees of freedom"), probability))


def two_sided_t(level: float, degrees_of_freedom: float) -> float:
    """Student's t quantile of a two-sided interval: 2.262157 at ``level`` 0.95 and 9 degrees of freedom."""
    return t_quantile(0.5 + share_between(level, "level") / 2.0, degrees_of_freedom)


@lru_cache(maxsize=4096)
def chi_square_quantile(probability: float, degrees_of_freedom: float) -> float:
    """Chi-square quantile; ValueError on impossible input."""
    from scipy.special import gammaincinv

    share_between(probability, "probability")
    return 2.0 * float(
        gammaincinv(positive_number(degrees_of_freedom, "degrees of freedom") / 2.0, probability)
    )


@lru_cache(maxsize=4096)
def beta_quantile(probability: float, first: float, second: float) -> float:
    """Quantile of the beta distribution with shapes ``first`` and ``second``, both above 0."""
    from scipy.special import betaincinv

    share_between(probability, "probability")
    return float(betaincinv(positive_number(first, "shape"), positive_number(second, "shape"), probability))
