"""Values on which files that were merged do not agree, and a person's decision about one of them."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, update

from bayround.facts.problems import Overtaken, Refused
from bayround.facts.work import Correction
from bayround.records import tables
from bayround.records.codec import facts_of, kind_named, select_facts, text_of
from bayround.records.farm_state import FarmState, read_state, value_of
from bayround.records.history import record
from bayround.records.store import Store
from bayround.records.versions import Histories, of_fields, open_values
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Conflict:
    """One field with more than one value; *values*, as texts, begins with the one that is shown.

    *told* says of each value who wrote it down, when and why, where the history knows.
    """

    table_name: str
    row_id: str
    field: str
    values: tuple[str, ...]
    told: tuple[Correction | None, ...] = dataclasses.field(compare=False)


def conflicts_of(state: FarmState) -> tuple[Conflict, ...]:
    """Return the open conflicts of a farm, in a fixed order."""
    histories = Histories({state.order, *state.histories})
    loose: dict[tuple[str, str], dict[str, set[str]]] = {}
    for (table_name, key, name), kept in state.beside.items():
        loose.setdefault((table_name, key), {}).setdefault(name, set()).update(kept)
    about = state.by_record()
    found = []
    for table_name, key in sorted(loose.keys() | about.keys()):
        row = state.rows.get(table_name, {}).get(key)
        if row is None:
            continue
        names = kind_named(table_name).names
        entries = of_fields(about.get((table_name, key), []))
        beside = loose.get((table_name, key), {})
        for name in sorted((entries.keys() | beside.keys()) & set(names)):
            here, shown = set(beside.get(name, ())), text_of(row[names.index(name)])
            if name not in entries:
                here.add(shown)
            of_field = entries.get(name, [])
            values = open_values(of_field, here, histories).values
            values = tuple(sorted(values, key=lambda value: value != shown))
            if len(values) > 1:
                found.append(Conflict(table_name, key, name, values, _told(values, of_field)))
    return tuple(found)


def _told(values: tuple[str, ...], entries: list[Correction]) -> tuple[Correction | None, ...]:
    last = {entry.after: entry for entry in entries}
    return tuple(last.get(value) for value in values)


def open_conflicts(store: Store) -> tuple[Conflict, ...]:
    """Return the open conflicts of a farm file."""
    with store.reading() as connection:
        return conflicts_of(read_state(connection))


def decide(
    store: Store, conflict: Conflict, value: str, person_id: str | None, at: datetime, reason: str
) -> tuple[Correction, ...]:
    """Let one value hold (one of the conflict's or another one); the history keeps the others.

    Args:
        value: as the history writes it (`codec.text_of`).

    Raises:
        Refused: when it is no such value, breaks a rule of the table, or there is no reason.
        Overtaken: when the conflict is no longer what the person saw; nothing was changed.
    """
    if not reason.strip():
        raise Refused(
            _("A decision needs a reason."), _("Nothing was changed."), _("Say why in a few words.")
        )
    kind = kind_named(conflict.table_name)
    with store.writing() as connection:
        if conflict not in conflicts_of(read_state(connection)):
            raise Overtaken(
                _("This has been decided or has changed since you opened it."),
                _("Your decision was not saved."),
                _("Look at the conflicts again."),
            )
        kept = _read_value(conflict, value)
        this = kind.table.c.id == conflict.row_id
        connection.execute(update(kind.table).where(this).values({conflict.field: kept}))
        now = text_of(getattr(_read(connection, conflict), conflict.field))
        entries = tuple(
            record(
                connection, conflict.table_name, conflict.row_id, conflict.field, other, now, person_id, at,
                reason,
            )
            for other in conflict.values
            if other != now
        )  # fmt: skip
        beside = tables.kept_beside.c
        connection.execute(
            delete(tables.kept_beside).where(
                beside.table_name == conflict.table_name,
                beside.row_id == conflict.row_id,
                beside.field == conflict.field,
            )
        )
        return entries


def _read_value(conflict: Conflict, text: str) -> Any:
    try:
        return value_of(kind_named(conflict.table_name).table, conflict.field, text)
    except ValueError as error:
        raise Refused(
            _("“{value}” can't be read as a value of this field.").format(value=text),
            _("Nothing was changed."),
        ) from error


def _read(connection: Connection, conflict: Conflict) -> Any:
    kind = kind_named(conflict.table_name)
    query = select_facts(kind).where(kind.table.c.id == conflict.row_id)
    return facts_of(kind, connection.execute(query))[0]
