"""Noncentral t and F: how often a test passes its critical point when there is a true difference.

Both hold over the whole range: t by averaging over the error deviation, F from scipy, and beyond scipy's
range (noncentrality above 10⁹) by the limit in which only the error still varies.
"""

from bayround.agronomy.error_deviation import deviation_nodes
from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number

__all__ = ["chance_f_below", "chance_t_beyond"]

_LARGEST_NONCENTRALITY = 1e9


def chance_t_beyond(critical: float, degrees: float, noncentrality: float) -> float:
    """Chance that |t| passes ``critical`` with this noncentrality (0: central).

    Average over the error deviation s of P(|Z + noncentrality| > critical s). Errors: ValueError when degrees
    is below 1, critical not above 0, or the noncentrality below 0.
    """
    import numpy as np
    from scipy.special import ndtr

    positive_number(critical, "critical")
    not_negative_number(noncentrality, "noncentrality")
    turns = [(noncentrality + by) / critical for by in (-9.0, 0.0, 9.0)]
    s, weights = deviation_nodes(degrees, turns)
    return float(np.sum(weights * (ndtr(noncentrality - critical * s) + ndtr(-noncentrality - critical * s))))


def chance_f_below(f: float, degrees: float, error_degrees: float, noncentrality: float) -> float:
    """Chance that F stays below ``f`` with this noncentrality (0: central).

    Errors: ValueError when degrees are not above 0, or another number is below 0.
    """
    from scipy.special import gammaincc, ncfdtr

    positive_number(degrees, "degrees")
    positive_number(error_degrees, "error_degrees")
    if not_negative_number(f, "f") == 0:
        return 0.0
    if not_negative_number(noncentrality, "noncentrality") > _LARGEST_NONCENTRALITY:
        return float(gammaincc(error_degrees / 2, noncentrality * error_degrees / (2 * degrees * f)))
    return float(ncfdtr(degrees, error_degrees, noncentrality, f))
