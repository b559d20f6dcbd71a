"""Records of a climate logger: every line, or lowest and highest by day; what is left is one line a day and house."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from statistics import median

from bayround import words
from bayround.actions.imports import matching
from bayround.actions.imports.names import Places
from bayround.actions.imports.preview import Need, Options, Plan, State
from bayround.actions.imports.rows import Row, watched
from bayround.facts.farm import House
from bayround.facts.ids import new_id
from bayround.facts.work import ClimateDay
from bayround.paper.imports.xml_stream import Progress
from bayround.records.write_imports import ValueChange
from bayround.words import _

COLDEST_C, HOTTEST_C = -60.0, 70.0
"""What air in a house can be at all; loggers write −999 or 85 for a broken sensor. Common practice, no source."""

_FIRST_BY, _LAST_FROM = time(2, 0), time(22, 0)
_ENOUGH, _STUCK = 0.8, 12


@dataclass(slots=True)
class _Day:
    """One day in one house: temperatures with their times, or lowest and highest as they stand."""

    clocks: list[time] = field(default_factory=list)
    temperatures: list[float] = field(default_factory=list)
    pairs: list[tuple[float, float]] = field(default_factory=list)
    bad: int = 0


def plan(
    rows: Sequence[Row],
    places: Places,
    kept: Mapping[tuple[str, date], ClimateDay],
    options: Options,
    today: date,
    file_name: str,
    progress: Progress | None = None,
) -> Plan:
    """Return what a logger's file would bring; *kept*: (house, day) → what is there."""
    found = Plan()
    usual = _usual_house(places, options, file_name)
    if usual is None and not any(row.text(matching.HOUSE) for row in rows):
        found.needs.append(Need.HOUSE)
        return found
    days: dict[tuple[str, date], _Day] = defaultdict(_Day)
    for row in watched(rows, progress):
        _take(row, places, usual, today, days, found)
    usual_count = median([len(day.temperatures) for day in days.values() if day.temperatures] or [0])
    for (house_id, on), one in sorted(
        days.items(), key=lambda item: (places.houses[item[0][0]].name, item[0][1])
    ):
        _decide(places.houses[house_id], on, one, usual_count, kept.get((house_id, on)), options, found)
    found.notes.append(_("Times are taken as those of this farm's own clock."))
    return found


def _usual_house(places: Places, options: Options, file_name: str) -> House | None:
    if options.house_id in places.houses:
        return places.houses[options.house_id or ""]
    if len(places.houses) == 1:
        return next(iter(places.houses.values()))
    named = [house for house in places.houses.values() if house.name.casefold() in file_name.casefold()]
    return named[0] if len(named) == 1 else None


def _take(
    row: Row,
    places: Places,
    usual: House | None,
    today: date,
    days: dict[tuple[str, date], _Day],
    found: Plan,
) -> None:
    said, on = row.text(matching.HOUSE), row.day
    house = places.house(said) if said else usual
    if house is None:
        found.say(State.REFUSED, row.where, said, _("no house is called “{name}”").format(name=said))
        return
    if on is None:
        found.say(State.REFUSED, row.where, row.text(matching.DAY), _("no day can be read"))
        return
    if on > today:
        found.say(State.REFUSED, row.where, words.day(on), _("this day is still to come"))
        return
    day = days[house.id, on]
    numbers: dict[str, float | None] = {}
    for holds in (matching.TEMPERATURE, matching.LOW, matching.HIGH):
        if holds not in row.cells:
            continue
        number, why = row.amount(holds)
        if number is not None and not COLDEST_C <= number <= HOTTEST_C:
            why = _("{n} °C can't be: a broken sensor?").format(n=words.number(number, 1))
            number = None
        if why:
            day.bad += 1
            found.say(State.REFUSED, row.where, words.day(on), why)
        numbers[holds] = number
    if (only := numbers.get(matching.TEMPERATURE)) is not None:
        day.temperatures.append(only)
        day.clocks += [clock] if (clock := row.clock) is not None else []
    low, high = numbers.get(matching.LOW), numbers.get(matching.HIGH)
    if low is not None and high is not None:
        day.pairs.append((low, high))


def _decide(
    house: House,
    on: date,
    one: _Day,
    usual_count: float,
    there: ClimateDay | None,
    options: Options,
    found: Plan,
) -> None:
    lows = [low for low, _high in one.pairs] + one.temperatures
    highs = [high for _low, high in one.pairs] + one.temperatures
    where = f"{house.name} · {words.day(on)}"
    if not lows:
        found.say(State.REFUSED, where, "", _("no temperature"))
        return
    low, high = round(min(lows), 2), round(max(highs), 2)
    what = _("{low} to {high} °C").format(low=words.number(low, 1), high=words.number(high, 1))
    if low > high:
        found.say(State.REFUSED, where, what, _("the lowest is above the highest"))
        return
    if there is not None and (there.low_c, there.high_c) == (low, high):
        found.say(State.SAME, where, what)
        return
    doubt = _doubt(one, usual_count)
    if doubt and not options.doubtful:
        found.say(State.DOUBTFUL, where, what, _("{why}; left out").format(why=doubt))
        return
    state = State.DOUBTFUL if doubt else State.NEW if there is None else State.CHANGED
    if there is None:
        found.say(state, where, what, doubt)
        found.added.append(ClimateDay(new_id(), house.id, on, low, high))
        return
    before = _("{low} to {high} °C").format(
        low=words.number(there.low_c, 1), high=words.number(there.high_c, 1)
    )
    found.say(state, where, f"{before} → {what}", doubt)
    for name, value in (("low_c", low), ("high_c", high)):
        if getattr(there, name) != value:
            found.changes.append(ValueChange("climate_day", there.id, name, getattr(there, name), value))


def _doubt(one: _Day, usual_count: float) -> str:
    """Return why a day's lowest or highest may not be its real one."""
    if len(one.pairs) > 1:
        return _("several lines for one day")
    if one.bad:
        return _("some of its values can't be")
    count = len(one.temperatures)
    if not count:
        return ""
    if one.clocks and (min(one.clocks) > _FIRST_BY or max(one.clocks) < _LAST_FROM):
        return _("only part of the day: {first} to {last}").format(
            first=f"{min(one.clocks):%H:%M}", last=f"{max(one.clocks):%H:%M}"
        )
    if count < _ENOUGH * usual_count or count < 3:
        return _("only {n} values").format(n=count)
    if count >= _STUCK and min(one.temperatures) == max(one.temperatures):
        return _("always the same value: a stuck sensor?")
    return ""
