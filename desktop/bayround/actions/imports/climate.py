"""Records of a climate logger: every line, or lowest and highest by day; what is left is one line a day and house."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from statistics import median

from bayround import words
from bayround.actions import climate_words
from bayround.actions.imports import matching
from bayround.actions.imports.climate_day import LoggedDay
from bayround.actions.imports.names import Places
from bayround.actions.imports.preview import Need, Options, Plan, State
from bayround.actions.imports.rows import Row, watched
from bayround.facts.farm import House
from bayround.facts.ids import new_id
from bayround.facts.work import ClimateDay
from bayround.paper.imports.xml_stream import Progress
from bayround.records.write_imports import ValueChange
from bayround.words import _


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
    days: dict[tuple[str, date], LoggedDay] = defaultdict(LoggedDay)
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
    days: dict[tuple[str, date], LoggedDay],
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
    for why in day.take(row):
        found.say(State.REFUSED, row.where, words.day(on), why)


def _decide(
    house: House,
    on: date,
    one: LoggedDay,
    usual_count: float,
    there: ClimateDay | None,
    options: Options,
    found: Plan,
) -> None:
    values = one.values()
    where, what = f"{house.name} · {words.day(on)}", climate_words.told(values)
    if "low_c" not in values and there is None:
        found.say(State.REFUSED, where, what, _("no temperature"))
        return
    if "low_c" in values and values["low_c"] > values["high_c"]:
        found.say(State.REFUSED, where, what, _("the lowest is above the highest"))
        return
    changed = {} if there is None else climate_words.changed(there, values)
    if there is not None and not changed:
        found.say(State.SAME, where, what)
        return
    doubt = one.doubt(usual_count)
    if doubt and not options.doubtful:
        found.say(State.DOUBTFUL, where, what, _("{why}; left out").format(why=doubt))
        return
    state = State.DOUBTFUL if doubt else State.NEW if there is None else State.CHANGED
    if there is None:
        found.say(state, where, what, doubt)
        found.added.append(ClimateDay(new_id(), house.id, on, **values))
        return
    before = climate_words.told({name: getattr(there, name) for name in values})
    found.say(state, where, f"{before} → {what}", doubt)
    for name, value in changed.items():
        found.changes.append(ValueChange("climate_day", there.id, name, getattr(there, name), value))
