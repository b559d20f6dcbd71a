"""How many plants are enough? From the bay's own scatter, and from what clean plants prove."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import fmean

from bayround import words
from bayround.agronomy import incidence, sample_sizes, sampling
from bayround.agronomy.refusals import Refused
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

SIZE_SOURCE = "Cochran 1977, Sampling Techniques, 3rd ed., ch. 4 (t instead of the normal, finite population)"
DETECTION_SOURCE = "Definition: (1 − share)^n; exact limit when none is found"
LEVEL = 0.95
ASSURANCE = 0.8
"""How surely the promised precision is kept, seeing that the scatter of a few plants is itself uncertain."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure that is a mean over marked plants: what it is called and each plant's own value."""

    label: str
    unit: str
    decimals: int
    values: Callable[[BayPast], Mapping[str, float]]


def _growth(past: BayPast) -> dict[str, float]:
    latest, previous = past.latest, past.previous
    if latest is None or previous is None or latest.day <= previous.day:
        return {}
    now, before = sampled.values_of(latest, "height_cm"), sampled.values_of(previous, "height_cm")
    days = (latest.day - previous.day).days
    return {plant: (now[plant] - before[plant]) / days * 7 for plant in now if plant in before}


def _load(past: BayPast) -> dict[str, float]:
    if past.planting is None:
        return {}
    per_m2 = past.planting.plants / past.bay.area_m2
    return {plant: fruit * per_m2 for plant, fruit in sampled.fruit_of(past.latest).items()}


MEASURES: Mapping[str, Measure] = {
    "height_cm": Measure("Height", "cm", 1, lambda past: sampled.values_of(past.latest, "height_cm")),
    "growth_cm_week": Measure("Growth", "cm/week", 1, _growth),
    "fruit_per_plant": Measure(
        "Fruit per plant", "fruit/plant", 1, lambda past: sampled.fruit_of(past.latest)
    ),
    "fruit_per_m2": Measure("Fruit load", "fruit/m²", 1, _load),
}


def marked_plants(
    past: BayPast, profile: CropProfile, figure_id: str, percent: float | None = None
) -> Figure:
    """Return how many marked plants would give the mean to ± *percent* of itself, from the bay's own scatter.

    Without *percent* the precision the crop profile asks for. The figure's *says* tells the precision now.

    Raises:
        KeyError: for a figure that is no mean over marked plants.
    """
    measure = MEASURES[figure_id]
    wanted = profile.number("wanted_precision_percent")
    share = wanted.value if percent is None else percent
    name, label = f"plants_for_{figure_id}", _("Marked plants for {what}").format(what=_(measure.label))
    rule = _("Smallest number whose interval is ± {percent} % of the mean or less, from this bay's scatter.")
    rule = rule.format(percent=words.number(share, 0))
    values = list(measure.values(past).values())
    inputs: tuple[tuple[str, str], ...] = ((_("Plants measured now"), str(len(values))),)
    if len(values) < 2 or past.planting is None or fmean(values) <= 0:
        why = Why(rule, inputs, SIZE_SOURCE, "published")
        reason = _("Needs two measured plants and a mean above zero.")
        return Figure(name, label, None, _("plants"), 0, why, missing=reason)
    mean, deviation = sampling.sample_mean_and_deviation(values)
    now = 100 * (sampling.mean_interval(values, past.planting.plants).high or mean) / mean - 100
    inputs += (
        (_("Mean"), sampled.shown(mean, measure.decimals, _(measure.unit))),
        (_("Standard deviation between plants"), sampled.shown(deviation, measure.decimals, _(measure.unit))),
        (_("Precision now"), f"± {words.number(now, 0)} %"),
    )
    if deviation == 0:
        found: int | Refused = 2
    else:
        careful = sample_sizes.upper_standard_deviation(deviation, len(values), ASSURANCE)
        half_width = mean * share / 100
        found = sample_sizes.plants_for_mean(deviation, half_width, past.planting.plants)
        surely = sample_sizes.plants_for_mean(careful, half_width, past.planting.plants)
        if not isinstance(surely, Refused):
            percent_text = words.number(ASSURANCE * 100, 0)
            inputs += ((_("To keep the promise in {n} % of cases").format(n=percent_text), str(surely)),)
    why = Why(rule, inputs, SIZE_SOURCE, "published")
    if isinstance(found, Refused):
        return Figure(name, label, None, _("plants"), 0, why, missing=_(found.refused))
    says = _("now ± {percent} %").format(percent=words.number(now, 0))
    return Figure(name, label, float(found), _("plants"), 0, why, n=len(values), says=says, n_of="plants")


def marked_sentence(past: BayPast, profile: CropProfile, figure_id: str, percent: float | None = None) -> str:
    """Return the answer of `marked_plants` in one sentence."""
    figure = marked_plants(past, profile, figure_id, percent)
    if figure.value is None:
        return figure.missing
    wanted = profile.number("wanted_precision_percent").value if percent is None else percent
    return _("{what}: {n} plants are measured ({now}); ± {percent} % would take {needed}.").format(
        what=_(MEASURES[figure_id].label),
        n=figure.n,
        now=figure.says,
        percent=words.number(wanted, 0),
        needed=figure.text,
    )


def inspected_units(
    infested: int, inspected: int, half_width_percent: float, plants: int | None = None
) -> Figure:
    """Return how many units to inspect for a share near the one found, to ± *half_width_percent* points.

    Where none (or all) were infested, Wilson's middle stands in for the share.
    """
    label = _("Units to inspect")
    rule = _(
        "Smallest number for an interval of ± {points} points around a share like the one found."
    ).format(points=words.number(half_width_percent, 0))
    if inspected < 1:
        why = Why(rule, (), SIZE_SOURCE, "published")
        return Figure("units_to_inspect", label, None, "", 0, why, missing=_("Nothing was inspected."))
    share = incidence.wilson_interval(infested, inspected)
    expected = share.share if 0 < infested < inspected else (share.low + share.high) / 2
    inputs = (
        (_("Infested"), f"{infested} / {inspected}"),
        (_("Share reckoned with"), f"{words.number(expected * 100, 1)} %"),
    )
    found = sample_sizes.plants_for_share(expected, half_width_percent / 100, plants)
    why = Why(rule, inputs, SIZE_SOURCE, "published")
    return Figure("units_to_inspect", label, float(found), "", 0, why, n=inspected, n_of="units")


def largest_missed(inspected: int) -> Figure:
    """Return the largest share (percent) that *inspected* clean units still leave possible, at 95 %."""
    label = _("Could have been missed")
    rule = _("Largest share infested at which finding none among so many units still happens 1 time in 20.")
    inputs = ((_("Clean units inspected"), str(inspected)),)
    why = Why(rule, inputs, DETECTION_SOURCE, "published")
    if inspected < 1:
        missing = _("Nothing was inspected.")
        return Figure("largest_missed_percent", label, None, "%", 0, why, missing=missing)
    value = incidence.upper_limit_when_none_found(inspected, LEVEL) * 100
    return Figure("largest_missed_percent", label, value, "%", 0, why, n=inspected, n_of="units")


def detection_sentence(inspected: int, level_percent: float | None = None, plants: int | None = None) -> str:
    """Return what clean units prove, and how many it takes to find *level_percent* with 95 %.

    *plants*: how many plants the bay has, where whole plants were inspected: then exactly, without repeats.
    """
    missed = largest_missed(inspected)
    if missed.value is None:
        return missed.missing
    said = words.counted(
        "With {n} clean unit you could have missed",
        "With {n} clean units you could have missed",
        inspected,
    )
    said += " " + _("up to {percent} % infested.").format(percent=missed.text)
    if level_percent is not None:
        needed = _to_find(level_percent / 100, plants)
        said += " " + _("To find {percent} % with 95 % certainty look at {n}.").format(
            percent=words.number(level_percent, 0), n=needed
        )
    return said


def _to_find(share: float, plants: int | None) -> int:
    if plants is not None and round(share * plants) >= 1:
        found = sample_sizes.plants_to_find_one_in_bay(plants, round(share * plants), LEVEL)
        if not isinstance(found, Refused):
            return found
    return sample_sizes.plants_to_find_one(share, LEVEL)
