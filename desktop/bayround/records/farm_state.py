"""A whole farm in memory, as files are merged: rows by key, the history, what was kept beside."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from typing import Any
from uuid import NAMESPACE_OID, uuid5

from sqlalchemy import Boolean, Connection, Date, Float, Integer, Table, select

from bayround.facts.ids import short
from bayround.facts.kept import KeptBeside, MergedHistory, MergedRow
from bayround.facts.rounds import Visit, VisitState
from bayround.facts.work import Correction
from bayround.records import tables
from bayround.records.codec import KINDS, Kind, facts_of, kind_named, kind_of, select_facts, text_of
from bayround.records.columns import UtcDateTime
from bayround.records.versions import Histories, Order, of_fields, open_values

TYPED_AFTER = "typed in the draft after that"  # the same words on every laptop: it is part of the chain

Row = tuple[Any, ...]
"""The values of a record, in the order of its kind's names."""

APART = (Correction, KeptBeside, MergedHistory, MergedRow)
MERGED_KINDS: tuple[Kind[Any], ...] = tuple(kind for kind in KINDS if kind.fact not in APART)
"""The kinds whose records are joined field by field."""

Place = tuple[str, str]
"""Table and key of a record."""


@dataclass(slots=True)
class FarmState:
    """Everything a farm file holds.

    Attributes:
        rows: table → key → record.
        entries: the history, by key.
        order: the keys of the history as this file has them.
        histories: the orders of the files that were merged into it.
        beside: (table, key, field) → values kept beside the one in the record.
        became: key of a record that is the same as another one → that one's.
        in_file: how many entries of *order* the file itself holds; the rest is still to be written.
    """

    rows: dict[str, dict[str, Row]]
    entries: dict[str, Correction] = field(default_factory=dict)
    order: Order = ()
    histories: frozenset[Order] = frozenset()
    beside: dict[tuple[str, str, str], frozenset[str]] = field(default_factory=dict)
    became: dict[str, str] = field(default_factory=dict)
    in_file: int = 0

    def now(self, key: str) -> str:
        """Return the key that a record has now."""
        while key in self.became:
            key = self.became[key]
        return key

    def by_record(self) -> dict[Place, list[Correction]]:
        """Return the history by the record it is about."""
        found: dict[Place, list[Correction]] = {}
        for key in self.order:
            entry = self.entries[key]
            found.setdefault((entry.table_name, self.now(entry.row_id)), []).append(entry)
        return found


def read_state(connection: Connection) -> FarmState:
    """Read a whole farm inside a transaction."""
    rows: dict[str, dict[str, Row]] = {}
    for kind in MERGED_KINDS:
        place = kind.names.index("id")
        rows[kind.table.name] = {row[place]: tuple(row) for row in connection.execute(select_facts(kind))}
    correction = kind_of(Correction)
    ordered = select_facts(correction).order_by(tables.correction.c.sequence)
    entries = facts_of(correction, connection.execute(ordered))
    beside: dict[tuple[str, str, str], set[str]] = {}
    for one in _all(connection, KeptBeside):
        beside.setdefault((one.table_name, one.row_id, one.field), set()).add(one.value)
    state = FarmState(
        rows,
        {entry.id: entry for entry in entries},
        tuple(entry.id for entry in entries),
        frozenset(tuple(json.loads(one.entry_ids)) for one in _all(connection, MergedHistory)),
        {where: frozenset(values) for where, values in beside.items()},
        {one.id: one.became_id for one in _all(connection, MergedRow)},
        len(entries),
    )
    return settle_drafts(state)


def _all(connection: Connection, fact: type[Any]) -> tuple[Any, ...]:
    kind: Kind[Any] = kind_of(fact)
    return facts_of(kind, connection.execute(select_facts(kind)))


def read_farm_key(connection: Connection) -> str:
    """Return the key of the farm that a file is of."""
    found: str = connection.execute(select(tables.farm.c.id)).scalar_one()
    return found


def settle_drafts(state: FarmState) -> FarmState:
    """Give a draft's value that was typed over after an entry in the history an entry of its own."""
    histories, added = Histories({state.order, *state.histories}), []
    for (table_name, key), entries in state.by_record().items():
        row = state.rows.get(table_name, {}).get(key)
        if row is None:
            continue
        names = kind_named(table_name).names
        for name, about in of_fields(entries).items():
            if name not in names:
                continue
            here = text_of(row[names.index(name)])
            values = open_values(
                about, state.beside.get((table_name, key, name), frozenset()), histories
            ).values
            if here in values:
                continue
            last = about[-1]
            new_key = key_of(key, name, last.id, values[0], here)
            typed = replace(last, id=new_key, row_id=key, before=values[0], after=here, reason=TYPED_AFTER)
            added.append(typed)
    for entry in added:
        state.entries[entry.id] = entry
    state.order = (*state.order, *(entry.id for entry in added))
    return state


def key_of(*parts: str) -> str:
    """Return a key made of what a thing is, the same on every laptop."""
    return short(uuid5(NAMESPACE_OID, json.dumps(parts)))


def value_of(table: Table, name: str, text: str) -> Any:
    """Return what `text_of` turned into *text*, as a column takes it.

    Raises:
        ValueError: when it is no such value.
    """
    column = table.c[name]
    kind = column.type
    if text == "" and column.nullable:
        return None
    if isinstance(kind, Boolean):
        return text == "yes"
    if isinstance(kind, Integer):
        return int(text)
    if isinstance(kind, Float):
        return float(text)
    if isinstance(kind, Date):
        return date.fromisoformat(text)
    if isinstance(kind, UtcDateTime):
        return datetime.fromisoformat(text).astimezone(UTC)
    return text


def draft_visits(rows: Iterable[Row]) -> set[str]:
    """Return the keys of the visits among *rows* that are drafts."""
    names = kind_of(Visit).names
    key, state = names.index("id"), names.index("state")
    return {row[key] for row in rows if row[state] == VisitState.DRAFT.value}
