"""Does the trial's spread allow the test? Residual checks, and the scale that would be fairer.

Equal spread: Levene's test about medians (Brown & Forsythe 1974, JASA 69:364-367). Spread against mean:
slope b of ln(standard deviation) on ln(mean); the scale that levels it is the power 1 - b (Bartlett
1947, Biometrics 3:39-52): 1/2 is the square root, 0 the logarithm. Odd plot: the largest deleted
residual against Student's t, times the number of plots (Bonferroni; Cook & Weisberg 1982).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from bayround.agronomy.inputs import finite_number

__all__ = ["ResidualChecks", "Scale", "check_residuals", "from_scale", "spread_slope", "to_scale"]


class Scale(StrEnum):
    """The scale a trial is tested on."""

    PLAIN = "plain"
    SQUARE_ROOT = "square_root"
    LOGARITHM = "logarithm"
    LOGARITHM_PLUS_ONE = "logarithm_plus_one"


@dataclass(frozen=True, slots=True)
class ResidualChecks:
    """What the residuals say. None where the trial is too small to say it.

    spread_slope: b above. odd_plot: place (from 0) of the plot farthest out, with its corrected p-value.
    better_scale: None when nothing better is offered.
    """

    levene_f: float | None
    levene_p_value: float | None
    spread_unequal: bool
    spread_slope: float | None
    shapiro_p_value: float | None
    odd_plot: int | None
    odd_plot_p_value: float | None
    better_scale: Scale | None


def to_scale(values: Sequence[float], scale: Scale) -> list[float]:
    """The values on a scale. Errors: ValueError when the scale has no room for one of them."""
    for value in values:
        finite_number(value, "value")
    lowest = min(values, default=0.0)
    if scale is Scale.PLAIN:
        return [float(value) for value in values]
    if scale is Scale.SQUARE_ROOT:
        if lowest < 0:
            raise ValueError(f"no square root of {lowest}")
        return [math.sqrt(value) for value in values]
    shift = 1.0 if scale is Scale.LOGARITHM_PLUS_ONE else 0.0
    if lowest + shift <= 0:
        raise ValueError(f"no logarithm of {lowest + shift}")
    return [math.log(value + shift) for value in values]


def from_scale(value: float, scale: Scale) -> float:
    """A mean or a limit turned back into the unit of the plots (below 0 on the root scale counts as 0)."""
    finite_number(value, "value")
    if scale is Scale.PLAIN:
        return float(value)
    if scale is Scale.SQUARE_ROOT:
        return max(0.0, value) ** 2
    return math.expm1(value) if scale is Scale.LOGARITHM_PLUS_ONE else math.exp(value)


def _by_group(residuals: Sequence[float], groups: Sequence[str]) -> dict[str, list[float]]:
    together: dict[str, list[float]] = {}
    for residual, group in zip(residuals, groups, strict=True):
        together.setdefault(group, []).append(residual)
    return together


def _levene(together: dict[str, list[float]]) -> tuple[float, float] | None:
    """F and p of Levene's test about medians; None when there is nothing to compare."""
    import numpy as np
    from scipy.special import fdtrc

    apart = [np.abs(np.asarray(each) - np.median(each)) for each in together.values() if len(each) >= 2]
    count = sum(each.size for each in apart)
    if len(apart) < 2 or count - len(apart) < 1:
        return None
    grand = float(np.concatenate(apart).mean())
    between = sum(each.size * (float(each.mean()) - grand) ** 2 for each in apart)
    within = sum(float(np.sum((each - each.mean()) ** 2)) for each in apart)
    if within <= 1e-20 * max(1.0, grand**2):
        return None
    f = (between / (len(apart) - 1)) / (within / (count - len(apart)))
    return f, float(fdtrc(len(apart) - 1, count - len(apart), f))


def spread_slope(means: Sequence[float], deviations: Sequence[float]) -> float | None:
    """Slope of ln(standard deviation) on ln(mean) over treatments; None with fewer than 3 to use.

    Treatments whose mean or deviation is not above 0 are left out. Errors: ValueError when the lists
    differ in length.
    """
    pairs = [
        (math.log(mean), math.log(deviation))
        for mean, deviation in zip(means, deviations, strict=True)
        if mean > 0 and deviation > 0
    ]
    if len(pairs) < 3:
        return None
    centre_x = math.fsum(x for x, _ in pairs) / len(pairs)
    centre_y = math.fsum(y for _, y in pairs) / len(pairs)
    square = math.fsum((x - centre_x) ** 2 for x, _ in pairs)
    if square < 1e-12:
        return None
    return math.fsum((x - centre_x) * (y - centre_y) for x, y in pairs) / square


def _odd_plot(
    residuals: Sequence[float], leverages: Sequence[float], error_degrees: int
) -> tuple[int, float] | None:
    """The plot with the largest deleted residual, and its p-value times the number of plots."""
    from scipy.special import stdtr

    if error_degrees < 2:
        return None
    total = math.fsum(residual**2 for residual in residuals)
    worst: tuple[int, float] | None = None
    for place, (residual, leverage) in enumerate(zip(residuals, leverages, strict=True)):
        if leverage > 1 - 1e-9:
            continue
        own = residual**2 / (1 - leverage)
        without = (total - own) / (error_degrees - 1)
        deleted = math.sqrt(own / without) if without > total * 1e-12 else math.inf
        if worst is None or deleted > worst[1]:
            worst = (place, deleted)
    if worst is None:
        return None
    return worst[0], min(1.0, len(residuals) * float(2 * stdtr(error_degrees - 1, -worst[1])))


def _shapiro(residuals: Sequence[float]) -> float | None:
    if not 3 <= len(residuals) <= 5000 or max(residuals) == min(residuals):
        return None
    from scipy.stats import shapiro

    return float(shapiro(residuals).pvalue)


def _better_scale(slope: float | None, offered: bool, lowest: float) -> Scale | None:
    """The power 1 - b rounded to 1, 1/2 or 0, where a better scale is wanted at all."""
    if slope is None or not offered or lowest < 0 or slope < 0.25:
        return None
    if slope < 0.75:
        return Scale.SQUARE_ROOT
    return Scale.LOGARITHM if lowest > 0 else Scale.LOGARITHM_PLUS_ONE


def check_residuals(
    values: Sequence[float],
    residuals: Sequence[float],
    leverages: Sequence[float],
    groups: Sequence[str],
    *,
    error_degrees: int,
    values_are_counts: bool = False,
    alpha: float = 0.05,
) -> ResidualChecks:
    """Check the residuals of a fitted trial, one entry a plot in every list.

    ``groups`` names each plot's treatment. A better scale is offered when the values are counts or
    Levene's test is significant, and the spread grows with the mean.
    Errors: ValueError when the lists differ in length or are empty.
    """
    if not len(values) == len(residuals) == len(leverages) == len(groups) or not values:
        raise ValueError("values, residuals, leverages and groups must have the same length, at least 1")
    left, together = _by_group(residuals, groups), _by_group(values, groups)
    used = [name for name, each in left.items() if len(each) >= 2]
    deviations = [math.sqrt(math.fsum(e * e for e in left[name]) / (len(left[name]) - 1)) for name in used]
    slope = spread_slope([math.fsum(together[name]) / len(together[name]) for name in used], deviations)
    levene, odd = _levene(left), _odd_plot(residuals, leverages, error_degrees)
    unequal = levene is not None and levene[1] < alpha
    return ResidualChecks(
        levene_f=levene[0] if levene else None,
        levene_p_value=levene[1] if levene else None,
        spread_unequal=unequal,
        spread_slope=slope,
        shapiro_p_value=_shapiro(residuals),
        odd_plot=odd[0] if odd else None,
        odd_plot_p_value=odd[1] if odd else None,
        better_scale=_better_scale(slope, values_are_counts or unequal, min(values)),
    )
