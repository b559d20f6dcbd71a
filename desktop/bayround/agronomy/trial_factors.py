"""From a fitted layout to compared treatment means: intervals, letters, smallest differences."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.anova import AnovaLine, LayoutFit, Source
from bayround.agronomy.comparisons import (
    TreatmentDifference,
    explained_share,
    protected_lsd,
    significant_pairs,
    tukey_comparisons,
)
from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.letters import compact_letters
from bayround.agronomy.power import smallest_detectable_difference
from bayround.agronomy.split_plot import SplitPlotFit
from bayround.agronomy.studentized_range import studentized_range_quantile
from bayround.agronomy.trial_checks import Scale, from_scale
from bayround.agronomy.trial_result import FactorMeans, Method, TreatmentMean

__all__ = ["HowToCompare", "layout_factors", "split_plot_factors"]


@dataclass(frozen=True, slots=True)
class HowToCompare:
    """Scale tested on, way of comparing pairs, and error level."""

    scale: Scale
    method: Method
    alpha: float


@dataclass(frozen=True, slots=True)
class _Means:
    """Means of one factor; ``errors`` and ``degrees`` are those of the means, not of their differences."""

    names: Sequence[str]
    plots: Sequence[int]
    values: Sequence[float]
    covariance: Sequence[Sequence[float]]
    errors: Sequence[float]
    degrees: float


def _pairs(
    means: _Means, line: AnovaLine, error: AnovaLine, how: HowToCompare
) -> tuple[TreatmentDifference, ...]:
    if how.method is Method.TUKEY:
        return tukey_comparisons(
            means.names,
            means.values,
            means.covariance,
            error_mean_square=error.mean_square,
            error_degrees=error.degrees_of_freedom,
            alpha=how.alpha,
        )
    protected = protected_lsd(
        means.names,
        means.values,
        means.covariance,
        error_mean_square=error.mean_square,
        error_degrees=error.degrees_of_freedom,
        f_test_p_value=1.0 if line.p_value is None else line.p_value,
        alpha=how.alpha,
    )
    return protected or ()


def _lettered(
    means: _Means, comparisons: Sequence[TreatmentDifference], how: HowToCompare
) -> tuple[TreatmentMean, ...]:
    """The means in the order the treatments first stand; the highest mean carries the letter a."""
    falling = sorted(range(len(means.names)), key=lambda place: -means.values[place])
    letters = compact_letters([means.names[place] for place in falling], significant_pairs(comparisons))
    multiplier = two_sided_t(1 - how.alpha, means.degrees)
    result = []
    for name, plots, mean, error in zip(means.names, means.plots, means.values, means.errors, strict=True):
        low, high = mean - multiplier * error, mean + multiplier * error
        back = [from_scale(value, how.scale) for value in (mean, low, high)]
        result.append(TreatmentMean(name, plots, mean, error, low, high, letters[name], *back))
    return tuple(result)


def _difference_errors(means: _Means, error: AnovaLine) -> list[float]:
    covariance, count = means.covariance, len(means.values)
    return [
        math.sqrt(error.mean_square * (covariance[i][i] + covariance[j][j] - 2 * covariance[i][j]))
        for i in range(count)
        for j in range(i)
    ]


def _compare(
    means: _Means, line: AnovaLine, error: AnovaLine, how: HowToCompare, *, within: str | None = None
) -> FactorMeans:
    comparisons = _pairs(means, line, error, how)
    errors = _difference_errors(means, error)
    even = max(errors) <= min(errors) * (1 + 1e-9)
    freedom, count = error.degrees_of_freedom, len(means.values)
    honest = studentized_range_quantile(1 - how.alpha, count, freedom) / math.sqrt(2) * errors[0]
    significant = line.p_value is not None and line.p_value < how.alpha
    return FactorMeans(
        source=Source.SUB_PLOT if within is not None else line.source,
        within=within,
        line=line,
        method=how.method,
        means=_lettered(means, comparisons, how),
        comparisons=comparisons,
        honest_difference=honest if even else None,
        least_difference=two_sided_t(1 - how.alpha, freedom) * errors[0] if even and significant else None,
        smallest_detectable_difference=smallest_detectable_difference(
            max(errors), freedom, count, alpha=how.alpha
        ),
        explained=explained_share(line.f or 0.0, line.degrees_of_freedom, freedom, how.alpha),
    )


def layout_factors(fit: LayoutFit, how: HowToCompare) -> tuple[FactorMeans, ...]:
    """Treatments of a completely randomised or blocked layout, compared with its error."""
    error, covariance = fit.error_line, fit.mean_covariance
    means = _Means(
        names=fit.treatments,
        plots=fit.plots_per_treatment,
        values=fit.means,
        covariance=covariance,
        errors=[math.sqrt(error.mean_square * covariance[i][i]) for i in range(len(covariance))],
        degrees=error.degrees_of_freedom,
    )
    return (_compare(means, fit.treatment_line, error, how),)


def _even_means(
    names: Sequence[str], values: Sequence[float], plots: int, mean_error: float, degrees: float
) -> _Means:
    count = len(names)
    covariance = [[1 / plots if i == j else 0.0 for j in range(count)] for i in range(count)]
    return _Means(names, [plots] * count, values, covariance, [mean_error] * count, degrees)


def split_plot_factors(fit: SplitPlotFit, how: HowToCompare) -> tuple[FactorMeans, ...]:
    """Whole-plot treatments against the whole plots, sub-plot treatments against the sub-plot error.

    Where the two interact significantly, sub-plot treatments are compared within each whole-plot
    treatment as well, because their means over all of it then mislead.
    """
    wholes, subs, cells = len(fit.whole), len(fit.sub), fit.cell_means
    whole_error, error = fit.line(Source.WHOLE_PLOT_ERROR), fit.line(Source.ERROR)
    plots = fit.blocks * subs
    whole_means = _even_means(
        fit.whole,
        [math.fsum(row) / subs for row in cells],
        plots,
        math.sqrt(whole_error.mean_square / plots),
        whole_error.degrees_of_freedom,
    )
    sub_means = _even_means(
        fit.sub,
        [math.fsum(row[place] for row in cells) / wholes for place in range(subs)],
        fit.blocks * wholes,
        math.sqrt(fit.mean_variance_cell / wholes),
        fit.mean_degrees,
    )
    result = [
        _compare(whole_means, fit.line(Source.WHOLE_PLOT), whole_error, how),
        _compare(sub_means, fit.line(Source.SUB_PLOT), error, how),
    ]
    both = fit.line(Source.INTERACTION)
    if both.p_value is not None and both.p_value < how.alpha:
        for name, row in zip(fit.whole, cells, strict=True):
            cell_means = _even_means(
                fit.sub, row, fit.blocks, math.sqrt(fit.mean_variance_cell), fit.mean_degrees
            )
            result.append(_compare(cell_means, both, error, how, within=name))
    return tuple(result)
