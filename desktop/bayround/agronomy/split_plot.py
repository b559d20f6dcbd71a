"""Analysis of variance of a split plot laid out in blocks.

The treatment given to whole plots is tested against the whole plots (whole-plot error), never against
the many sub-plots inside them: that mistake makes differences out of nothing (Hurlbert 1984, Ecological
Monographs 54:187-211). Yates 1935; Gomez & Gomez 1984, chapter 3.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bayround.agronomy.anova import AnovaLine, NoAnovaError, Source, WhyNoAnova, anova_line, no_spread_left

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["SplitPlotFit", "fit_split_plot"]


@dataclass(frozen=True, slots=True)
class SplitPlotFit:
    """A fitted split plot; ``cell_means`` is whole-plot treatments x sub-plot treatments.

    mean_variance_cell and mean_degrees: variance of one cell mean and its degrees of freedom
    (Satterthwaite), both errors in it. residuals: what is left of each plot, in the order given.
    """

    blocks: int
    whole: tuple[str, ...]
    sub: tuple[str, ...]
    lines: tuple[AnovaLine, ...]
    cell_means: tuple[tuple[float, ...], ...]
    mean_variance_cell: float
    mean_degrees: float
    residuals: tuple[float, ...]

    def line(self, source: Source) -> AnovaLine:
        """The line of one source."""
        return next(line for line in self.lines if line.source is source)


def _cube(
    values: Sequence[float], places: Sequence[tuple[str, str, str]]
) -> tuple["NDArray[Any]", list[tuple[str, ...]], list[tuple[int, int, int]]]:
    """Values as blocks x whole x sub, names along each side, and each plot's place; every cell filled."""
    import numpy as np

    sides = [tuple(dict.fromkeys(place[side] for place in places)) for side in range(3)]
    indices = [
        (sides[0].index(block), sides[1].index(whole), sides[2].index(sub)) for block, whole, sub in places
    ]
    if len(set(indices)) != len(indices):
        raise ValueError("two plots have the same block, whole-plot and sub-plot treatment")
    cube = np.full([len(side) for side in sides], np.nan)
    for index, value in zip(indices, values, strict=True):
        cube[index] = value
    if np.isnan(cube).any():
        raise NoAnovaError(WhyNoAnova.SPLIT_PLOT_INCOMPLETE)
    return cube, sides, indices


def _lines(cube: "NDArray[Any]", sub_error_sum: float) -> tuple[AnovaLine, ...]:
    import numpy as np

    blocks, wholes, subs = cube.shape
    whole_plots = cube.mean(axis=2)
    block_means, whole_means = whole_plots.mean(axis=1), whole_plots.mean(axis=0)
    sub_means, cells = cube.mean(axis=(0, 1)), cube.mean(axis=0)
    of_blocks = wholes * subs * float(np.sum(block_means**2))
    of_whole = blocks * subs * float(np.sum(whole_means**2))
    of_whole_error = subs * float(np.sum((whole_plots - block_means[:, None] - whole_means) ** 2))
    of_sub = blocks * wholes * float(np.sum(sub_means**2))
    of_both = blocks * float(np.sum((cells - whole_means[:, None] - sub_means) ** 2))
    whole_error = anova_line(Source.WHOLE_PLOT_ERROR, (blocks - 1) * (wholes - 1), of_whole_error, None)
    error = anova_line(Source.ERROR, wholes * (blocks - 1) * (subs - 1), sub_error_sum, None)
    return (
        anova_line(Source.BLOCKS, blocks - 1, of_blocks, whole_error),
        anova_line(Source.WHOLE_PLOT, wholes - 1, of_whole, whole_error),
        whole_error,
        anova_line(Source.SUB_PLOT, subs - 1, of_sub, error),
        anova_line(Source.INTERACTION, (wholes - 1) * (subs - 1), of_both, error),
        error,
    )


def fit_split_plot(
    values: Sequence[float], blocks: Sequence[str], whole: Sequence[str], sub: Sequence[str]
) -> SplitPlotFit:
    """Analysis of variance of a complete split plot in blocks, one value a sub-plot.

    ``whole`` names the treatment of the whole plot a sub-plot lies in, ``sub`` its own. Whole-plot
    treatments are tested against blocks x whole plots; sub-plot treatments and the interaction against
    the sub-plot error.
    Errors: `NoAnovaError` when a plot is missing (a mixed model would be needed), a side has one level, or
    nothing is left as error; ValueError when lists differ in length, a value is not finite, or two plots
    claim one place.
    """
    import numpy as np

    if not len(values) == len(blocks) == len(whole) == len(sub):
        raise ValueError("values, blocks, whole and sub must have the same length")
    if not np.all(np.isfinite(np.asarray(values, dtype=float))):
        raise ValueError("every plot value must be a finite number")
    cube, sides, indices = _cube(values, list(zip(blocks, whole, sub, strict=True)))
    if cube.shape[0] < 2:
        raise NoAnovaError(WhyNoAnova.NO_REPLICATION)
    if min(cube.shape[1:]) < 2:
        raise NoAnovaError(WhyNoAnova.ONE_TREATMENT)
    centre = float(cube.mean())
    centred = cube - centre
    whole_plots, cells = centred.mean(axis=2), centred.mean(axis=0)
    left = centred - whole_plots[:, :, None] - cells + cells.mean(axis=1)[:, None]
    sub_error_sum = float(np.sum(left**2))
    whole_left = whole_plots - whole_plots.mean(axis=1)[:, None] - whole_plots.mean(axis=0)
    if no_spread_left(sub_error_sum, cube) or no_spread_left(float(np.sum(whole_left**2)), cube):
        raise NoAnovaError(WhyNoAnova.NO_SPREAD)
    lines = _lines(centred, sub_error_sum)
    return _with_mean_variance(lines, cells + centre, sides, [float(left[index]) for index in indices])


def _with_mean_variance(
    lines: tuple[AnovaLine, ...],
    cells: "NDArray[Any]",
    sides: list[tuple[str, ...]],
    residuals: list[float],
) -> SplitPlotFit:
    """Variance of one cell mean, (MS whole error + (b - 1) MS error) / (r b), Satterthwaite's degrees."""
    blocks, subs = len(sides[0]), len(sides[2])
    whole_error = next(line for line in lines if line.source is Source.WHOLE_PLOT_ERROR)
    error = next(line for line in lines if line.source is Source.ERROR)
    parts = (whole_error.mean_square, (subs - 1) * error.mean_square)
    spread = parts[0] ** 2 / whole_error.degrees_of_freedom + parts[1] ** 2 / error.degrees_of_freedom
    return SplitPlotFit(
        blocks=blocks,
        whole=sides[1],
        sub=sides[2],
        lines=lines,
        cell_means=tuple(tuple(row) for row in cells.tolist()),
        mean_variance_cell=sum(parts) / (blocks * subs),
        mean_degrees=sum(parts) ** 2 / spread,
        residuals=tuple(residuals),
    )
