"""Figures of heights: mean, growth of the same plants, head above last tie, days to the next tie and the wire."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from statistics import fmean

from bayround import words
from bayround.agronomy import growth, reaching
from bayround.agronomy.refusals import Refused
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

GROWTH_SOURCE = "Student 1908, Biometrika 6:1–25 (paired differences)"
FIELLER_SOURCE = (
    "Fieller 1954, J. R. Stat. Soc. B 16:175–185; Graybill & Iyer 1994, Regression Analysis, ch. 6"
)
LINE_RULE = "Straight line through the mean height of the same marked plants over the newest visits, met with the level."
RECENT_VISITS = 5
"""How many of the newest visits the straight line rests on; heights bend over longer times."""


def figures(past: BayPast, profile: CropProfile | None) -> dict[str, Figure]:
    """Return the height figures of the newest visit (cm, cm/week, days)."""
    latest = past.latest
    plants = past.planting.plants if past.planting else None
    height = height_figure(latest, plants)
    if height.value is not None:
        walked = sampled.along_the_walk(past, sampled.values_of(latest, "height_cm"), 1, "cm")
        height = replace(height, why=replace(height.why, inputs=(*height.why.inputs, *walked)))
    above = _above_tie(latest, plants)
    found = [height, growth_figure(past), above]
    line = recent_means(past)
    tie = _tie_level(past, profile, line[2])
    found.append(_days_until(line, "days_to_tie", _("Tie due after visit"), tie, above))
    found.append(
        _days_until(line, "days_to_wire", _("Top wire reached after visit"), _wire_level(past), height)
    )
    return {figure.id: figure for figure in found}


def height_figure(record: VisitRecord | None, population: int | None) -> Figure:
    """Return the mean height of the marked plants at one visit (cm); *population*: plants of the bay."""
    return sampled.mean_figure(
        "height_cm",
        _("Height"),
        sampled.values_of(record, "height_cm"),
        "cm",
        1,
        population,
        _("Mean height of the marked plants; interval for the bay's mean."),
    )


def growth_figure(past: BayPast) -> Figure:
    """Return growth since the visit before, in cm/week, from the plants measured both times."""
    label, rule = _("Growth"), _("Change of the same marked plants since the visit before, per week.")
    latest, previous = past.latest, past.previous

    def missing(reason: str) -> Figure:
        why = Why(rule, (), GROWTH_SOURCE, "published")
        return Figure("growth_cm_week", label, None, "cm/week", 1, why, missing=reason)

    if latest is None or previous is None:
        return missing(_("Needs two visits."))
    now, before = sampled.values_of(latest, "height_cm"), sampled.values_of(previous, "height_cm")
    days = (latest.day - previous.day).days
    if days <= 0:
        return missing(_("Both visits are of the same day."))
    paired = growth.paired_growth(before, now, days, _population(past, len(now)))
    if isinstance(paired, Refused):
        return missing(_("No marked plant was measured at both visits."))
    names = {plant.id: str(plant.number) for plant in past.plants}
    inputs = [
        (_("From"), words.day(previous.day)),
        (_("To"), words.day(latest.day)),
        (_("Days between"), str(days)),
        (_("Plants measured both times"), str(paired.n)),
    ]
    if paired.dropped_out:
        inputs.append(
            (_("Only measured before"), words.listing([names.get(key, "?") for key in paired.dropped_out]))
        )
    if paired.joined:
        inputs.append((_("Only measured now"), words.listing([names.get(key, "?") for key in paired.joined])))
    return Figure(
        "growth_cm_week",
        label,
        paired.cm_per_week.value,
        "cm/week",
        1,
        Why(rule, tuple(inputs), GROWTH_SOURCE, "published"),
        low=paired.cm_per_week.low,
        high=paired.cm_per_week.high,
        n=paired.n,
        n_of="plants",
    )


def _above_tie(record: VisitRecord | None, population: int | None) -> Figure:
    heights, ties = sampled.values_of(record, "height_cm"), sampled.values_of(record, "last_tie_cm")
    above = {plant: height - ties[plant] for plant, height in heights.items() if plant in ties}
    return sampled.mean_figure(
        "head_above_tie_cm",
        _("Head above last tie"),
        above,
        "cm",
        1,
        population,
        _("Mean of height − height of the last tie, plant by plant."),
    )


def _tie_level(past: BayPast, profile: CropProfile | None, plants: Sequence[str]) -> float | None:
    """Return the mean height of the last tie of *plants* + the distance at which the next is due (cm)."""
    ties = sampled.values_of(past.latest, "last_tie_cm")
    known = [ties[plant] for plant in plants if plant in ties]
    return fmean(known) + profile.number("tie_every_cm").value if known and profile else None


def _population(past: BayPast, measured: int) -> int | None:
    return max(past.planting.plants, measured) if past.planting else None


def _wire_level(past: BayPast) -> float | None:
    return past.house.wire_height_m * 100 if past.house.wire_height_m else None


def _days_until(
    line: tuple[list[float], list[float], list[str]],
    figure_id: str,
    label: str,
    level_cm: float | None,
    now: Figure,
) -> Figure:
    """Return in how many days after the newest visit the mean head passes *level_cm* (0: passed already)."""
    days, means, plants = line
    inputs: tuple[tuple[str, str], ...] = ()
    missing, found = _("Not measured at this visit."), None
    if level_cm is not None and now.value is not None:
        inputs = (
            (_("Level"), sampled.shown(level_cm, 0, "cm")),
            (_("Visits used"), str(len(days))),
            (_("Plants measured at all of them"), str(len(plants))),
        )
        missing, found = _crossing(days, means, level_cm)
    value, low, high = found if found is not None else (None, None, None)
    return Figure(
        figure_id,
        label,
        value,
        _("days"),
        0,
        Why(_(LINE_RULE), inputs, FIELLER_SOURCE, "published"),
        low=low,
        high=high,
        n=len(plants) if found is not None else None,
        n_of="plants",
        missing=missing,
    )


Days = tuple[float, float | None, float | None]


def _crossing(days: list[float], means: list[float], level_cm: float) -> tuple[str, Days | None]:
    """Return why there is no day, or the days from the newest visit to the level with their limits."""
    if means and means[-1] >= level_cm:
        return "", (0.0, None, None)
    met = reaching.day_line_reaches(days, means, level_cm)
    if isinstance(met, Refused):
        return _(met.refused), None
    if met.slope_per_day <= 0:
        return _("The plants did not grow over these visits, so no date can be given."), None
    return "", (max(0.0, met.days_beyond_last), max(0.0, met.low - days[-1]), max(0.0, met.high - days[-1]))


def recent_means(past: BayPast, visits: int = RECENT_VISITS) -> tuple[list[float], list[float], list[str]]:
    """Return (days from the first, mean height in cm, plants) of the newest visits, same plants throughout.

    The plants are those of the newest visit that were measured at all of these visits, or at all but one:
    a visit at which few were read is left out rather than the plants.
    """
    newest: list[tuple[date, Mapping[str, float]]] = []
    for record in reversed(past.visits):
        values = sampled.values_of(record, "height_cm")
        if values:
            newest.append((record.day, values))
        if len(newest) == visits:
            break
    if not newest:
        return [], [], []
    times = {plant: sum(plant in values for _day, values in newest) for plant in newest[0][1]}
    most = max(times.values())
    plants = sorted(plant for plant, count in times.items() if count >= max(1, most - 1))
    whole = [(day, values) for day, values in reversed(newest) if all(plant in values for plant in plants)]
    if len(whole) < 2 <= most:
        plants = sorted(plant for plant, count in times.items() if count == most)
        whole = [
            (day, values) for day, values in reversed(newest) if all(plant in values for plant in plants)
        ]
    days = [float((day - whole[0][0]).days) for day, _values in whole]
    return days, [fmean(values[plant] for plant in plants) for _day, values in whole], plants
