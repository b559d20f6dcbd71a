"""One trial, analysed as it was laid out, or described when the layout cannot answer.

The layout decides what may be tested. A plot is one replicate, however many plants were measured in it:
`plot_means` makes plots out of plants first (Hurlbert 1984, Ecological Monographs 54:187-211).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from bayround.agronomy.anova import (
    AnovaLine,
    NoAnovaError,
    Source,
    WhyNoAnova,
    efficiency_of_blocking,
    fit_layout,
)
from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.inputs import share_between
from bayround.agronomy.split_plot import fit_split_plot
from bayround.agronomy.trial_checks import Scale, check_residuals, to_scale
from bayround.agronomy.trial_factors import HowToCompare, layout_factors, split_plot_factors
from bayround.agronomy.trial_result import (
    AnalysedTrial,
    DescribedMean,
    DescribedTrial,
    Design,
    FactorMeans,
    Method,
    PlantReading,
    Plot,
    WithinPlotDifference,
)

__all__ = ["analyse_trial", "plot_means"]


def plot_means(readings: Sequence[PlantReading]) -> tuple[Plot, ...]:
    """Plants averaged to plots, in the order the plots first stand; a plot with no value is kept as missing.

    Errors: ValueError when one plot is given two treatments, blocks or whole plots, or a value is not finite.
    """
    together: dict[str, list[PlantReading]] = {}
    for reading in readings:
        together.setdefault(reading.plot, []).append(reading)
    return tuple(_one_plot(plot, plants) for plot, plants in together.items())


def _one_plot(name: str, plants: Sequence[PlantReading]) -> Plot:
    places = {(plant.treatment, plant.block, plant.whole) for plant in plants}
    if len(places) > 1:
        raise ValueError(f"plot {name} has more than one treatment, block or whole plot")
    treatment, block, whole = places.pop()
    values = [plant.value for plant in plants if plant.value is not None]
    if not all(math.isfinite(value) for value in values):
        raise ValueError(f"plot {name} has a value that is not a finite number")
    mean = math.fsum(values) / len(values) if values else None
    variance = None
    if mean is not None and len(values) > 1:
        variance = math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
    return Plot(name, treatment, mean, block, whole, len(values), variance)


def _require_plots(plots: Sequence[Plot], design: Design) -> None:
    if len({plot.name for plot in plots}) != len(plots):
        raise ValueError("two plots have the same name: average plants to plots first (plot_means)")
    for plot in plots:
        if plot.value is not None and not math.isfinite(plot.value):
            raise ValueError(f"plot {plot.name} has a value that is not a finite number")
        if design is Design.COMPLETELY_RANDOMISED and plot.block is not None:
            raise ValueError(f"plot {plot.name} lies in a block: analyse the trial as blocks")
        if design is not Design.COMPLETELY_RANDOMISED and plot.block is None:
            raise ValueError(f"plot {plot.name} has no block, but the layout is in blocks")
        if (plot.whole is None) is (design is Design.SPLIT_PLOT):
            raise ValueError(f"plot {plot.name}: whole-plot treatments belong to split plots, and only there")


def _within_plots(
    one: DescribedMean, other: DescribedMean, first: Plot | None, second: Plot | None, alpha: float
) -> WithinPlotDifference:
    """Difference of two single plots, Welch's interval from the plants inside them where there are some."""
    difference = one.mean - other.mean
    bare = WithinPlotDifference(one.treatment, other.treatment, difference, None, None)
    if first is None or second is None or first.plant_variance is None or second.plant_variance is None:
        return bare
    if min(first.plants, second.plants) < 2:
        return bare
    parts = (first.plant_variance / first.plants, second.plant_variance / second.plants)
    if sum(parts) == 0:
        return bare
    spread = parts[0] ** 2 / (first.plants - 1) + parts[1] ** 2 / (second.plants - 1)
    half = two_sided_t(1 - alpha, sum(parts) ** 2 / spread) * math.sqrt(sum(parts))
    return WithinPlotDifference(
        one.treatment, other.treatment, difference, difference - half, difference + half
    )


def _describe(plots: Sequence[Plot], design: Design, reason: WhyNoAnova, alpha: float) -> DescribedTrial:
    """Means, and differences with the spread of plants inside the plots: no p-value, on purpose."""
    groups: dict[str, list[tuple[Plot, float]]] = {}
    for plot in plots:
        if plot.value is not None:
            name = plot.treatment if plot.whole is None else f"{plot.whole} / {plot.treatment}"
            groups.setdefault(name, []).append((plot, plot.value))
    means = tuple(
        DescribedMean(name, len(each), math.fsum(value for _, value in each) / len(each))
        for name, each in groups.items()
    )
    single = {name: each[0][0] for name, each in groups.items() if len(each) == 1}
    return DescribedTrial(
        design=design,
        reason=reason,
        means=means,
        differences=tuple(
            _within_plots(one, other, single.get(one.treatment), single.get(other.treatment), alpha)
            for one, other in combinations(means, 2)
        ),
        plots_missing=_missing(plots),
    )


def _missing(plots: Sequence[Plot]) -> tuple[str, ...]:
    return tuple(plot.name for plot in plots if plot.value is None)


def _variation_percent(values: Sequence[float], error_mean_square: float, scale: Scale) -> float | None:
    mean = math.fsum(values) / len(values)
    return 100 * math.sqrt(error_mean_square) / mean if scale is Scale.PLAIN and mean > 0 else None


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A fitted layout of either kind; residuals, leverages and groups have one entry a plot."""

    lines: tuple[AnovaLine, ...]
    residuals: Sequence[float]
    leverages: Sequence[float]
    groups: Sequence[str]
    factors: tuple[FactorMeans, ...]
    efficiency: float | None


def _fit_split_plot(plots: Sequence[Plot], values: Sequence[float], how: HowToCompare) -> _Fitted:
    blocks, whole = [plot.block or "" for plot in plots], [plot.whole or "" for plot in plots]
    fit = fit_split_plot(values, blocks, whole, [plot.treatment for plot in plots])
    share_fitted = 1 - fit.line(Source.ERROR).degrees_of_freedom / len(values)
    return _Fitted(
        lines=fit.lines,
        residuals=fit.residuals,
        leverages=[share_fitted] * len(values),
        groups=[f"{plot.whole} / {plot.treatment}" for plot in plots],
        factors=split_plot_factors(fit, how),
        efficiency=None,
    )


def _fit(plots: Sequence[Plot], values: Sequence[float], design: Design, how: HowToCompare) -> _Fitted:
    if design is Design.SPLIT_PLOT:
        return _fit_split_plot(plots, values, how)
    treatments = [plot.treatment for plot in plots]
    blocks = [plot.block or "" for plot in plots] if design is Design.BLOCKS else None
    fit = fit_layout(values, treatments, blocks)
    return _Fitted(
        lines=fit.lines,
        residuals=fit.residuals,
        leverages=fit.leverages,
        groups=treatments,
        factors=layout_factors(fit, how),
        efficiency=efficiency_of_blocking(fit),
    )


def _analyse(
    plots: Sequence[Plot], design: Design, how: HowToCompare, values_are_counts: bool
) -> AnalysedTrial:
    """The whole analysis. Errors: `NoAnovaError` when the layout cannot be tested."""
    there = [plot for plot in plots if plot.value is not None]
    if design is Design.SPLIT_PLOT and len(there) < len(plots):
        raise NoAnovaError(WhyNoAnova.SPLIT_PLOT_INCOMPLETE)
    values = to_scale([plot.value for plot in there if plot.value is not None], how.scale)
    fitted = _fit(there, values, design, how)
    error = fitted.lines[-1]
    checks = check_residuals(
        values,
        fitted.residuals,
        fitted.leverages,
        fitted.groups,
        error_degrees=error.degrees_of_freedom,
        values_are_counts=values_are_counts,
        alpha=how.alpha,
    )
    if how.scale is not Scale.PLAIN:
        checks = replace(checks, better_scale=None)
    kept = {plot.treatment for plot in there}
    return AnalysedTrial(
        design=design,
        scale=how.scale,
        alpha=how.alpha,
        lines=fitted.lines,
        factors=fitted.factors,
        checks=checks,
        odd_plot=None if checks.odd_plot is None else there[checks.odd_plot].name,
        plots_used=len(there),
        plots_missing=_missing(plots),
        treatments_lost=tuple(dict.fromkeys(plot.treatment for plot in plots if plot.treatment not in kept)),
        coefficient_of_variation_percent=_variation_percent(values, error.mean_square, how.scale),
        blocking_efficiency=fitted.efficiency,
    )


def analyse_trial(
    plots: Sequence[Plot],
    design: Design,
    *,
    scale: Scale = Scale.PLAIN,
    method: Method = Method.TUKEY,
    values_are_counts: bool = False,
    alpha: float = 0.05,
) -> AnalysedTrial | DescribedTrial:
    """Analyse a trial as it was laid out; `DescribedTrial` with the reason where it cannot be tested.

    ``plots``: one entry a plot, all values in one unit, ``value=None`` for a plot that was lost.
    ``scale``: the scale tested on; means come back in the unit of the plots as well. ``values_are_counts``
    lets the checks offer another scale without waiting for proof of unequal spread.
    Errors: ValueError when the plots do not fit the design, names repeat, values are not finite, or the
    scale has no room for a value.
    """
    share_between(alpha, "alpha")
    _require_plots(plots, design)
    if not any(plot.value is not None for plot in plots):
        raise ValueError("no plot has a value")
    try:
        return _analyse(plots, design, HowToCompare(scale, method, alpha), values_are_counts)
    except NoAnovaError as refused:
        return _describe(plots, design, refused.reason, alpha)
