"""The climate of a house as typed: lowest and highest temperature and humidity, and the light of the day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from typing import Any

from bayround import words
from bayround.actions import climate_words
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.farm import House
from bayround.facts.ids import new_id
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.work import ClimateDay
from bayround.figures import climate as figures
from bayround.figures.figure import Figure
from bayround.records import read_work, write_setup
from bayround.words import _

DAYS_SHOWN = 14
FIELDS = ("low_c", "high_c", "humidity_low_percent", "humidity_high_percent", "light_mol_m2")
"""What is typed of a day."""

Typed = Mapping[str, float | None]


@dataclass(frozen=True, slots=True)
class DayShown:
    """One day: what is kept of it, and its figures where something is."""

    day: date
    kept: ClimateDay | None
    figures: Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class HouseClimate:
    """The houses, the one that is shown first, and its days, the newest first."""

    houses: tuple[House, ...]
    days: tuple[DayShown, ...]


def read(farm: OpenFarm, bay_or_house_id: str, last: date) -> HouseClimate:
    """Return the days up to *last* of one house: the one asked for (by its id or a bay's), or the first."""
    season = read_work.read_climate(farm.store, last - timedelta(days=DAYS_SHOWN - 1), last)
    wanted = {bay.id: bay.house_id for bay in season.bays}.get(bay_or_house_id, bay_or_house_id)
    houses = tuple(sorted(season.houses, key=lambda one: (one.id != wanted, one.position, one.name, one.id)))
    kept = {one.day: one for one in season.climate_days if houses and one.house_id == houses[0].id}
    shown = [_shown(last - timedelta(days=back), kept) for back in range(DAYS_SHOWN)]
    return HouseClimate(houses, tuple(shown))


def _shown(day: date, kept: Mapping[date, ClimateDay]) -> DayShown:
    seen = kept.get(day)
    return DayShown(day, seen, {} if seen is None else figures.of_day(seen))


def record(
    farm: OpenFarm,
    house_id: str,
    typed: Mapping[date, Typed],
    seen: Mapping[date, ClimateDay],
    moment: Moment,
    reason: str = "",
) -> tuple[int, int]:
    """Keep days as typed: day → field → number; *seen* are the days as they stood on the screen.

    Returns:
        How many days are new and how many were changed; a change goes into the history.

    Raises:
        Refused: nothing new typed, a temperature missing, lowest above highest, a day to come, no reason for a change.
        Overtaken: when a day was changed by someone else since it was read.
    """
    added, changed = [], []
    for day, values in sorted(typed.items()):
        there = seen.get(day)
        if there is None and all(value is None for value in values.values()):
            continue
        _refuse_impossible(day, values, moment.today)
        if there is None:
            added.append(ClimateDay(new_id(), house_id, day, **_known(values)))
        elif new := climate_words.changed(there, values):
            changed.append(_with(there, new))
    if not added and not changed:
        raise Refused(
            _("Nothing new was typed."), to_do=_("Type lowest and highest temperature of a day, then keep.")
        )
    if changed and not reason.strip():
        raise Refused(
            _("A day that is kept already was changed: {days}.").format(
                days=", ".join(words.day(one.day) for one in changed)
            ),
            _("Nothing was kept."),
            _("Say why in a few words, below the table."),
        )
    _refuse_overtaken(farm, house_id, added, changed, seen)
    write_setup.add_and_change(farm.store, added, changed, moment.person_id, moment.now, reason.strip())
    return len(added), len(changed)


def _with(there: ClimateDay, new: Mapping[str, Any]) -> ClimateDay:
    return replace(there, **new)


def _known(values: Typed) -> dict[str, float]:
    return {name: value for name, value in values.items() if value is not None}


def _refuse_impossible(day: date, values: Typed, today: date) -> None:
    if day > today:
        raise Refused(_("{day} is still to come.").format(day=words.day(day)))
    low, high = values.get("low_c"), values.get("high_c")
    if low is None or high is None:
        raise Refused(
            _("{day}: lowest and highest temperature are both needed.").format(day=words.day(day)),
            _("Nothing was kept."),
        )
    damp_low, damp_high = values.get("humidity_low_percent"), values.get("humidity_high_percent")
    if (damp_low is None) != (damp_high is None):
        raise Refused(
            _("{day}: of humidity both are needed, lowest and highest, or neither.").format(
                day=words.day(day)
            ),
            _("Nothing was kept."),
        )
    if low > high or (damp_low is not None and damp_high is not None and damp_low > damp_high):
        raise Refused(
            _("{day}: the lowest is above the highest.").format(day=words.day(day)), _("Nothing was kept.")
        )


def _refuse_overtaken(
    farm: OpenFarm,
    house_id: str,
    added: list[ClimateDay],
    changed: list[ClimateDay],
    seen: Mapping[date, ClimateDay],
) -> None:
    days = [one.day for one in (*added, *changed)]
    season = read_work.read_climate(farm.store, min(days), max(days))
    now = {one.day: one for one in season.climate_days if one.house_id == house_id}
    other = [day for day in days if now.get(day) != seen.get(day)]
    if other:
        raise Overtaken(
            _("{day} was changed since you opened it: {now}.").format(
                day=words.day(other[0]), now=_told(now.get(other[0]))
            ),
            _("Your numbers were not saved."),
            _("Look at the new ones and decide again."),
        )


def _told(seen: ClimateDay | None) -> str:
    values = {} if seen is None else {one.name: getattr(seen, one.name) for one in fields(seen)}
    return climate_words.told(values)
