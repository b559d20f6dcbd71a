"""What looking again and again at a running trial does to the chance of a false finding.

Armitage, McPherson & Rowe 1969, Journal of the Royal Statistical Society A 132:235-244: a test at level
alpha, repeated each time as many data again have come in, on data in which nothing differs.
"""

from bayround.agronomy.inputs import share_between, whole_number

__all__ = ["chance_of_false_finding"]

_STEP = 0.02


def chance_of_false_finding(looks: int, alpha: float = 0.05) -> float:
    """Chance (0 to 1) that at least one of ``looks`` two-sided tests at ``alpha`` finds a difference.

    Looks lie evenly apart, each over all data so far, normal data with a known deviation: the density of
    the running sum that has stayed inside the limits is carried from look to look by quadrature.
    Errors: ValueError on impossible input, or more than 200 looks.
    """
    import numpy as np
    from scipy.special import ndtri

    count = whole_number(looks, "looks", at_least=1)
    if count > 200:
        raise ValueError(f"looks must be at most 200, got {looks}")
    limit = -float(ndtri(share_between(alpha, "alpha") / 2))
    grid = np.arange(-6.0, 6.0 + _STEP / 2, _STEP)
    kernel = np.exp(-(grid**2) / 2) / np.sqrt(2 * np.pi) * _STEP
    width = int(np.ceil((limit * np.sqrt(count) + 7) / _STEP))
    sums = np.arange(-width, width + 1) * _STEP
    density = np.zeros_like(sums)
    density[width] = 1.0
    for look in range(1, count + 1):
        density = np.convolve(density, kernel, mode="same")
        edge = limit * np.sqrt(look)
        # the cell that the limit cuts counts by the part of it that lies inside
        inside = np.clip((edge - np.abs(sums)) / _STEP + 0.5, 0.0, 1.0)
        density = density * inside
    return float(1 - density.sum())
