"""Figures of growth over the season: a trend no single visit bends, and an S-shaped curve with its errors."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import fmean

from bayround import words
from bayround.agronomy import growth
from bayround.agronomy.curve_rates import steepest_growth
from bayround.agronomy.curves import CurveFit, curve_value, day_curve_reaches, fit_curve
from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.refusals import Refused
from bayround.facts.bay_past import BayPast
from bayround.figures import heights, sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

RECENT_VISITS = 6
TREND_SOURCE = "Sen 1968, J. Am. Stat. Assoc. 63:1379–1389"
CURVE_SOURCE = "Ratkowsky 1983, Nonlinear Regression Modeling (logistic, Gompertz); Seber & Wild 1989, from memory (delta method)"
KIND_WORDS = {"logistic": "logistic", "gompertz": "Gompertz"}
LEVEL = 0.95
WEEKS_AHEAD = 3
"""A curve is drawn so far beyond the newest visit and no further."""


@dataclass(frozen=True, slots=True)
class GrowthCurve:
    """The better supported of two fitted curves; days count from transplanting."""

    fit: CurveFit
    start: date
    last_visit: date
    first_visit: date
    plants: int


def trend(past: BayPast) -> Figure:
    """Return the Theil–Sen trend of mean height over the newest visits, in cm/week, with Sen's interval."""
    label = _("Height trend")
    rule = _("Middle of the growth rates between every two of the newest visits; same marked plants.")
    days, means, plants = heights.recent_means(past, RECENT_VISITS)
    count = len(plants)
    inputs = ((_("Visits used"), str(len(days))), (_("Plants measured at all of them"), str(count)))
    why = Why(rule, inputs, TREND_SOURCE, "published")
    found = growth.theil_sen_trend(days, means, LEVEL)
    if isinstance(found, Refused):
        reason = _(found.refused)
        return Figure("height_trend_cm_week", label, None, "cm/week", 1, why, missing=reason)
    return Figure(
        "height_trend_cm_week",
        label,
        found.slope_per_day * 7,
        "cm/week",
        1,
        why,
        low=found.low * 7,
        high=found.high * 7,
        n=count,
    )


def curve(past: BayPast) -> GrowthCurve | str:
    """Fit both curves to the mean height of the same plants and return the better one, or why there is none."""
    if past.planting is None:
        return _("No crop stands in this bay.")
    records, plants = _season_means(past)
    start = past.planting.transplanted_on
    days = [float((day - start).days) for day, _mean in records]
    means = [mean for _day, mean in records]
    fits = [fit_curve(kind, days, means) for kind in ("logistic", "gompertz")]
    known = [fit for fit in fits if not isinstance(fit, Refused)]
    if not known:
        refused = next(fit for fit in fits if isinstance(fit, Refused))
        return _(refused.refused)
    best = min(known, key=lambda fit: fit.aicc)
    return GrowthCurve(best, start, records[-1][0], records[0][0], plants)


def curve_figures(past: BayPast, found: GrowthCurve | str) -> dict[str, Figure]:
    """Return final height (cm), fastest growth (cm/week) and its age (weeks), with standard errors."""
    rows = (
        ("curve_final_cm", _("Height the curve ends at"), "cm", 0),
        ("curve_fastest_cm_week", _("Fastest growth of the curve"), "cm/week", 1),
        ("curve_fastest_at_weeks", _("Age at the fastest growth"), _("weeks"), 1),
    )
    wire = _wire_figure(past, found)
    rule = _("S-shaped curve through the mean height of the same marked plants at all visits.")
    if isinstance(found, str):
        why = Why(rule, (), CURVE_SOURCE, "published")
        return {
            key: Figure(key, label, None, unit, decimals, why, missing=found)
            for key, label, unit, decimals in rows
        } | {wire.id: wire}
    fit, steepest = found.fit, steepest_growth(found.fit)
    t = two_sided_t(LEVEL, fit.degrees_of_freedom)
    values = (
        (fit.asymptote, fit.standard_errors[0]),
        (steepest.rate_per_day * 7, steepest.rate_error * 7),
        (steepest.day / 7, steepest.day_error / 7),
    )
    figures = {}
    for (key, label, unit, decimals), (value, error) in zip(rows, values, strict=True):
        inputs = (
            (_("Curve"), _(KIND_WORDS[fit.kind])),
            (_("Standard error"), f"{words.number(error, decimals + 1)} {unit}"),
            (_("Visits used"), str(fit.degrees_of_freedom + 3)),
            (_("Scatter around the curve"), f"{words.number(fit.residual_deviation, 1)} cm"),
            (_("Mind"), _("the same plants week after week: the errors are on the small side")),
        )
        why = Why(rule, inputs, CURVE_SOURCE, "published")
        figures[key] = Figure(
            key, label, value, unit, decimals, why, value - t * error, value + t * error, n=found.plants
        )
    return figures | {wire.id: wire}


def _wire_figure(past: BayPast, found: GrowthCurve | str) -> Figure:
    """Return the age (weeks) at which the curve reaches the crop wire, or why it can't be said."""
    label, unit = _("Age at which the curve reaches the wire"), _("weeks")
    rule = _("Where the S-shaped curve passes the height of the wire; errors of all three of its numbers.")
    height_m = past.house.wire_height_m
    inputs = () if height_m is None else ((_("Wire"), f"{words.number(height_m, 2)} m"),)
    bare = Figure("curve_wire_weeks", label, None, unit, 1, Why(rule, inputs, CURVE_SOURCE, "published"))
    if isinstance(found, str):
        return bare.without(found)
    if height_m is None:
        return bare.without(_("The height of the wire is not written down for this house."))
    day = day_curve_reaches(found.fit, height_m * 100, LEVEL)
    if isinstance(day, Refused):
        return bare.without(_(day.refused))
    return replace(bare, value=day.day / 7, low=day.low / 7, high=day.high / 7, n=found.plants)


def curve_points(past: BayPast) -> tuple[tuple[date, float], ...]:
    """Return (day, cm) of the fitted curve, a point every other day, to three weeks beyond the newest visit.

    Empty where no curve fits.
    """
    found = curve(past)
    return () if isinstance(found, str) else points_of(found)


def points_of(found: GrowthCurve) -> tuple[tuple[date, float], ...]:
    """Return (day, cm) of a fitted curve; see `curve_points`."""
    last = found.last_visit + timedelta(weeks=WEEKS_AHEAD)
    days = range((found.first_visit - found.start).days, (last - found.start).days + 1, 2)
    return tuple((found.start + timedelta(days=day), curve_value(found.fit, day)) for day in days)


def _season_means(past: BayPast) -> tuple[list[tuple[date, float]], int]:
    """Return (day, mean height) of the visits at which the same plants were measured, and their number.

    The plants are those measured at most visits, or at nearly as many: one skipped plant costs one visit.
    """
    measured = [(record.day, sampled.values_of(record, "height_cm")) for record in past.visits]
    times = Counter(plant for _day, values in measured for plant in values)
    if not times:
        return [], 0
    most = max(times.values())
    plants = sorted(plant for plant, count in times.items() if count >= most - 1)
    whole = [(day, values) for day, values in measured if all(plant in values for plant in plants)]
    means = [(day, fmean(values[plant] for plant in plants)) for day, values in whole]
    return [(day, mean) for day, mean in means if mean > 0], len(plants)
