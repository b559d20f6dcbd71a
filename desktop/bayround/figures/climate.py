"""Dryness of the air and light: vapour pressure deficit and daily light integral, day by day and lately."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from datetime import date, timedelta
from operator import attrgetter

from bayround import words
from bayround.agronomy import heat as reckon
from bayround.facts.bay_past import BayPast
from bayround.facts.work import ClimateDay
from bayround.figures.figure import Figure, Why
from bayround.words import _

RECENT_DAYS, FEWEST_DAYS = 7, 5
"""The week before tells how the air is now; with fewer days kept it would not (common practice, no source)."""

DEFICIT_SOURCE = "Allen et al. 1998, FAO Irrigation and Drainage Paper 56, equations 11, 12 and 17, example 6"
LIGHT_SOURCE = "definition of the daily light integral: photosynthetic light summed over the day"

_day = attrgetter("day")


def deficit_of_day_kpa(seen: ClimateDay) -> float | None:
    """Return the mean vapour pressure deficit of a day in kPa; none where too little was measured.

    That of a logger's readings where it is kept; else from the day's lowest and highest temperature and humidity.
    """
    if seen.vapour_pressure_deficit_kpa is not None:
        return seen.vapour_pressure_deficit_kpa
    low, high = seen.humidity_low_percent, seen.humidity_high_percent
    if low is None or high is None or not (reckon.is_air(seen.low_c) and reckon.is_air(seen.high_c)):
        return None
    return reckon.daily_vapour_pressure_deficit_kpa(
        seen.low_c, seen.high_c, lowest_humidity_percent=low, highest_humidity_percent=high
    )


def of_day(seen: ClimateDay) -> dict[str, Figure]:
    """Return vapour pressure deficit and light of one day, each with how it is known."""
    inputs = _measured(seen)
    deficit = _deficit(deficit_of_day_kpa(seen), _of_one_day(seen), inputs, None)
    light = _light(seen.light_mol_m2, _("Light of this day, as it was measured."), (), None)
    return {deficit.id: deficit, light.id: light}


def figures(past: BayPast, as_of: date) -> dict[str, Figure]:
    """Return the mean vapour pressure deficit and the mean light of a day in the week before *as_of*."""
    kept = past.climate_days
    since = as_of - timedelta(days=RECENT_DAYS)
    days = kept[bisect_left(kept, since, key=_day) : bisect_left(kept, as_of, key=_day)]
    deficits = [one for seen in days if (one := deficit_of_day_kpa(seen)) is not None]
    lights = [seen.light_mol_m2 for seen in days if seen.light_mol_m2 is not None]
    span = ((_("Days"), _span(since, as_of)),)
    rule = _(
        "Mean of the last {n} days. Of each day: mean of the logger's readings, or saturation at lowest and highest temperature less the vapour that lowest and highest humidity stand for."
    ).format(n=RECENT_DAYS)
    light_rule = _("Mean of the light of the last {n} days; a logger's readings are summed over the day.")
    deficit = _deficit(_mean(deficits), rule, span, len(deficits))
    light = _light(_mean(lights), light_rule.format(n=RECENT_DAYS), span, len(lights))
    return {deficit.id: deficit, light.id: light}


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if len(values) >= FEWEST_DAYS else None


def _deficit(value: float | None, rule: str, inputs: tuple[tuple[str, str], ...], n: int | None) -> Figure:
    why = Why(rule, inputs, DEFICIT_SOURCE, "published")
    missing = "" if value is not None else _("Humidity is not kept for these days.")
    label, n_of = _("Vapour pressure deficit"), "" if n is None else "days"
    known = n if value is not None else None
    return Figure(
        "vapour_pressure_deficit_kpa", label, value, "kPa", 2, why, n=known, n_of=n_of, missing=missing
    )


def _light(value: float | None, rule: str, inputs: tuple[tuple[str, str], ...], n: int | None) -> Figure:
    why = Why(rule, inputs, LIGHT_SOURCE, "published")
    missing = "" if value is not None else _("Light is not kept for these days.")
    label, n_of = _("Light of a day"), "" if n is None else "days"
    known = n if value is not None else None
    return Figure("light_mol_m2_day", label, value, "mol/m²", 1, why, n=known, n_of=n_of, missing=missing)


def _of_one_day(seen: ClimateDay) -> str:
    if seen.vapour_pressure_deficit_kpa is not None:
        return _("Mean over the readings of the logger: saturation less vapour at each.")
    return _(
        "Saturation at lowest and highest temperature less the vapour that lowest and highest humidity stand for."
    )


def _measured(seen: ClimateDay) -> tuple[tuple[str, str], ...]:
    inputs = ((_("Temperature"), _two(seen.low_c, seen.high_c, 1, "°C")),)
    low, high = seen.humidity_low_percent, seen.humidity_high_percent
    return inputs if low is None or high is None else (*inputs, (_("Humidity"), _two(low, high, 0, "%")))


def _two(low: float, high: float, decimals: int, unit: str) -> str:
    both = _("{low} to {high}").format(low=words.number(low, decimals), high=words.number(high, decimals))
    return f"{both} {unit}"


def _span(since: date, until: date) -> str:
    return _("{first} to {last}").format(first=words.day(since), last=words.day(until - timedelta(days=1)))
