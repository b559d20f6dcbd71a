"""Averages over the error deviation of a trial: what t, noncentral t and the studentized range have in common.

With ``degrees`` degrees of freedom, s = sqrt(chi²/degrees) is the estimated deviation over the true one. A
probability that is known for every s is averaged over s by Gauss-Legendre panels.
"""

import math
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from bayround.agronomy.inputs import positive_number

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["deviation_nodes", "panel_nodes"]


@cache
def _gauss_legendre() -> tuple["NDArray[Any]", "NDArray[Any]"]:
    import numpy as np

    return np.polynomial.legendre.leggauss(64)


def panel_nodes(edges: Sequence[float]) -> tuple["NDArray[Any]", "NDArray[Any]"]:
    """Nodes and weights of 64-point Gauss-Legendre panels between rising edges."""
    import numpy as np

    nodes, weights = _gauss_legendre()
    pairs = list(pairwise(edges))
    return (
        np.concatenate([start + (end - start) * (nodes + 1) / 2 for start, end in pairs]),
        np.concatenate([weights * (end - start) / 2 for start, end in pairs]),
    )


def deviation_nodes(degrees: float, turns: Sequence[float]) -> tuple["NDArray[Any]", "NDArray[Any]"]:
    """Values of s and weights adding up to 1, with panels parted where what is averaged turns sharply.

    ``turns``: rising values of s (those outside the range of s do no harm). Errors: ValueError when degrees
    is below 1.
    """
    import numpy as np
    from scipy.special import gammainccinv, gammaincinv

    if positive_number(degrees, "degrees") < 1:
        raise ValueError(f"degrees must be at least 1, not {degrees}")
    half = degrees / 2
    low = math.sqrt(float(gammaincinv(half, 1e-18)) / half)
    high = math.sqrt(float(gammainccinv(half, 1e-18)) / half)
    s, weights = panel_nodes([low, *(min(high, max(low, turn)) for turn in turns), high])
    apart = s - 1
    log_s = np.where(s < 0.5, np.log(s), np.log1p(np.maximum(apart, -0.5)))
    density = np.exp(half * (2 * log_s - 2 * apart - apart**2) - log_s) * weights
    return s, density / density.sum()
