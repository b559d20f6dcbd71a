"""Heat: degree-days since transplanting from the house's temperatures, and the heat a day usually brings."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from datetime import date, timedelta
from functools import lru_cache
from itertools import pairwise
from operator import attrgetter

from bayround import words
from bayround.agronomy import heat as reckon
from bayround.agronomy.heat import DegreeDayMethod
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.work import ClimateDay
from bayround.figures.figure import Figure, Why
from bayround.words import _

METHODS: Mapping[str, DegreeDayMethod] = {
    "simple_average": DegreeDayMethod.SIMPLE,
    "modified_average": DegreeDayMethod.MODIFIED,
    "single_triangle": DegreeDayMethod.TRIANGLE,
    "single_sine": DegreeDayMethod.SINE,
}
METHOD_WORDS = {
    "simple_average": "simple average",
    "modified_average": "modified average",
    "single_triangle": "single triangle",
    "single_sine": "single sine",
}
HEAT_SOURCE = (
    "McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291–300; Baskerville & Emin 1969 (single sine); "
    "level cut-off: Zalom et al. 1983, from memory"
)
RECENT_DAYS = 14
"""So many days before a visit tell what heat the next weeks bring."""

FEWEST_RECENT = 12
FEWEST_KEPT_SHARE = 0.8
"""With fewer days kept than this the sum would be guesswork (common practice, no source)."""


def figures(past: BayPast, profile: CropProfile | None, as_of: date) -> dict[str, Figure]:
    """Return degree-days from transplanting to *as_of*, and the mean of the last fourteen days."""
    total = _total(past, profile, as_of)
    return {total.id: total, "heat_per_day_cd": _recent(past, profile, as_of)}


def heat_by_day(past: BayPast, profile: CropProfile, first: date, last: date) -> Mapping[date, float]:
    """Return day → degree-days (°C·d) for the days from *first* to *last* on which temperatures are kept.

    Method, base and upper temperature are those of the crop profile: they belong together.
    """
    base = profile.number("base_temperature_c").value
    upper = profile.number("upper_temperature_c").value
    kept = past.climate_days
    if not kept:
        return {}
    found = _house_days(kept, (base, upper, METHODS[profile.degree_day_method]))
    if first <= kept[0].day and kept[-1].day <= last:
        return found
    since, until = (bisect_left(kept, first, key=_day), bisect_right(kept, last, key=_day))
    return {seen.day: found[seen.day] for seen in kept[since:until]}


_day = attrgetter("day")
_Reckoning = tuple[float, float, DegreeDayMethod]
_newest: tuple[tuple[ClimateDay, ...], _Reckoning, Mapping[date, float]] | None = None


def _house_days(kept: tuple[ClimateDay, ...], reckoning: _Reckoning) -> Mapping[date, float]:
    """Return the heat of all days kept of a house; of the house reckoned last it is remembered for its next bay."""
    global _newest
    known = _newest
    if known is not None and known[0] is kept and known[1] == reckoning:
        return known[2]
    base, upper, method = reckoning
    found = {seen.day: _heat(seen.low_c, seen.high_c, base, upper, method) for seen in kept}
    _newest = (kept, reckoning, found)
    return found


@lru_cache(maxsize=8192)
def _heat(low_c: float, high_c: float, base_c: float, upper_c: float, method: DegreeDayMethod) -> float:
    """Heat of one day; the bays of a house share their days, so most are worked out once."""
    return reckon.degree_days(low_c, high_c, base_c=base_c, ceiling_c=upper_c, method=method)


def expected_per_day(past: BayPast, profile: CropProfile, on: date) -> float | None:
    """Return the mean heat of a day (°C·d) over the fourteen days before *on*; nothing when too few are kept."""
    found = heat_by_day(past, profile, on - timedelta(days=RECENT_DAYS), on - timedelta(days=1))
    if len(found) < FEWEST_RECENT:
        return None
    mean = sum(found.values()) / len(found)
    return mean if mean > 0 else None


def _total(past: BayPast, profile: CropProfile | None, as_of: date) -> Figure:
    label, unit = _("Heat since transplanting"), _("°C day")
    rule = _("Degree-days of every day from transplanting on, by the crop's own method and temperatures.")
    if profile is None or past.planting is None:
        why = Why(rule, (), HEAT_SOURCE, "published")
        return Figure("heat_cd", label, None, unit, 0, why, missing=_("No crop stands in this bay."))
    first, last = past.planting.transplanted_on, as_of - timedelta(days=1)
    days = (last - first).days + 1
    kept = heat_by_day(past, profile, first, last)
    inputs = (
        *_how(profile),
        (_("Days"), str(max(days, 0))),
        (_("Days without temperatures, filled from the days beside them"), str(max(days, 0) - len(kept))),
    )
    why = Why(rule, inputs, HEAT_SOURCE, "published")
    if days < 1 or len(kept) < FEWEST_KEPT_SHARE * days:
        missing = _("Temperatures are kept for {n} of {days} days; too few for a sum.").format(
            n=len(kept), days=max(days, 0)
        )
        return Figure("heat_cd", label, None, unit, 0, why, missing=missing)
    return Figure("heat_cd", label, _filled_sum(kept, first, last), unit, 0, why, n=len(kept), n_of="days")


def _recent(past: BayPast, profile: CropProfile | None, as_of: date) -> Figure:
    label, unit = _("Heat of a day lately"), _("°C day")
    rule = _("Mean degree-days of the last {n} days; the picks ahead are reckoned with it.").format(
        n=RECENT_DAYS
    )
    mean = None if profile is None else expected_per_day(past, profile, as_of)
    why = Why(rule, _how(profile) if profile else (), HEAT_SOURCE, "published")
    missing = "" if mean is not None else _("Temperatures are not kept for these days.")
    return Figure("heat_per_day_cd", label, mean, unit, 1, why, missing=missing)


def _how(profile: CropProfile) -> tuple[tuple[str, str], ...]:
    base, upper = profile.number("base_temperature_c"), profile.number("upper_temperature_c")
    return (
        (_("Method"), _(METHOD_WORDS[profile.degree_day_method])),
        (_("Base and upper temperature"), _temperatures(base.value, upper.value)),
    )


def _temperatures(base_c: float, upper_c: float) -> str:
    return f"{words.number(base_c, 1)} / {words.number(upper_c, 1)} °C"


def _filled_sum(kept: Mapping[date, float], first: date, last: date) -> float:
    """Sum of all days; a gap counts as the mean of the days on both sides of it, an end as its nearest day."""
    days = sorted(kept)
    total = sum(kept.values())
    total += (days[0] - first).days * kept[days[0]] + (last - days[-1]).days * kept[days[-1]]
    for before, after in pairwise(days):
        gap = (after - before).days - 1
        if gap:
            total += gap * (kept[before] + kept[after]) / 2
    return total
