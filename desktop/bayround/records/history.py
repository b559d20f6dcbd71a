"""The history of changed values: before, after, who, when, why; each entry holds a hash of all before it.

The chain shows damage and casual editing. It does not show that the newest entries were cut off, and
whoever can write the file can reckon it anew; therefore count and head also go outside the file, into
backup names and the weekly workbook.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection, insert, select

from bayround.facts.chain import link
from bayround.facts.ids import new_id
from bayround.facts.work import Correction
from bayround.records import tables
from bayround.records.codec import facts_of, kind_of, row_of, select_facts, text_of
from bayround.records.store import Store
from bayround.words import _

ADDED = "(added)"  # in place of a field: the record was added after the visit was finished
REMOVED = "(removed)"  # in place of a field: the record was taken out of a draft


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
        head, count = link(head, entry), count + 1
        linked.append(replace(entry, chain=head))
        rows.append({**row_of(linked[-1]), "sequence": count})
    if rows:
        connection.execute(insert(tables.correction), rows)
    return linked


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
        head = link(head, entry)
        if head != entry.chain:
            return (_("The history of corrections was altered at entry {number}.").format(number=place + 1),)
    return ()
