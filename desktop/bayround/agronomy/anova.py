"""Analysis of variance of plots: completely randomised, randomised blocks, missing plots allowed.

Least squares throughout, so that plots may be missing: blocks first, then treatments as far as they go
beyond the blocks. With every plot there it is the textbook table (Gomez & Gomez 1984, Statistical
Procedures for Agricultural Research, chapters 2 and 3). The split plot is in `split_plot`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from bayround.agronomy.refusals import N_

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = [
    "AnovaLine",
    "LayoutFit",
    "NoAnovaError",
    "Source",
    "WhyNoAnova",
    "anova_line",
    "efficiency_of_blocking",
    "fit_layout",
    "no_spread_left",
]


class Source(StrEnum):
    """Where a share of the variation comes from."""

    BLOCKS = "blocks"
    TREATMENT = "treatment"
    WHOLE_PLOT = "whole_plot_treatment"
    WHOLE_PLOT_ERROR = "whole_plot_error"
    SUB_PLOT = "sub_plot_treatment"
    INTERACTION = "interaction"
    ERROR = "error"


class WhyNoAnova(StrEnum):
    """Why a layout cannot answer the question put to it; the value is the sentence to show."""

    ONE_TREATMENT = N_("There is only one treatment, so there is nothing to compare it with.")
    NO_REPLICATION = N_(
        "Each treatment stands on one plot only; plants inside it do not make up for more plots."
    )
    ONE_BLOCK = N_("Only one block has any plots left, so treatments cannot be told from chance as laid out.")
    NO_ERROR_LEFT = N_("There are too few plots to tell the treatments from the blocks.")
    NOT_CONNECTED = N_("So many plots are missing that some treatments never met in one block.")
    NO_SPREAD = N_("Plots of the same treatment all read the same, so there is no yardstick for chance.")
    SPLIT_PLOT_INCOMPLETE = N_("Plots are missing from the split plot; this needs a statistician.")


class NoAnovaError(ValueError):
    """The layout cannot be tested; ``reason`` says why."""

    def __init__(self, reason: WhyNoAnova) -> None:
        super().__init__(f"this layout cannot be tested. {reason.value}")
        self.reason = reason


@dataclass(frozen=True, slots=True)
class AnovaLine:
    """One line of the table. ``f``, ``p_value``, ``tested_against`` are None on lines that are not tested."""

    source: Source
    degrees_of_freedom: int
    sum_of_squares: float
    mean_square: float
    f: float | None = None
    p_value: float | None = None
    tested_against: Source | None = None


@dataclass(frozen=True, slots=True)
class LayoutFit:
    """A fitted layout. Arrays follow ``treatments`` or the order of the plots.

    means: least-squares treatment means, in the unit of the values. mean_covariance: their covariance
    divided by the error variance (treatments x treatments). residuals, leverages: one a plot.
    """

    treatments: tuple[str, ...]
    plots_per_treatment: tuple[int, ...]
    lines: tuple[AnovaLine, ...]
    means: tuple[float, ...]
    mean_covariance: tuple[tuple[float, ...], ...]
    residuals: tuple[float, ...]
    leverages: tuple[float, ...]

    @property
    def treatment_line(self) -> AnovaLine:
        """The line of the treatments."""
        return next(line for line in self.lines if line.source is Source.TREATMENT)

    @property
    def error_line(self) -> AnovaLine:
        """The line of the error."""
        return next(line for line in self.lines if line.source is Source.ERROR)


def anova_line(source: Source, degrees: int, sum_of_squares: float, error: AnovaLine | None) -> AnovaLine:
    """A line of the table, tested against ``error`` when one is given (F and its upper tail)."""
    mean_square = sum_of_squares / degrees
    if error is None:
        return AnovaLine(source, degrees, sum_of_squares, mean_square)
    from scipy.special import fdtrc

    f = mean_square / error.mean_square
    p_value = float(fdtrc(degrees, error.degrees_of_freedom, f))
    return AnovaLine(source, degrees, sum_of_squares, mean_square, f, p_value, error.source)


def no_spread_left(error_sum_of_squares: float, values: "NDArray[Any]") -> bool:
    """True when what is left as error is nothing but rounding in the last digits of the values."""
    import numpy as np

    largest = float(np.max(np.abs(values)))
    return error_sum_of_squares <= values.size * (largest * 1e-14) ** 2


def _codes(names: Sequence[str]) -> tuple[tuple[str, ...], "NDArray[Any]"]:
    """Distinct names in the order they first stand, and each plot's place among them."""
    import numpy as np

    distinct = tuple(dict.fromkeys(names))
    place = {name: index for index, name in enumerate(distinct)}
    return distinct, np.array([place[name] for name in names])


def _check_layout(treatments: Sequence[str], count: int) -> None:
    distinct = len(set(treatments))
    if distinct < 2:
        raise NoAnovaError(WhyNoAnova.ONE_TREATMENT)
    if distinct == count:
        raise NoAnovaError(WhyNoAnova.NO_REPLICATION)


def _fit_one_way(values: "NDArray[Any]", codes: "NDArray[Any]", names: tuple[str, ...]) -> LayoutFit:
    """Completely randomised: group means, from values centred first so that no digits are lost."""
    import numpy as np

    centre = float(values.mean())
    centred = values - centre
    counts = np.bincount(codes)
    means = np.bincount(codes, centred) / counts
    residuals = centred - means[codes]
    between = float(np.sum(counts * (means - centred.mean()) ** 2))
    within = float(np.sum(residuals**2))
    if no_spread_left(within, values):
        raise NoAnovaError(WhyNoAnova.NO_SPREAD)
    error = anova_line(Source.ERROR, int(values.size - counts.size), within, None)
    return LayoutFit(
        treatments=names,
        plots_per_treatment=tuple(int(each) for each in counts),
        lines=(anova_line(Source.TREATMENT, counts.size - 1, between, error), error),
        means=tuple(float(each) + centre for each in means),
        mean_covariance=tuple(tuple(row) for row in np.diag(1 / counts).tolist()),
        residuals=tuple(residuals.tolist()),
        leverages=tuple((1 / counts)[codes].tolist()),
    )


def _indicator(codes: "NDArray[Any]", count: int) -> "NDArray[Any]":
    import numpy as np

    indicator: NDArray[Any] = (codes[:, None] == np.arange(count)).astype(float)
    return indicator


def _residual_sum(design: "NDArray[Any]", values: "NDArray[Any]") -> float:
    import numpy as np

    solution = np.linalg.lstsq(design, values, rcond=None)[0]
    return float(np.sum((values - design @ solution) ** 2))


def _fit_blocks(
    values: "NDArray[Any]",
    codes: "NDArray[Any]",
    names: tuple[str, ...],
    block_codes: "NDArray[Any]",
) -> LayoutFit:
    """Treatment plus block by least squares; with plots missing, each adjusted mean is over all blocks."""
    import numpy as np

    blocks = int(block_codes.max()) + 1
    in_block = _indicator(block_codes, blocks)
    design = np.hstack([_indicator(codes, len(names)), in_block[:, 1:]])
    rank = int(np.linalg.matrix_rank(design))
    if rank < design.shape[1]:
        raise NoAnovaError(WhyNoAnova.NOT_CONNECTED)
    error_degrees = values.size - rank
    if error_degrees < 1:
        raise NoAnovaError(WhyNoAnova.NO_ERROR_LEFT)
    centred = values - (centre := float(values.mean()))
    inverse = np.linalg.inv(design.T @ design)
    solution = np.linalg.lstsq(design, centred, rcond=None)[0]
    fitted = design @ solution
    within = float(np.sum((centred - fitted) ** 2))
    if no_spread_left(within, values):
        raise NoAnovaError(WhyNoAnova.NO_SPREAD)
    error = anova_line(Source.ERROR, error_degrees, within, None)
    averaging = np.hstack([np.eye(len(names)), np.full((len(names), blocks - 1), 1 / blocks)])
    left_by_blocks = _residual_sum(in_block, centred)
    by_blocks = float(np.sum(centred**2)) - left_by_blocks
    return LayoutFit(
        treatments=names,
        plots_per_treatment=tuple(int(each) for each in np.bincount(codes)),
        lines=(
            anova_line(Source.BLOCKS, blocks - 1, by_blocks, error),
            anova_line(Source.TREATMENT, len(names) - 1, left_by_blocks - within, error),
            error,
        ),
        means=tuple(float(each) + centre for each in averaging @ solution),
        mean_covariance=tuple(tuple(row) for row in (averaging @ inverse @ averaging.T).tolist()),
        residuals=tuple((centred - fitted).tolist()),
        leverages=tuple(np.sum((design @ inverse) * design, axis=1).tolist()),
    )


def fit_layout(
    values: Sequence[float], treatments: Sequence[str], blocks: Sequence[str] | None = None
) -> LayoutFit:
    """Analysis of variance of plots, one value a plot (a plot mean, never one plant).

    ``values`` in any one unit; ``treatments`` and ``blocks`` name what each plot had and where it lay.
    Without blocks: completely randomised, sizes may differ. With blocks: treatment + block; a plot that
    is missing is simply left out of the lists, and the treatment line is then adjusted for blocks.
    Errors: `NoAnovaError` (a ValueError with a reason) when the layout cannot be tested; ValueError when the
    lists differ in length or a value is not finite.
    """
    import numpy as np

    if len(values) != len(treatments) or (blocks is not None and len(blocks) != len(values)):
        raise ValueError("values, treatments and blocks must have the same length")
    array = np.asarray(values, dtype=float)
    if not np.all(np.isfinite(array)):
        raise ValueError("every plot value must be a finite number")
    _check_layout(treatments, len(values))
    names, codes = _codes(treatments)
    if blocks is None:
        return _fit_one_way(array, codes, names)
    block_names, block_codes = _codes(blocks)
    if len(block_names) < 2:
        raise NoAnovaError(WhyNoAnova.ONE_BLOCK)
    return _fit_blocks(array, codes, names, block_codes)


def efficiency_of_blocking(fit: LayoutFit) -> float | None:
    """Error variance without blocks over the one with them: 1.6 means blocks saved 60 % more plots.

    ((r - 1) MS blocks + r (t - 1) MS error) / ((r t - 1) MS error), Gomez & Gomez 1984, chapter 2. None
    when the fit has no blocks or is not complete (each treatment once in each block).
    """
    block = next((line for line in fit.lines if line.source is Source.BLOCKS), None)
    if block is None:
        return None
    replicates, count = block.degrees_of_freedom + 1, len(fit.treatments)
    if fit.plots_per_treatment != (replicates,) * count:
        return None
    error = fit.error_line.mean_square
    unblocked = (replicates - 1) * block.mean_square + replicates * (count - 1) * error
    return unblocked / ((replicates * count - 1) * error)
