"""The lines of a trial's report as figures: effects, means, analysis of variance, yardsticks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bayround import words
from bayround.agronomy.anova import Source
from bayround.agronomy.trial_checks import Scale
from bayround.agronomy.trial_result import (
    AnalysedTrial,
    DescribedMean,
    DescribedTrial,
    FactorMeans,
    Method,
    Plot,
    WithinPlotDifference,
)
from bayround.facts.trials import Trial, TrialDesign
from bayround.figures.figure import Figure, Why
from bayround.figures.trial_report import EffectLine, TestLine, TreatmentLine
from bayround.words import _

TUKEY_SOURCE = "Tukey 1953; Kramer 1956, Biometrics 12:307–310"
LSD_SOURCE = "Fisher 1935; only after a significant F test"
ANOVA_SOURCE = "Gomez & Gomez 1984, Statistical Procedures for Agricultural Research, ch. 2–3"
WITHIN_SOURCE = "Welch 1947, Biometrika 34:28–35; Hurlbert 1984, Ecological Monographs 54:187–211"
P_DECIMALS = 4

SCALE_WORDS = {
    Scale.PLAIN: "",
    Scale.SQUARE_ROOT: "√",
    Scale.LOGARITHM: "ln",
    Scale.LOGARITHM_PLUS_ONE: "ln(1 + x)",
}


def decimals_for(values: Sequence[float]) -> int:
    """Return the places at which plots that differ look different: two digits of their spread."""
    spread = max(values) - min(values)
    if spread <= 0:
        return 2
    return max(0, min(6, 1 - math.floor(math.log10(spread / 4))))


def factor_name(trial: Trial, factor: FactorMeans) -> str:
    """Return what a factor is called in the trial, with the treatment it is compared within."""
    sub = factor.source is Source.SUB_PLOT or (
        trial.design is TrialDesign.SPLIT_PLOT and factor.source is Source.TREATMENT
    )
    name = (trial.sub_factor or _("sub-plot treatment")) if sub else trial.main_factor
    return (
        name if factor.within is None else _("{name} within {level}").format(name=name, level=factor.within)
    )


def effects(
    trial: Trial,
    tested: AnalysedTrial | None,
    described: DescribedTrial | None,
    unit: str,
    decimals: int,
) -> tuple[EffectLine, ...]:
    """Return every pair, tested ones with the interval that holds for all pairs together."""
    found = (
        [_described_effect(trial, one, unit, decimals) for one in described.differences] if described else []
    )
    for factor in tested.factors if tested else ():
        found += _tested_effects(trial, factor, tested, unit, decimals)
    return tuple(found)


def _tested_effects(
    trial: Trial, factor: FactorMeans, tested: AnalysedTrial | None, unit: str, decimals: int
) -> list[EffectLine]:
    assert tested is not None
    name = factor_name(trial, factor)
    scale = SCALE_WORDS[tested.scale]
    shown_unit = f"{scale} {unit}".strip() if scale else unit
    places = decimals if tested.scale is Scale.PLAIN else 3
    why = _why_effect(factor, tested)
    found = []
    for one in factor.comparisons:
        label = _("{first} less {second}").format(first=one.first, second=one.second)
        key = f"effect_{name}_{one.first}_{one.second}"
        figure = Figure(
            id=key,
            label=label,
            value=one.difference,
            unit=shown_unit,
            decimals=places,
            why=why,
            low=one.low,
            high=one.high,
            level=1 - tested.alpha,
            n=tested.plots_used,
        )
        chance = Figure(
            f"p_{key}", _("p, {pair}").format(pair=label), one.p_value, "", P_DECIMALS, figure.why
        )
        found.append(EffectLine(name, one.first, one.second, figure, chance, one.significant))
    return found


def _why_effect(factor: FactorMeans, tested: AnalysedTrial) -> Why:
    tukey = factor.method is Method.TUKEY
    if tukey:
        rule = _("Difference of the treatment means; Tukey's interval holds for all pairs together.")
    else:
        rule = _(
            "Difference of the treatment means; the interval holds for this pair alone, not for all together."
        )
    inputs = (
        (_("Error mean square"), f"{_error_of(tested, factor):.6g}"),
        (_("Plots"), str(tested.plots_used)),
    )
    return Why(rule, inputs, TUKEY_SOURCE if tukey else LSD_SOURCE, "published")


def _error_of(tested: AnalysedTrial, factor: FactorMeans) -> float:
    against = factor.line.tested_against
    return next(line.mean_square for line in tested.lines if line.source is against)


def _described_effect(trial: Trial, one: WithinPlotDifference, unit: str, decimals: int) -> EffectLine:
    rule = _(
        "Difference of the means, described only. An interval, where there is one, is about the plants of these "
        "very plots: it says nothing about the treatments."
    )
    figure = Figure(
        id=f"described_{one.first}_{one.second}",
        label=_("{first} less {second}").format(first=one.first, second=one.second),
        value=one.difference,
        unit=unit,
        decimals=decimals,
        why=Why(rule, (), WITHIN_SOURCE, "published"),
        low=one.low,
        high=one.high,
    )
    return EffectLine(trial.main_factor, one.first, one.second, figure, None, None)


def means(
    trial: Trial,
    tested: AnalysedTrial | None,
    described: DescribedTrial | None,
    unit: str,
    decimals: int,
) -> tuple[TreatmentLine, ...]:
    """Return every treatment with its mean, highest first within a factor."""
    found: list[TreatmentLine] = []
    if described:
        ordered = sorted(described.means, key=lambda one: -one.mean)
        found += [_described_mean(trial, one, unit, decimals) for one in ordered]
    for factor in tested.factors if tested else ():
        name = factor_name(trial, factor)
        for mean in sorted(factor.means, key=lambda one: -one.mean):
            rule = _("Mean of the plots with its own interval; compare treatments by their differences.")
            figure = Figure(
                id=f"mean_{name}_{mean.treatment}",
                label=mean.treatment,
                value=mean.back_mean,
                unit=unit,
                decimals=decimals,
                why=Why(rule, ((_("Plots"), str(mean.plots)),), ANOVA_SOURCE, "published"),
                low=mean.back_low,
                high=mean.back_high,
                level=1 - tested.alpha if tested else 0.95,
                n=mean.plots,
            )
            found.append(TreatmentLine(name, mean.treatment, figure, mean.plots, mean.letters))
    return tuple(found)


def _described_mean(trial: Trial, one: DescribedMean, unit: str, decimals: int) -> TreatmentLine:
    why = Why(_("Mean of what was recorded; not tested."), ((_("Replicates"), str(one.plots)),))
    figure = Figure(
        f"mean_{trial.main_factor}_{one.treatment}", one.treatment, one.mean, unit, decimals, why, n=one.plots
    )
    return TreatmentLine(trial.main_factor, one.treatment, figure, one.plots)


def lines(trial: Trial, tested: AnalysedTrial | None) -> tuple[TestLine, ...]:
    """Return the analysis of variance, each line with what it was tested against."""
    found = []
    for line in tested.lines if tested else ():
        source = source_name(trial, line.source)
        against = source_name(trial, line.tested_against) if line.tested_against else ""
        why = Why(
            _("Analysis of variance of plots, as the trial was laid out."),
            ((_("Tested against"), against or words.MISSING),),
            ANOVA_SOURCE,
            "published",
        )
        key = line.source.value

        def made(part: str, label: str, value: float, places: int, key: str = key, why: Why = why) -> Figure:
            return Figure(f"{part}_{key}", label, value, "", places, why)

        found.append(
            TestLine(
                source=source,
                degrees_of_freedom=line.degrees_of_freedom,
                sum_of_squares=made("ss", _("Sum of squares"), line.sum_of_squares, 4),
                mean_square=made("ms", _("Mean square"), line.mean_square, 4),
                f=None if line.f is None else made("f", f"F, {source}", line.f, 4),
                p_value=None if line.p_value is None else made("p", f"p, {source}", line.p_value, P_DECIMALS),
                tested_against=against,
            )
        )
    return tuple(found)


def source_name(trial: Trial, source: Source) -> str:
    """Return what a source of variation is called in this trial."""
    sub_alone = trial.design is TrialDesign.SPLIT_PLOT
    names = {
        Source.BLOCKS: _("blocks"),
        Source.TREATMENT: (trial.sub_factor if sub_alone else trial.main_factor) or _("treatment"),
        Source.WHOLE_PLOT: trial.main_factor,
        Source.WHOLE_PLOT_ERROR: _("whole-plot error"),
        Source.SUB_PLOT: trial.sub_factor or _("sub-plot treatment"),
        Source.INTERACTION: _("{main} × {sub}").format(main=trial.main_factor, sub=trial.sub_factor),
        Source.ERROR: _("error"),
    }
    return names[source]


def yardsticks(trial: Trial, tested: AnalysedTrial | None, unit: str, decimals: int) -> tuple[Figure, ...]:
    """Return the smallest differences: honest, least (only after a significant F), and what could be seen."""
    found = []
    if tested is None:
        return ()
    for factor in tested.factors:
        name = factor_name(trial, factor)
        scaled = tested.scale is not Scale.PLAIN
        shown = f"{SCALE_WORDS[tested.scale]} {unit}".strip() if scaled else unit
        places = 3 if scaled else decimals
        refused = _("Only after a significant F test.")
        for key, label, value, source, missing in (
            ("hsd", _("Honest significant difference"), factor.honest_difference, TUKEY_SOURCE, ""),
            ("lsd", _("Least significant difference"), factor.least_difference, LSD_SOURCE, refused),
            ("sdd", _("Could have been seen 4 times in 5"), factor.smallest_detectable_difference, "", ""),
        ):
            why = Why(
                _("From the error of the plots in this trial."), (), source, "published" if source else ""
            )
            gap = (
                "" if value is not None else missing or _("Pairs have different errors: see each difference.")
            )
            found.append(Figure(f"{key}_{name}", f"{label}, {name}", value, shown, places, why, missing=gap))
    return tuple(found)


def spread(entered: Sequence[Plot], tested: AnalysedTrial | None) -> tuple[tuple[str, float, float], ...]:
    """Return (treatment, mean, standard deviation) of the plots, for the picture of spread against mean."""
    if tested is None:
        return ()
    groups: dict[str, list[float]] = {}
    for plot in entered:
        if plot.value is not None:
            name = plot.treatment if plot.whole is None else f"{plot.whole} / {plot.treatment}"
            groups.setdefault(name, []).append(plot.value)
    found = []
    for name, group in groups.items():
        mean = math.fsum(group) / len(group)
        if len(group) > 1:
            variance = math.fsum((one - mean) ** 2 for one in group) / (len(group) - 1)
            found.append((name, mean, math.sqrt(variance)))
    return tuple(found)
