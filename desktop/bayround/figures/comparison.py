"""Can two bays be told apart? The honest answer is often no, and then how many plants it would take."""

from __future__ import annotations

from dataclasses import dataclass, replace
from statistics import fmean

from bayround.agronomy import sample_sizes, sampling
from bayround.agronomy.refusals import Refused
from bayround.facts.bay_past import BayPast
from bayround.figures.figure import Figure, Why
from bayround.figures.sample_size import MEASURES, Measure
from bayround.words import _

WELCH_SOURCE = "Welch 1947, Biometrika 34:28–35"


@dataclass(frozen=True, slots=True)
class BayComparison:
    """First bay minus second bay, in words and as a figure; *needed*: plants a bay to tell this difference."""

    difference: Figure
    told_apart: bool
    needed: int | None
    sentence: str


def compare_bays(first: BayPast, second: BayPast, figure_id: str) -> BayComparison:
    """Tell whether two bays differ in a mean over marked plants, from their newest visits.

    Raises:
        KeyError: for a figure that is no mean over marked plants.
    """
    measure = MEASURES[figure_id]
    one, two = list(measure.values(first).values()), list(measure.values(second).values())
    if min(len(one), len(two)) < 2:
        return _cannot(first, second, measure, (one, two), _("Each bay needs two measured plants."))
    found = sampling.compare_bays(one, two, _standing(first, one), _standing(second, two))
    if isinstance(found, Refused):
        return _cannot(first, second, measure, (one, two), _(found.refused))
    figure = Figure(
        id="bay_difference",
        label=_label(first, second, measure),
        value=found.difference,
        unit=_(measure.unit),
        decimals=measure.decimals,
        why=_why((one, two)),
        low=found.low,
        high=found.high,
        n=len(one) + len(two),
        n_of="plants",
    )
    needed = None if found.told_apart else _needed(one, two, found.difference)
    said = _in_words(first, second, measure, figure, found.told_apart, needed)
    return BayComparison(figure, found.told_apart, needed, said)


def _cannot(
    first: BayPast, second: BayPast, measure: Measure, values: tuple[list[float], list[float]], reason: str
) -> BayComparison:
    label, why = _label(first, second, measure), _why(values)
    figure = Figure("bay_difference", label, None, _(measure.unit), measure.decimals, why, missing=reason)
    return BayComparison(figure, False, None, reason)


def _label(first: BayPast, second: BayPast, measure: Measure) -> str:
    bays = f"{first.bay.name}, {second.bay.name}"
    return _("Difference of {what}: {bays}").format(what=_(measure.label).lower(), bays=bays)


def _why(values: tuple[list[float], list[float]]) -> Why:
    rule = _(
        "Mean of the first bay − mean of the second, with Welch's interval. It says that the plants differ, not why."
    )
    counted = f"{len(values[0])}, {len(values[1])}"
    return Why(rule, ((_("Plants measured"), counted),), WELCH_SOURCE, "published")


def _standing(past: BayPast, values: list[float]) -> int | None:
    return max(past.planting.plants, len(values)) if past.planting else None


def _needed(one: list[float], two: list[float], difference: float) -> int | None:
    """Plants in each bay to tell a difference of the size seen with 80 % certainty."""
    if difference == 0:
        return None
    variances = [sampling.sample_mean_and_deviation(values)[1] ** 2 for values in (one, two)]
    found = sample_sizes.plants_to_tell_apart(difference, fmean(variances) ** 0.5)
    return None if isinstance(found, Refused) else found


def _in_words(
    first: BayPast, second: BayPast, measure: Measure, figure: Figure, told_apart: bool, needed: int | None
) -> str:
    what = _(measure.label).lower()
    if told_apart and figure.value is not None and figure.low is not None and figure.high is not None:
        ahead, more = first, figure
        if figure.value < 0:
            ahead, more = second, replace(figure, value=-figure.value, low=-figure.high, high=-figure.low)
        return _("{bay} is clearly ahead in {what}: the difference is {interval} {unit}.").format(
            bay=ahead.bay.name, what=what, interval=more.interval_text, unit=figure.unit
        )
    said = _("{first} and {second} can't be told apart in {what} ({interval} {unit}).").format(
        first=first.bay.name,
        second=second.bay.name,
        what=what,
        interval=figure.interval_text,
        unit=figure.unit,
    )
    if needed is not None:
        from_how_many = _("A difference of this size would show from about {n} plants in each bay.")
        said += " " + from_how_many.format(n=needed)
    return said
