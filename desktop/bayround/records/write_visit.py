"""A round being keyed in. Each call is one transaction on the disk before it returns.

A visit is a draft until it is finished; drafts take values freely, finished visits only corrections.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from bayround.facts.ids import new_id
from bayround.facts.kept import Forecast
from bayround.facts.problems import Refused
from bayround.facts.rounds import (
    READING_FIELDS,
    CardCount,
    DoubtAnswer,
    PestCheck,
    PlantState,
    Reading,
    Round,
    Visit,
    VisitState,
    WeedNote,
)
from bayround.facts.typed import Typed
from bayround.records import history
from bayround.records import tables as t
from bayround.records.codec import Value, facts_of, kind_of, row_of, select_facts, storable
from bayround.records.overtaking import forget_who, note_who, refuse_overtaken
from bayround.records.store import Store
from bayround.records.visit_days import refuse_unless_it_stands
from bayround.words import _

Seen = PestCheck | CardCount | WeedNote


def start_round(store: Store, round_: Round) -> Round:
    """Write a round and return it."""
    with store.writing() as connection:
        connection.execute(insert(t.round_).values(row_of(round_)))
    return round_


def start_visit(store: Store, visit: Visit) -> Visit:
    """Write a draft visit; when the bay was begun in this round already, that visit is returned instead.

    Raises:
        Refused: when the planting does not stand in this bay on this day.
    """
    kind = kind_of(Visit)
    same_bay = select_facts(kind).where(
        t.visit.c.round_id == visit.round_id, t.visit.c.bay_id == visit.bay_id
    )
    with store.reading() as connection:
        found = facts_of(kind, connection.execute(same_bay))
    if found:
        return found[0]
    if visit.state is not VisitState.DRAFT:
        raise ValueError("a visit starts as a draft")
    with store.writing() as connection:
        found = facts_of(kind, connection.execute(same_bay)) if store.shared else ()
        if found:  # somebody else was a moment quicker
            return found[0]
        refuse_unless_it_stands(connection, visit)
        connection.execute(insert(t.visit).values(row_of(visit)))
    return visit


def save_cell(
    store: Store,
    visit_id: str,
    marked_plant_id: str,
    field: str,
    value: float | None,
    typed: Typed | None = None,
) -> None:
    """Keep one number of one marked plant; nothing clears it.

    Raises:
        Refused: when the visit is finished, or the number breaks a rule of the table.
        TypedMeanwhile: when somebody else typed another number there than *typed* says was seen.
        KeyError: when there is no such visit, plant of its planting, or field.
    """
    save_cells(store, visit_id, [(marked_plant_id, field, value)], typed)


def save_cells(
    store: Store,
    visit_id: str,
    cells: Iterable[tuple[str, str, float | None]],
    typed: Typed | None = None,
) -> None:
    """Keep a block of numbers, each a plant's id, a field and a value: all of them or none."""
    by_plant: dict[str, dict[str, Value]] = {}
    for marked_plant_id, field, value in cells:
        if field not in READING_FIELDS:
            raise KeyError(field)
        by_plant.setdefault(marked_plant_id, {})[field] = value
    with store.writing() as connection:
        planting_id = planting_of_draft(connection, visit_id)
        for marked_plant_id, values in by_plant.items():
            _refuse_overtaken_cells(connection, typed, visit_id, marked_plant_id, values)
            write_reading(connection, visit_id, planting_id, marked_plant_id, values)


def save_plant_state(
    store: Store, visit_id: str, marked_plant_id: str, state: PlantState, typed: Typed | None = None
) -> None:
    """Keep what was found in place of a marked plant; the field of *typed* is "state"."""
    with store.writing() as connection:
        planting_id = planting_of_draft(connection, visit_id)
        _refuse_overtaken_cells(connection, typed, visit_id, marked_plant_id, {"state": state})
        write_reading(connection, visit_id, planting_id, marked_plant_id, {"state": state})


def save_plant_note(store: Store, visit_id: str, marked_plant_id: str, note: str) -> None:
    """Keep a remark on one marked plant."""
    with store.writing() as connection:
        planting_id = planting_of_draft(connection, visit_id)
        write_reading(connection, visit_id, planting_id, marked_plant_id, {"note": note})


def planting_of_draft(connection: Connection, visit_id: str) -> str:
    """Return the planting that a draft is of.

    Raises:
        Refused: when it is finished; KeyError when there is none.
    """
    columns = select(t.visit.c.state, t.visit.c.planting_id)
    visit = connection.execute(columns.where(t.visit.c.id == visit_id)).one_or_none()
    if visit is None:
        raise KeyError(visit_id)
    if visit.state != VisitState.DRAFT.value:
        raise Refused(
            _("This visit is finished."),
            _("Nothing was changed."),
            _("Correct it in the Visit screen and say why."),
        )
    planting_id: str = visit.planting_id
    return planting_id


def _refuse_overtaken_cells(
    connection: Connection,
    typed: Typed | None,
    visit_id: str,
    marked_plant_id: str,
    values: dict[str, Value],
) -> None:
    if typed is None:
        return
    kind, reading = kind_of(Reading), t.reading.c
    this = (reading.visit_id == visit_id) & (reading.marked_plant_id == marked_plant_id)
    found = facts_of(kind, connection.execute(select_facts(kind).where(this)))
    now = found[0] if found else Reading("", visit_id, marked_plant_id)
    for field, value in values.items():
        refuse_overtaken(connection, typed, visit_id, (marked_plant_id, field), getattr(now, field), value)
    note_who(connection, typed, visit_id, *((marked_plant_id, field) for field in values))


def write_reading(
    connection: Connection, visit_id: str, planting_id: str, marked_plant_id: str, values: dict[str, Value]
) -> None:
    reading, plant = t.reading, t.marked_plant
    kept = {field: storable(value) for field, value in values.items()}
    this = (reading.c.visit_id == visit_id) & (reading.c.marked_plant_id == marked_plant_id)
    if connection.execute(update(reading).where(this).values(kept)).rowcount:
        return
    own = connection.execute(select(plant.c.planting_id).where(plant.c.id == marked_plant_id)).scalar()
    if own != planting_id:
        raise KeyError(marked_plant_id)
    if all(value is None or value == "" for value in kept.values()):
        return  # nothing was there and nothing is to be
    empty = row_of(Reading(new_id(), visit_id, marked_plant_id))
    connection.execute(insert(reading).values({**empty, **kept}))


def save_check(store: Store, check: PestCheck, typed: Typed | None = None) -> None:
    """Keep one organism's check of a draft, new or typed anew; *typed* may hold the record that was seen."""
    _save(store, check, typed)


def save_card(store: Store, card: CardCount, typed: Typed | None = None) -> None:
    """Keep one sticky card's count of a draft, new or typed anew."""
    _save(store, card, typed)


def save_weed(store: Store, weed: WeedNote, typed: Typed | None = None) -> None:
    """Keep a weed note of a draft, new or typed anew."""
    _save(store, weed, typed)


def _save(store: Store, seen: Seen, typed: Typed | None) -> None:
    table = kind_of(type(seen)).table
    row = row_of(seen)
    this = (table.c.id == seen.id) & (table.c.visit_id == seen.visit_id)
    with store.writing() as connection:
        planting_of_draft(connection, seen.visit_id)
        _refuse_overtaken_record(connection, typed, seen)
        if not connection.execute(update(table).where(this).values(row)).rowcount:
            connection.execute(insert(table).values(row))


def _refuse_overtaken_record(connection: Connection, typed: Typed | None, seen: Seen) -> None:
    if typed is None:
        return
    kind = kind_of(type(seen))
    found = facts_of(kind, connection.execute(select_facts(kind).where(kind.table.c.id == seen.id)))
    refuse_overtaken(connection, typed, seen.visit_id, (seen.id, ""), found[0] if found else None, seen)
    note_who(connection, typed, seen.visit_id, (seen.id, ""))


def remove_check(store: Store, check_id: str, person_id: str | None, at: datetime) -> None:
    """Take a check out of a draft; what it said stays in the history. Taken out already: nothing changes."""
    _remove(store, PestCheck, check_id, person_id, at)


def remove_card(store: Store, card_id: str, person_id: str | None, at: datetime) -> None:
    """Take a card out of a draft; otherwise as `remove_check`."""
    _remove(store, CardCount, card_id, person_id, at)


def remove_weed(store: Store, weed_id: str, person_id: str | None, at: datetime) -> None:
    """Take a weed note out of a draft; otherwise as `remove_check`."""
    _remove(store, WeedNote, weed_id, person_id, at)


def _remove(store: Store, fact: type[Any], row_id: str, person_id: str | None, at: datetime) -> None:
    kind = kind_of(fact)
    this = kind.table.c.id == row_id
    with store.writing() as connection:
        found = facts_of(kind, connection.execute(select_facts(kind).where(this)))
        if not found:
            return  # taken out already
        planting_of_draft(connection, found[0].visit_id)
        connection.execute(delete(kind.table).where(this))
        history.record(
            connection, kind.table.name, row_id, history.REMOVED, history.whole_text(found[0]), "",
            person_id, at, "",
        )  # fmt: skip


def save_visit_note(store: Store, visit_id: str, note: str, typed: Typed | None = None) -> None:
    """Keep the remark on a whole draft visit; the field of *typed* is "note"."""
    with store.writing() as connection:
        planting_of_draft(connection, visit_id)
        if typed is not None:
            now = connection.execute(select(t.visit.c.note).where(t.visit.c.id == visit_id)).scalar_one()
            refuse_overtaken(connection, typed, visit_id, (visit_id, "note"), now, note)
            note_who(connection, typed, visit_id, (visit_id, "note"))
        connection.execute(update(t.visit).where(t.visit.c.id == visit_id).values(note=storable(note)))


def answer_doubt(store: Store, answer: DoubtAnswer) -> None:
    """Keep that a doubtful value was looked at again and stands, so that it is not asked about twice."""
    with store.writing() as connection:
        connection.execute(insert(t.doubt_answer).values(row_of(answer)))


def finish_visit(store: Store, visit_id: str, at: datetime, forecasts: Iterable[Forecast] = ()) -> None:
    """Finish a draft and keep what is foreseen at it, both or neither; a finished visit is left as it is.

    Raises:
        KeyError: when there is no such visit.
    """
    this = t.visit.c.id == visit_id
    with store.reading() as connection:
        state = connection.execute(select(t.visit.c.state).where(this)).scalar()
    if state is None:
        raise KeyError(visit_id)
    if state == VisitState.DONE.value:
        return
    with store.writing() as connection:
        open_still = this & (t.visit.c.state == VisitState.DRAFT.value)
        ended = update(t.visit).where(open_still).values(state=VisitState.DONE.value, finished_at=at)
        if not connection.execute(ended).rowcount:
            return  # somebody else was a moment quicker
        forget_who(connection, visit_id)
        rows = [row_of(forecast) for forecast in forecasts]
        if rows:
            connection.execute(insert(t.forecast), rows)
