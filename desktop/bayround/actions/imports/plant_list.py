"""Numbers of marked plants out of a spreadsheet: each day and bay becomes a visit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from bayround import words
from bayround.actions.imports import matching, names
from bayround.actions.imports.names import Places
from bayround.actions.imports.preview import Need, Options, State
from bayround.actions.imports.rows import Row, watched
from bayround.actions.imports.walks import Walks
from bayround.actions.jobs import Moment
from bayround.facts.bay_past import BayPast
from bayround.facts.farm import Bay
from bayround.facts.rounds import READING_FIELDS, PlantState
from bayround.paper.imports import typed
from bayround.paper.imports.xml_stream import Progress
from bayround.words import _

Visited = tuple[date, str, str]
"""Day, scout, bay."""


def plan(
    rows: Sequence[Row],
    places: Places,
    walks: Walks,
    options: Options,
    moment: Moment,
    progress: Progress | None = None,
) -> None:
    """Work out what the rows would bring; it is in *walks* then."""
    if options.day is None and not any(row.day for row in rows):
        walks.found.needs.append(Need.DAY)
        return
    by_visit: dict[Visited, list[Row]] = defaultdict(list)
    for row in watched(rows, progress):
        key = _visited(row, places, walks, options, moment)
        if key is not None:
            by_visit[key].append(row)
    if any(not scout and not walks.has_round(day) for day, scout, _bay in by_visit):
        walks.found.needs.append(Need.SCOUT)
        return
    bays = {bay.id: bay for _house, _name, bay in places.bays}
    of_day: dict[tuple[date, str], list[str]] = defaultdict(list)
    for day, scout, bay_id in by_visit:
        of_day[day, scout].append(bay_id)
    for day, scout, bay_id in sorted(by_visit):
        _visit(walks, day, scout, bays[bay_id], of_day[day, scout], by_visit[day, scout, bay_id], options)


def _visited(row: Row, places: Places, walks: Walks, options: Options, moment: Moment) -> Visited | None:
    shown = _shown(row)
    if row.is_sum:
        walks.found.say(State.REFUSED, row.where, shown, _("a sum or a mean, not a plant"))
        return None
    bay, why = places.bay(row.text(matching.HOUSE), row.cells.get(matching.BAY))
    day = row.day or (options.day if row.cells.get(matching.DAY) is None else None)
    if day is None:
        why = _("no day can be read")
    elif day > moment.today:
        why = _("this day is still to come")
    scout_id, said = options.scout_id or moment.person_id or "", row.text(matching.SCOUT)
    if said and not why:
        known = names.person(walks.season.people, said)
        why = "" if known else _("nobody here is called “{name}”").format(name=said)
        scout_id = known.id if known else scout_id
    if why or day is None or bay is None:
        walks.found.say(State.REFUSED, row.where, shown, why)
        return None
    if not said and not options.scout_id and walks.has_round(day):
        scout_id = ""
    return day, scout_id, bay.id


def _visit(
    walks: Walks, day: date, scout: str, bay: Bay, all_bays: list[str], rows: list[Row], options: Options
) -> None:
    past = walks.past(day, bay.id)
    if past is None or past.planting is None:
        why = _("no crop stood in this bay on {day}").format(day=words.day(day))
        walks.found.say(State.REFUSED, bay.name, _("{n} rows").format(n=len(rows)), why)
        return
    walked = walks.round_of(day, scout, all_bays)
    filling = walks.begin(past, walked)
    filling.name = f"{filling.name} · {words.day(day)}"
    by_number = {plant.number: plant for plant in past.plants_on(day)}
    seen: dict[int, int] = {}
    for row in rows:
        number = typed.number(row.cells.get(matching.PLANT))
        plant = by_number.get(round(number)) if number is not None and number == round(number) else None
        if plant is None:
            why = _no_plant(past, row)
            filling.refuse(f"{row.where}: {_shown(row)}", why)
            continue
        if plant.number in seen:
            why = _("plant {n} stands in row {row} already").format(n=plant.number, row=seen[plant.number])
            filling.refuse(f"{row.where}: {_shown(row)}", why)
            continue
        seen[plant.number] = row.number
        state, remark = _state(row)
        values = {field: row.value(field) for field in READING_FIELDS if field in row.cells}
        known = {spec.key for spec in filling.profile.fields}
        for field in sorted(set(values) - known):
            why = _("this is not measured on {crop}").format(crop=_(filling.profile.name))
            filling.refuse(f"{row.where}, {matching.label(field)}", why)
        filling.reading(plant, values, remark, state)
        for field in sorted(known & set(values)):
            if row.unsure(field):
                filling.doubt(
                    f"{row.where}, {matching.label(field)}: {row.text(field)}",
                    _("does the sign in it part thousands?"),
                )
    walks.end(filling, walked, finish=options.finish and day < walks.now.date())


def _no_plant(past: BayPast, row: Row) -> str:
    said = row.text(matching.PLANT)
    if not said:
        return _("no plant number")
    if not past.plants:
        return _("no plant is marked in this bay")
    return _("no plant with the number {n} is marked there that day").format(n=said[:20])


def _state(row: Row) -> tuple[PlantState, str]:
    """Return what was found in place of the plant, and the remark; words that are no state join the remark."""
    note, said = row.text(matching.NOTE), row.text(matching.STATE)
    for state in PlantState:
        if said.casefold() in (state.value, _(state.value).casefold()):
            return state, note
    return PlantState.STANDING, " · ".join(text for text in (note, said) if text)


def _shown(row: Row) -> str:
    return ", ".join(text for holds in row.cells if (text := row.text(holds)))[:120]
