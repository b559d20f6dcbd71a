"""The history of changed values: before, after, who, when, why; each entry holds a hash of all before it.

The chain shows damage and casual editing. It does not show that the newest entries were cut off, and
whoever can write the file can reckon it anew; therefore count and head also go outside the file, into
backup names and the weekly workbook.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from types import EllipsisType
from typing import Any

from sqlalchemy import Connection, insert, select, update

from bayround.facts.ids import new_id
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.rounds import CardCount, PestCheck, Reading, Visit, VisitState, WeedNote
from bayround.facts.work import Correction, Pick, Treatment, TreatmentBay
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
from bayround.records.store import Store
from bayround.words import _

ADDED = "(added)"  # in place of a field: the record was added after the visit was finished
REMOVED = "(removed)"  # in place of a field: the record was taken out of a draft
_FIXED = {"id", "visit_id", "round_id", "bay_id", "planting_id", "marked_plant_id", "treatment_id"}
_CORRECTABLE = {
    kind_of(each).table.name for each in (Visit, Reading, PestCheck, CardCount, WeedNote, Treatment, Pick)
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


def correct_fields(
    store: Store,
    table_name: str,
    row_id: str,
    changes: Mapping[str, Value],
    person_id: str | None,
    at: datetime,
    reason: str,
    seen: Mapping[str, Value],
    late: Sequence[TreatmentBay] = (),
) -> tuple[Correction, ...]:
    """Change several values of one record at once, all of them or none; each gets its entry in the history.

    Args:
        changes: field → new value; values that are the same already are passed over.
        seen: field → the value the person saw; a field left out is not compared.
        late: records that were left out and are added with it, as `add_late` does.

    Raises:
        Refused, Overtaken, KeyError: as `correct`; nothing was changed then.
    """
    _refuse_without(reason)
    kind = kind_named(table_name)
    for field in changes:
        if table_name not in _CORRECTABLE or field not in correctable_fields(table_name):
            raise KeyError(f"{table_name}.{field}")
    with store.writing() as connection:
        fact = _fact(connection, table_name, row_id)
        _refuse_drafts(connection, fact)
        for field, value in seen.items():
            _refuse_overtaken(getattr(fact, field), value)
        changed = {field: after for field, after in changes.items() if getattr(fact, field) != after}
        if changed:
            values = {field: storable(after) for field, after in changed.items()}
            connection.execute(update(kind.table).where(kind.table.c.id == row_id).values(values))
        now = _fact(connection, table_name, row_id)
        entries = [
            record(
                connection, table_name, row_id, field, text_of(getattr(fact, field)),
                text_of(getattr(now, field)), person_id, at, reason,
            )
            for field in changed
        ]  # fmt: skip
        for each in late:
            table = kind_of(type(each)).table
            connection.execute(insert(table).values(row_of(each)))
            whole = whole_text(each)
            entries.append(record(connection, table.name, each.id, ADDED, "", whole, person_id, at, reason))
        return tuple(entries)


def _refuse_overtaken(before: Value, seen: Value) -> None:
    if before != seen:
        raise Overtaken(
            _("The value was changed since you opened it: it is now “{now}”.").format(now=text_of(before)),
            _("Your value was not saved."),
            _("Look at the new value and decide again."),
        )


def correctable_fields(table_name: str) -> tuple[str, ...]:
    """Return the fields of a table that a correction may change.

    Raises:
        KeyError: when there is no such table of facts.
    """
    shut = _FIXED | _NOT_BY_CORRECTION.get(table_name, set())
    return tuple(name for name in kind_named(table_name).names if name not in shut)


def add_late(
    store: Store,
    fact: Reading | PestCheck | CardCount | WeedNote | TreatmentBay,
    person_id: str | None,
    at: datetime,
    reason: str,
) -> Correction:
    """Add a record that was left out of a finished visit or of a treatment; the history shows it.

    Raises:
        Refused: when there is no reason, the visit is a draft, or the record breaks a rule of the table.
    """
    _refuse_without(reason)
    table = kind_of(type(fact)).table
    with store.writing() as connection:
        _refuse_drafts(connection, fact)
        connection.execute(insert(table).values(row_of(fact)))
        whole = whole_text(fact)
        return record(connection, table.name, fact.id, ADDED, "", whole, person_id, at, reason)


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


def whole_text(fact: object) -> str:
    """Return a whole record as the history keeps it: its fields and their values, as JSON."""
    values = {name: text_of(getattr(fact, name)) for name in kind_of(type(fact)).names}
    return json.dumps(values, ensure_ascii=False)


def record(
    connection: Connection,
    table_name: str,
    row_id: str,
    field: str,
    before: str,
    after: str,
    person_id: str | None,
    at: datetime,
    reason: str,
) -> Correction:
    """Append one entry to the history, inside a transaction that also makes the change itself."""
    entry = Correction(new_id(), table_name, row_id, field, before, after, person_id, at, reason)
    return append(connection, [entry])[0]


def append(connection: Connection, entries: Iterable[Correction]) -> list[Correction]:
    """Append entries to the history; whatever chain they bring, they get this file's."""
    count, head = head_of(connection)
    linked, rows = [], []
    for entry in entries:
        head, count = _link(head, entry), count + 1
        linked.append(replace(entry, chain=head))
        rows.append({**row_of(linked[-1]), "sequence": count})
    if rows:
        connection.execute(insert(tables.correction), rows)
    return linked


def _link(head: str, entry: Correction) -> str:
    content = [
        entry.id, entry.table_name, entry.row_id, entry.field, entry.before, entry.after, entry.person_id,
        entry.corrected_at.astimezone(UTC).isoformat(), entry.reason,
    ]  # fmt: skip
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(f"{head}\n{text}".encode()).hexdigest()


def reckon(entries: Iterable[Correction]) -> str:
    """Return the head of the chain that *entries* make in this order (empty when there is none)."""
    head = ""
    for entry in entries:
        head = _link(head, entry)
    return head


def head_of(connection: Connection) -> tuple[int, str]:
    """Return how many entries the history has and the hash of the last one (empty when there is none)."""
    table = tables.correction
    last = connection.execute(
        select(table.c.sequence, table.c.chain).order_by(table.c.sequence.desc()).limit(1)
    )
    row = last.one_or_none()
    return (row.sequence, row.chain) if row else (0, "")


def chain_head(store: Store) -> tuple[int, str]:
    """Return count and head of the history, to be kept outside the file as well."""
    with store.reading() as connection:
        return head_of(connection)


def verify_chain(store: Store) -> tuple[str, ...]:
    """Reckon the chain anew and return what does not agree, in words; nothing when it is whole."""
    with store.reading() as connection:
        return broken_chain(connection)


def broken_chain(connection: Connection) -> tuple[str, ...]:
    """Like `verify_chain`, inside a transaction."""
    kind = kind_of(Correction)
    sequence = tables.correction.c.sequence
    numbers = connection.execute(select(sequence).order_by(sequence)).scalars().all()
    head = ""
    for place, entry in enumerate(facts_of(kind, connection.execute(select_facts(kind).order_by(sequence)))):
        if numbers[place] != place + 1:
            return (_("The history of corrections lacks entry {number}.").format(number=place + 1),)
        head = _link(head, entry)
        if head != entry.chain:
            return (_("The history of corrections was altered at entry {number}.").format(number=place + 1),)
    return ()
