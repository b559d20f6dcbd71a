"""What a trial says, as every face shows it: effects with intervals first, then tests, letters, and what it can't say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bayround.agronomy.trial_result import AnalysedTrial, DescribedTrial
from bayround.facts.trials import Trial
from bayround.figures.figure import Figure
from bayround.figures.trial_plots import PlotValue


@dataclass(frozen=True, slots=True)
class TreatmentLine:
    """One treatment: its mean (in the unit of the plots), letters where it was tested."""

    factor: str
    treatment: str
    mean: Figure
    plots: int
    letters: str = ""


@dataclass(frozen=True, slots=True)
class EffectLine:
    """First treatment less second, with its interval; *told_apart* is none where nothing was tested."""

    factor: str
    first: str
    second: str
    difference: Figure
    p_value: Figure | None
    told_apart: bool | None


@dataclass(frozen=True, slots=True)
class TestLine:
    """One line of the analysis of variance, the numbers as figures."""

    source: str
    degrees_of_freedom: int
    sum_of_squares: Figure
    mean_square: Figure
    f: Figure | None
    p_value: Figure | None
    tested_against: str


@dataclass(frozen=True, slots=True)
class PlotResidual:
    """One plot's fitted value and what is left of it, on the scale tested on."""

    plot: str
    fitted: float
    residual: float


@dataclass(frozen=True, slots=True)
class TrialReport:
    """A trial analysed as it was laid out.

    *tested* is none where the layout gives no test; *described* then holds means, and differences of the
    plants in the plots, without a p-value. In a split plot whose main treatments stand in one house each, both
    are there: the main treatments described, the sub-plot treatments tested. *cannot* says what the layout
    can't answer and what to do next season; *notes* what was looked at or left out.
    """

    trial: Trial
    plots: tuple[PlotValue, ...]
    verdict: str
    tested: AnalysedTrial | None
    described: DescribedTrial | None
    effects: tuple[EffectLine, ...] = ()
    means: tuple[TreatmentLine, ...] = ()
    lines: tuple[TestLine, ...] = ()
    differences: tuple[Figure, ...] = ()
    residuals: tuple[PlotResidual, ...] = ()
    spread: tuple[tuple[str, float, float], ...] = ()
    notes: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()
    offered_scale: str = ""

    @property
    def figures(self) -> Mapping[str, Figure]:
        """Every figure of the report by its id."""
        found = [line.difference for line in self.effects] + [line.mean for line in self.means]
        found += [figure for line in self.lines for figure in (line.f, line.p_value) if figure is not None]
        return {figure.id: figure for figure in (*found, *self.differences)}
