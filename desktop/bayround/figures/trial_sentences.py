"""What a trial says in words: the verdict, what was looked at, and what the layout can't answer."""

from __future__ import annotations

from datetime import date

from bayround import words
from bayround.agronomy.anova import Source
from bayround.agronomy.repeated_looks import chance_of_false_finding
from bayround.agronomy.trial_checks import Scale
from bayround.agronomy.trial_result import AnalysedTrial
from bayround.facts.trials import TrialDesign
from bayround.figures.trial_report import TrialReport
from bayround.words import _

DESCRIBED = "Described, not tested."
_MOST_LOOKS = 50
SCALES = {
    Scale.PLAIN.value: "plain scale",
    Scale.SQUARE_ROOT.value: "square root",
    Scale.LOGARITHM.value: "logarithm",
    Scale.LOGARITHM_PLUS_ONE.value: "logarithm of 1 + value",
}


def verdict(made: TrialReport) -> str:
    """Return the trial's answer in one or two sentences."""
    parts = []
    if made.described is not None:
        parts.append(f"{_(DESCRIBED)} {_(made.described.reason.value)}")
    if made.tested is not None:
        apart = [line for line in made.effects if line.told_apart]
        if not apart:
            parts.append(_("No two treatments can be told apart. That does not show that they are equal."))
        for line in apart[:4]:
            first, second, figure = line.first, line.second, line.difference
            low, high = figure.low, figure.high
            if figure.value is not None and figure.value < 0 and low is not None and high is not None:
                first, second, low, high = second, first, -high, -low
            parts.append(
                _("{first} is above {second} by {low} to {high} {unit}.").format(
                    first=first,
                    second=second,
                    low=words.number(low or 0.0, figure.decimals),
                    high=words.number(high or 0.0, figure.decimals),
                    unit=figure.unit,
                )
            )
        if len(apart) > 4:
            parts.append(words.counted("{n} more pair differs.", "{n} more pairs differ.", len(apart) - 4))
    return " ".join(parts)


def notes(made: TrialReport, today: date) -> tuple[str, ...]:
    """Return what was left out, what the residuals say, and what repeated looks do."""
    found = _missing(made)
    if made.tested is not None:
        found += _checked(made.tested)
        if not made.tested.factors[0].comparisons:
            found.append(_("The F test is not significant, so least significant differences are not shown."))
    found += _looks(made, today)
    merged = [one for one in made.plots if one.plot.bay_id]
    used = made.tested.plots_used if made.tested else None
    if (
        made.tested
        and merged
        and used is not None
        and used < len(made.plots) - len(made.tested.plots_missing)
    ):
        found.append(
            _(
                "{plots} plots make {units} replicates: plots that got their treatment together, as a bay or a "
                "house, are averaged first."
            ).format(plots=len(made.plots), units=used)
        )
    return tuple(found)


def _missing(made: TrialReport) -> list[str]:
    lost = [one for one in made.plots if one.value is None]
    found = []
    if lost:
        named = words.listing([f"{one.plot.name} ({one.origin})" for one in lost])
        found.append(
            words.counted("{n} plot has no value:", "{n} plots have no value:", len(lost)) + " " + named + "."
        )
        if made.tested is not None and made.trial.design is TrialDesign.BLOCKS:
            found.append(_("Means are adjusted for the blocks in which plots are missing (least squares)."))
    if made.tested and made.tested.treatments_lost:
        found.append(
            _("No plot is left of: {names}.").format(names=words.listing(made.tested.treatments_lost))
        )
    return found


def _checked(tested: AnalysedTrial) -> list[str]:
    checks, found = tested.checks, []
    if tested.scale is not Scale.PLAIN:
        scale = _(SCALES[tested.scale.value])
        found.append(
            _("Tested on the {scale}; means are turned back, differences stay on that scale.").format(
                scale=scale
            )
        )
    if checks.levene_p_value is not None:
        p = words.number(checks.levene_p_value, 3)
        if checks.spread_unequal:
            found.append(_("Treatments spread unequally (Levene p {p}).").format(p=p))
        else:
            found.append(_("Nothing speaks against equal spread (Levene p {p}).").format(p=p))
    if checks.better_scale is not None:
        found.append(
            _("The spread grows with the mean: the {scale} would be fairer; choose it above.").format(
                scale=_(SCALES[checks.better_scale.value])
            )
        )
    if tested.odd_plot and checks.odd_plot_p_value is not None and checks.odd_plot_p_value < 0.05:
        found.append(
            _(
                "Plot {plot} lies far out (corrected p {p}): check it; leave it out only for a reason you can name."
            ).format(plot=tested.odd_plot, p=words.number(checks.odd_plot_p_value, 3))
        )
    if tested.coefficient_of_variation_percent is not None:
        found.append(
            _("Plots of one treatment vary by {cv} % of the mean.").format(
                cv=words.number(tested.coefficient_of_variation_percent, 1)
            )
        )
    if tested.blocking_efficiency is not None:
        found.append(
            _("Blocks did the work of {share} times as many plots.").format(
                share=words.number(tested.blocking_efficiency, 2)
            )
        )
    return found


def _looks(made: TrialReport, today: date) -> list[str]:
    ended = made.trial.ended_on
    if made.tested is None or (ended is not None and ended <= today):
        return []
    days = frozenset().union(*(one.days for one in made.plots)) if made.plots else frozenset()
    said = _(
        "This trial is still running. Every look gives chance another go: settle on the day of the answer now, "
        "and let only that one count."
    )
    looks = min(len(days), _MOST_LOOKS)
    if looks > 1:
        share = chance_of_false_finding(looks, made.tested.alpha)
        said += " " + _(
            "Looked at after each of {n} rounds or picks so far, a test at {alpha} % would find a difference that "
            "is not there with {share} % chance or so (Armitage, McPherson & Rowe 1969)."
        ).format(n=looks, alpha=words.number(made.tested.alpha * 100, 0), share=words.number(share * 100, 0))
    return [said]


def cannot(made: TrialReport) -> tuple[str, ...]:
    """Return what this layout can't answer, and what to do next season."""
    found = []
    if made.described is not None:
        found += [
            _(
                "It can't say whether {factor} makes a difference: each treatment has one replicate, so the "
                "treatment and the place it stood in can't be told apart."
            ).format(factor=made.trial.main_factor),
            _(
                "Next season: give every treatment to at least two, better four, rows, bays or houses, drawn by "
                "lot; more plants in the same place don't help."
            ),
        ]
    if made.tested is None:
        return tuple(found)
    if made.trial.design is TrialDesign.SPLIT_PLOT and made.tested.factors[0].source is Source.WHOLE_PLOT:
        found.append(
            _(
                "{main} is judged against whole plots only ({df} degrees of freedom), however many plots lie in "
                "them; it is the weaker of the two answers."
            ).format(main=made.trial.main_factor, df=_whole_degrees(made.tested))
        )
    houses = {one.house_id for one in made.plots if one.house_id}
    if len(houses) == 1:
        found.append(_("All plots stand in one house: the answer holds for it and may not hold elsewhere."))
    found.append(_("One season is one season: it can't say what another year's weather will do."))
    return tuple(found)


def _whole_degrees(tested: AnalysedTrial) -> int:
    return next(line.degrees_of_freedom for line in tested.lines if line.source is Source.WHOLE_PLOT_ERROR)
