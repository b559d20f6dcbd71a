"""Analyse a trial as it was laid out; the layout, never the person, decides what is tested against what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from bayround.agronomy.anova import fit_layout
from bayround.agronomy.split_plot import fit_split_plot
from bayround.agronomy.trial import analyse_trial
from bayround.agronomy.trial_checks import Scale, to_scale
from bayround.agronomy.trial_result import AnalysedTrial, DescribedTrial, Design, Method, Plot
from bayround.facts.problems import Refused
from bayround.facts.trials import Trial, TrialDesign
from bayround.figures import trial_lines, trial_sentences
from bayround.figures.trial_plots import MEASURES, TYPED, PlotValue, Unit, one_house_each, units
from bayround.figures.trial_report import PlotResidual, TrialReport
from bayround.words import _

__all__ = ["report"]


def report(
    trial: Trial,
    plots: Sequence[PlotValue],
    today: date,
    *,
    scale: Scale = Scale.PLAIN,
    method: Method = Method.TUKEY,
    alpha: float = 0.05,
) -> TrialReport:
    """Return what the trial says on *today*.

    Raises:
        Refused: when no plot has a value yet, the layout contradicts itself, or the scale has no room for one.
    """
    if not any(one.value is not None for one in plots):
        raise Refused(
            _("No plot of “{trial}” has a value yet.").format(trial=trial.name),
            to_do=_("Type or paste the values of the plots, or wait for the next round or pick."),
        )
    counts = MEASURES.get(trial.measure, MEASURES[TYPED]).counts
    try:
        if trial.design is TrialDesign.SPLIT_PLOT and one_house_each(plots):
            return _main_described(trial, plots, today, scale, method, alpha)
        design, entered = _entered(trial, plots)
        found = analyse_trial(
            entered, design, scale=scale, method=method, values_are_counts=counts, alpha=alpha
        )
    except ValueError as error:
        raise Refused(
            _("This layout can't be analysed: {why}.").format(why=error),
            _("Nothing was changed."),
            _("Check blocks, treatments and values of the plots."),
        ) from error
    if isinstance(found, AnalysedTrial):
        return _finish(trial, plots, today, found, None, entered)
    return _finish(trial, plots, today, None, found, entered)


def _entered(trial: Trial, plots: Sequence[PlotValue]) -> tuple[Design, list[Plot]]:
    """Return how the replicates are analysed, and the replicates."""
    found = units(trial, plots)
    if trial.design is TrialDesign.SPLIT_PLOT:
        return Design.SPLIT_PLOT, [
            replace(_plot(one, one.sub_level), block=one.block, whole=one.main_level) for one in found
        ]
    if trial.design is TrialDesign.BLOCKS and all(one.block for one in found):
        return Design.BLOCKS, [replace(_plot(one, one.main_level), block=one.block) for one in found]
    return Design.COMPLETELY_RANDOMISED, [_plot(one, one.main_level) for one in found]


def _plot(one: Unit, treatment: str) -> Plot:
    variance = None
    if len(one.plants) > 1:
        mean = sum(one.plants) / len(one.plants)
        variance = sum((plant - mean) ** 2 for plant in one.plants) / (len(one.plants) - 1)
    return Plot(one.name, treatment, one.value, plants=max(len(one.plants), 1), plant_variance=variance)


def _main_described(
    trial: Trial, plots: Sequence[PlotValue], today: date, scale: Scale, method: Method, alpha: float
) -> TrialReport:
    """Main treatments in one house each are described; what differs within the houses is tested in blocks."""
    found = units(trial, plots)
    by_main: dict[str, list[Unit]] = {}
    for one in found:
        by_main.setdefault(one.main_level, []).append(one)
    mains = []
    for name, group in by_main.items():
        known = [one.value for one in group if one.value is not None]
        plants = tuple(plant for one in group for plant in one.plants)
        mean = sum(known) / len(known) if known else None
        mains.append(_plot(Unit(name, name, "", "", mean, plants, len(group)), name))
    described = analyse_trial(mains, Design.COMPLETELY_RANDOMISED, alpha=alpha)
    assert isinstance(described, DescribedTrial)
    entered = [replace(_plot(one, one.sub_level), block=f"{one.main_level} · {one.block}") for one in found]
    tested = analyse_trial(entered, Design.BLOCKS, scale=scale, method=method, alpha=alpha)
    if not isinstance(tested, AnalysedTrial):
        return _finish(trial, plots, today, None, described, mains)
    return _finish(trial, plots, today, tested, described, entered)


def _finish(
    trial: Trial,
    plots: Sequence[PlotValue],
    today: date,
    tested: AnalysedTrial | None,
    described: DescribedTrial | None,
    entered: Sequence[Plot],
) -> TrialReport:
    unit = trial.measure_unit or MEASURES.get(trial.measure, MEASURES[TYPED]).unit
    known = [plot.value for plot in entered if plot.value is not None]
    decimals = trial_lines.decimals_for(known)
    made = TrialReport(
        trial=trial,
        plots=tuple(plots),
        verdict="",
        tested=tested,
        described=described,
        effects=trial_lines.effects(trial, tested, described, unit, decimals),
        means=trial_lines.means(trial, tested, described, unit, decimals),
        lines=trial_lines.lines(trial, tested),
        differences=trial_lines.yardsticks(trial, tested, unit, decimals),
        residuals=_residuals(entered, tested) if tested else (),
        spread=trial_lines.spread(entered, tested),
        offered_scale=tested.checks.better_scale.value if tested and tested.checks.better_scale else "",
    )
    return replace(
        made,
        verdict=trial_sentences.verdict(made),
        notes=trial_sentences.notes(made, today),
        cannot=trial_sentences.cannot(made),
    )


def _residuals(entered: Sequence[Plot], tested: AnalysedTrial) -> tuple[PlotResidual, ...]:
    """Return each plot's fitted value and residual, from the same fit."""
    there = [(plot, plot.value) for plot in entered if plot.value is not None]
    scaled = to_scale([value for _plot_there, value in there], tested.scale)
    treatments = [plot.treatment for plot, _value in there]
    blocks = [plot.block or "" for plot, _value in there]
    if tested.design is Design.SPLIT_PLOT:
        whole = [plot.whole or "" for plot, _value in there]
        left: Sequence[float] = fit_split_plot(scaled, blocks, whole, treatments).residuals
    else:
        in_blocks = blocks if tested.design is Design.BLOCKS else None
        left = fit_layout(scaled, treatments, in_blocks).residuals
    return tuple(
        PlotResidual(plot.name, value - residual, residual)
        for (plot, _value), value, residual in zip(there, scaled, left, strict=True)
    )
