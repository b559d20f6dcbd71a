"""Corrections of what is finished: a new value, never without the earlier one, who, when and why."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from types import EllipsisType
from typing import Any

from sqlalchemy import Connection, insert, select, update

from bayround.facts.problems import Overtaken, Refused
from bayround.facts.rounds import CardCount, PestCheck, Reading, Visit, VisitState, WeedNote
from bayround.facts.work import Correction, Explanation, Pick, Treatment, TreatmentBay
from bayround.records import tables
from bayround.records.codec import (
    Value,
    facts_of,
    kind_named,
    kind_of,
    row_of,
    select_facts,
    storable,
    text_of,
)
from bayround.records.history import ADDED, record, whole_text
from bayround.records.store import Store
from bayround.records.visit_days import refuse_strange_day
from bayround.words import _

Late = Reading | PestCheck | CardCount | WeedNote | TreatmentBay

_FIXED = {"id", "visit_id", "round_id", "bay_id", "planting_id", "marked_plant_id", "treatment_id"}
_CORRECTABLE = {
    kind_of(each).table.name
    for each in (Visit, Reading, PestCheck, CardCount, WeedNote, Treatment, TreatmentBay, Pick)
}
_NOT_BY_CORRECTION = {"visit": {"state", "started_at", "finished_at"}}


def correct(
    store: Store,
    table_name: str,
    row_id: str,
    field: str,
    after: Value,
    person_id: str | None,
    at: datetime,
    reason: str,
    expected_before: Value | EllipsisType = ...,
) -> Correction | None:
    """Change one value of a finished visit (or what hangs off it), a treatment or a pick.

    Args:
        expected_before: the value the person saw; left out, it is not compared.

    Returns:
        The entry in the history, or nothing when the value is the same already.

    Raises:
        Refused: when there is no reason, the visit is a draft, or the value breaks a rule of the table.
        Overtaken: when the value is no longer what the person saw.
        KeyError: when the table has no such record or no such field that may be corrected.
    """
    seen = {} if expected_before is ... else {field: expected_before}
    entries = correct_fields(store, table_name, row_id, {field: after}, person_id, at, reason, seen)
    return entries[0] if entries else None


@dataclasses.dataclass(frozen=True, slots=True)
class Change:
    """New values of one record, and the values the person saw (field → value; left out: not compared)."""

    table_name: str
    row_id: str
    values: Mapping[str, Value]
    seen: Mapping[str, Value] = dataclasses.field(default_factory=dict)


def correct_fields(
    store: Store,
    table_name: str,
    row_id: str,
    changes: Mapping[str, Value],
    person_id: str | None,
    at: datetime,
    reason: str,
    seen: Mapping[str, Value],
    late: Sequence[Late] = (),
) -> tuple[Correction, ...]:
    """Change several values of one record; arguments and errors as of `Change` and `correct_all`."""
    return correct_all(store, [Change(table_name, row_id, changes, seen)], person_id, at, reason, late)


def correct_all(
    store: Store,
    changes: Iterable[Change],
    person_id: str | None,
    at: datetime,
    reason: str,
    late: Iterable[Late] = (),
    beside: Iterable[Pick | Explanation] = (),
) -> tuple[Correction, ...]:
    """Change values of several records at once, all or none; each value gets its entry in the history.

    Args:
        changes: values that are the same already are passed over.
        late: records that were left out; the history shows that they were added.
        beside: new records that are no correction and are kept together with it.

    Raises:
        Refused, Overtaken, KeyError: as `correct`; nothing was changed then.
    """
    _refuse_without(reason)
    with store.writing() as connection:
        entries: list[Correction] = []
        for change in changes:
            entries += _change(connection, change, person_id, at, reason)
        for each in late:
            entries.append(_add(connection, each, person_id, at, reason))
        for new in beside:
            connection.execute(insert(kind_of(type(new)).table).values(row_of(new)))
        return tuple(entries)


def _change(
    connection: Connection, change: Change, person_id: str | None, at: datetime, reason: str
) -> list[Correction]:
    name, row_id = change.table_name, change.row_id
    table = kind_named(name).table
    for each in change.values:
        if name not in _CORRECTABLE or each not in correctable_fields(name):
            raise KeyError(f"{name}.{each}")
    fact = _fact(connection, name, row_id)
    _refuse_drafts(connection, fact)
    for each, value in change.seen.items():
        _refuse_overtaken(getattr(fact, each), value, change.values.get(each, value))
    changed = [each for each, after in change.values.items() if getattr(fact, each) != after]
    if not changed:
        return []
    values = {each: storable(change.values[each]) for each in changed}
    connection.execute(update(table).where(table.c.id == row_id).values(values))
    now = _fact(connection, name, row_id)
    if isinstance(now, Visit) and "visited_on" in changed:
        refuse_strange_day(connection, now, at)
    return [
        record(
            connection, name, row_id, each, text_of(getattr(fact, each)), text_of(getattr(now, each)),
            person_id, at, reason,
        )
        for each in changed
    ]  # fmt: skip


def _refuse_overtaken(now: Value, seen: Value, wanted: Value) -> None:
    if now != seen:
        raise Overtaken(
            _("The value was changed since you opened it: it is now “{now}”.").format(now=text_of(now)),
            _("Your value “{wanted}” was not saved.").format(wanted=text_of(wanted)),
            _("Look at the new value and decide again."),
        )


def correctable_fields(table_name: str) -> tuple[str, ...]:
    """Return the fields of a table that a correction may change.

    Raises:
        KeyError: when there is no such table of facts.
    """
    shut = _FIXED | _NOT_BY_CORRECTION.get(table_name, set())
    return tuple(name for name in kind_named(table_name).names if name not in shut)


def add_late(store: Store, fact: Late, person_id: str | None, at: datetime, reason: str) -> Correction:
    """Add a record that was left out of a finished visit or of a treatment; the history shows it.

    Raises:
        Refused: when there is no reason, the visit is a draft, or the record breaks a rule of the table.
        KeyError: when a reading is of a plant of another planting.
    """
    return correct_all(store, (), person_id, at, reason, [fact])[0]


def _add(connection: Connection, fact: Late, person_id: str | None, at: datetime, reason: str) -> Correction:
    table = kind_of(type(fact)).table
    _refuse_drafts(connection, fact)
    if isinstance(fact, Reading):
        _refuse_strange_plant(connection, fact)
    connection.execute(insert(table).values(row_of(fact)))
    return record(connection, table.name, fact.id, ADDED, "", whole_text(fact), person_id, at, reason)


def _refuse_strange_plant(connection: Connection, reading: Reading) -> None:
    visit, plant = tables.visit, tables.marked_plant
    of_visit = select(visit.c.planting_id).where(visit.c.id == reading.visit_id)
    own = select(plant.c.planting_id).where(plant.c.id == reading.marked_plant_id)
    if connection.execute(own).scalar() != connection.execute(of_visit).scalar():
        raise KeyError(reading.marked_plant_id)


def _refuse_without(reason: str) -> None:
    if not reason.strip():
        raise Refused(
            _("A correction needs a reason."), _("Nothing was changed."), _("Say why in a few words.")
        )


def _refuse_drafts(connection: Connection, fact: object) -> None:
    visit_id = fact.id if isinstance(fact, Visit) else getattr(fact, "visit_id", None)
    if visit_id is None:
        return
    state = connection.execute(select(tables.visit.c.state).where(tables.visit.c.id == visit_id)).scalar_one()
    if state != VisitState.DONE.value:
        raise Refused(
            _("This visit is still a draft."),
            _("Nothing was changed."),
            _("Key the value in; no correction is needed."),
        )


def _fact(connection: Connection, table_name: str, row_id: str) -> Any:
    kind = kind_named(table_name)
    found = facts_of(kind, connection.execute(select_facts(kind).where(kind.table.c.id == row_id)))
    if not found:
        raise KeyError(f"{table_name} {row_id}")
    return found[0]
