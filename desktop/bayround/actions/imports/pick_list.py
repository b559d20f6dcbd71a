"""A list of picks: what stops a pick on the screen stops it here, with the same words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from bayround import words
from bayround.actions import explaining, picks
from bayround.actions.imports import matching
from bayround.actions.imports.names import Places, person
from bayround.actions.imports.preview import Options, Plan, State
from bayround.actions.imports.rows import Row, watched
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickDay, PickEntry, PickLine
from bayround.facts.farm import Bay, Person
from bayround.facts.problems import Refused
from bayround.facts.work import Pick
from bayround.paper.imports.xml_stream import Progress
from bayround.words import _

Signature = tuple[str, date, float, int | None, str, str]


@dataclass(slots=True)
class _Picks:
    """The plan in the making: what is written down already, by what tells picks apart."""

    places: Places
    read_day: Callable[[date], PickDay]
    options: Options
    moment: Moment
    found: Plan = field(default_factory=Plan)
    days: dict[date, dict[str, PickLine]] = field(default_factory=dict)
    unspent: Counter[Signature] = field(default_factory=Counter)
    first_row: dict[Signature, int] = field(default_factory=dict)
    people: tuple[Person, ...] = ()


def plan(
    rows: Sequence[Row],
    places: Places,
    read_day: Callable[[date], PickDay],
    options: Options,
    moment: Moment,
    progress: Progress | None = None,
) -> Plan:
    """Return what a list of picks would bring; a row that is written down already brings nothing."""
    work = _Picks(places, read_day, options, moment)
    for row in watched(rows, progress):
        if row.is_sum:
            work.found.say(State.REFUSED, row.where, _row_text(row), _("a sum, not a pick"))
        else:
            _take(work, row)
    return work.found


def _take(work: _Picks, row: Row) -> None:
    day, (bay, why) = row.day, work.places.bay(row.text(matching.HOUSE), row.cells.get(matching.BAY))
    if day is None:
        return work.found.say(State.REFUSED, row.where, _row_text(row), _("no day can be read"))
    if bay is None:
        return work.found.say(State.REFUSED, row.where, _row_text(row), why)
    if day > work.moment.today:
        return work.found.say(State.REFUSED, row.where, _row_text(row), _("this day is still to come"))
    line = _line(work, day, bay)
    entry, why = _entry(row)
    if line is None:
        why = _("no crop stood in this bay on {day}").format(day=words.day(day))
    if entry is None or line is None:
        return work.found.say(State.REFUSED, row.where, _row_text(row), why)
    return _compare(work, row, day, line, entry)


def _line(work: _Picks, day: date, bay: Bay) -> PickLine | None:
    if day not in work.days:
        seen = work.read_day(day)
        work.people = seen.people
        work.days[day] = {line.bay_id: line for line in seen.lines}
        work.unspent.update(_signature(pick) for line in seen.lines for pick in line.picked)
    return work.days[day].get(bay.id)


def _entry(row: Row) -> tuple[PickEntry | None, str]:
    kg, why = row.amount(matching.KG)
    if kg is None:
        return None, why or _("no kilograms")
    fruit, why = row.amount(matching.FRUIT)
    if why:
        return None, why
    if fruit is not None and (fruit != round(fruit) or abs(fruit) > 10_000_000):
        return None, _("a count is a whole number")
    count = None if fruit is None else round(fruit)
    return PickEntry(round(kg, 3), count, row.text(matching.GRADE), row.text(matching.COLOUR)), ""


def _compare(work: _Picks, row: Row, day: date, line: PickLine, entry: PickEntry) -> None:
    what = _words(line, day, entry)
    key = (line.bay_id, day, entry.kg, entry.fruit, entry.grade.casefold(), entry.colour.casefold())
    if work.unspent[key]:
        work.unspent[key] -= 1
        return work.found.say(State.SAME, row.where, what)
    try:
        made = picks.planned(
            line, day, [entry], work.moment, picked_by_id=_picker(work, row), began=row.clock if matching.TIME in row.cells else None,
            explanation=work.options.explanation,
        )  # fmt: skip
    except Refused as refused:
        return work.found.say(State.REFUSED, row.where, what, f"{refused.message} {refused.to_do}".strip())
    doubt = _doubt(work, row, line, entry, key)
    work.first_row.setdefault(key, row.number)
    if doubt and not work.options.doubtful:
        return work.found.say(
            State.DOUBTFUL, row.where, what, _("{why}; left out").format(why=doubt.rstrip("."))
        )
    remark = " · ".join(text for text in (made[0].note, row.text(matching.NOTE)) if text)
    work.found.say(State.DOUBTFUL if doubt else State.NEW, row.where, what, doubt or remark)
    pick = replace(made[0], note=remark)
    work.found.added.append(pick)
    work.found.added += explaining.of_new_picks(
        [pick], line.past.treatments, work.options.explanation, False, work.moment.now, work.moment.person_id
    )
    return None


def _doubt(work: _Picks, row: Row, line: PickLine, entry: PickEntry, key: Signature) -> str:
    if key in work.first_row:
        return _("the same as row {n}: twice, or two picks alike?").format(n=work.first_row[key])
    alike = [
        pick
        for pick in line.picked
        if (pick.grade.casefold(), pick.colour.casefold()) == key[4:] and work.unspent[_signature(pick)]
    ]
    if alike:
        return _("{kg} kg of this grade and colour are written down for that day already").format(
            kg=words.number(sum(pick.kg for pick in alike), 1)
        )
    if row.unsure(matching.KG):
        return _("read as {kg} kg; or does the sign in it part thousands?").format(
            kg=words.number(entry.kg, 3)
        )
    if row.text(matching.PICKER) and _picker(work, row) is None:
        return _("nobody here is called “{name}”").format(name=row.text(matching.PICKER))
    return picks.doubt(line, entry.kg, entry.fruit)


def _picker(work: _Picks, row: Row) -> str | None:
    found = person(work.people, row.text(matching.PICKER))
    return found.id if found else None


def _signature(pick: Pick) -> Signature:
    return (
        pick.bay_id, pick.picked_on, round(pick.kg, 3), pick.fruit, pick.grade.casefold(), pick.colour.casefold(),
    )  # fmt: skip


def _words(line: PickLine, day: date, entry: PickEntry) -> str:
    parts = [line.name, words.day(day), f"{words.number(entry.kg, 1)} kg"]
    parts += [_("{n} fruit").format(n=entry.fruit)] if entry.fruit is not None else []
    return ", ".join([*parts, *(text for text in (entry.grade, entry.colour) if text)])


def _row_text(row: Row) -> str:
    return ", ".join(text for holds in row.cells if (text := row.text(holds)))[:120]
