"""What an import brings, in one transaction, with all it takes to take it back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, insert, select, update

from bayround.facts.ids import new_id
from bayround.facts.kept import ImportBatch, ImportedRow, ImportLayout
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.rounds import VisitState
from bayround.records import history
from bayround.records import tables as t
from bayround.records.codec import (
    KINDS,
    Kind,
    Value,
    facts_of,
    kind_named,
    kind_of,
    row_of,
    select_facts,
    storable,
    text_of,
)
from bayround.records.store import Store, read_revision
from bayround.records.visit_days import refuse_unless_it_stands
from bayround.words import _

OF_A_VISIT = ("reading", "pest_check", "card_count", "weed_note")


@dataclass(frozen=True, slots=True)
class ValueChange:
    """One value of a record that is there already: what was seen in it, and what the import brings."""

    table_name: str
    row_id: str
    field: str
    before: Value
    after: Value


def read_batches(store: Store) -> tuple[ImportBatch, ...]:
    """Return all imports, newest first."""
    kind = kind_of(ImportBatch)
    query = select_facts(kind).order_by(t.import_batch.c.imported_at.desc(), t.import_batch.c.id.desc())
    with store.reading() as connection:
        return facts_of(kind, connection.execute(query))


def read_layout(store: Store, headings_digest: str) -> ImportLayout | None:
    """Return how columns with these headings were matched last, if they were."""
    kind, table = kind_of(ImportLayout), t.import_layout
    query = select_facts(kind).where(table.c.headings_digest == headings_digest)
    with store.reading() as connection:
        found = facts_of(kind, connection.execute(query.order_by(table.c.remembered_at.desc()).limit(1)))
    return found[0] if found else None


def bring_in(
    store: Store,
    batch: ImportBatch,
    added: Iterable[object],
    changes: Iterable[ValueChange],
    revision: int,
    layout: ImportLayout | None = None,
) -> None:
    """Write an import: its records, its changed values, and what belongs to it. All of it or nothing.

    Args:
        revision: the farm's revision for which the import was looked at.

    Raises:
        Overtaken: when the farm was changed since then.
        Refused: when a record breaks a rule of its table.
    """
    by_table: dict[str, list[Any]] = defaultdict(list)
    for fact in added:
        by_table[kind_of(type(fact)).table.name].append(fact)
    with store.writing() as connection:
        if read_revision(connection) - 1 != revision:
            raise Overtaken(
                _("The farm was changed since the preview."), _("Nothing was brought in."), _("Look again.")
            )
        rows = []
        connection.execute(insert(t.import_batch).values(row_of(batch)))
        for kind in KINDS:
            facts = by_table[kind.table.name]
            if facts:
                connection.execute(insert(kind.table), [row_of(fact) for fact in facts])
            rows += [
                _row(batch, kind.table.name, fact.id, "", "", history.whole_text(fact)) for fact in facts
            ]
        for visit in by_table["visit"]:
            refuse_unless_it_stands(connection, visit)
        by_record: dict[tuple[str, str], list[ValueChange]] = defaultdict(list)
        for change in changes:
            by_record[change.table_name, change.row_id].append(change)
        for own in by_record.values():
            _change(connection, own, batch)
            rows += [
                _row(batch, one.table_name, one.row_id, one.field, text_of(one.before), text_of(one.after))
                for one in own
            ]
        if rows:
            connection.execute(insert(t.imported_row), [row_of(row) for row in rows])
        if layout is not None:
            connection.execute(insert(t.import_layout).values(row_of(layout)))


def _row(
    batch: ImportBatch, table_name: str, row_id: str, field: str, before: str, after: str
) -> ImportedRow:
    return ImportedRow(new_id(), batch.id, table_name, row_id, field, before, after)


def _change(connection: Connection, changes: list[ValueChange], batch: ImportBatch) -> None:
    """Set values of one record; a draft takes them freely (the import itself keeps what was there), all else with a history."""
    table_name, row_id = changes[0].table_name, changes[0].row_id
    kind = kind_named(table_name)
    values = {change.field: storable(change.after) for change in changes}
    connection.execute(update(kind.table).where(kind.table.c.id == row_id).values(values))
    if table_name in (*OF_A_VISIT, "visit"):
        _refuse_finished(connection, kind, row_id)
        return
    for change in changes:
        history.record(
            connection, table_name, row_id, change.field, text_of(change.before), text_of(change.after),
            batch.person_id, batch.imported_at, _("brought in from {file}").format(file=batch.file_name),
        )  # fmt: skip


def _refuse_finished(connection: Connection, kind: Kind[Any], row_id: str) -> None:
    key = kind.table.c.id if kind.table is t.visit else kind.table.c.visit_id
    of_visit = select(key).where(kind.table.c.id == row_id).scalar_subquery()
    state = connection.execute(select(t.visit.c.state).where(t.visit.c.id == of_visit)).scalar()
    if state != VisitState.DRAFT.value:
        raise Refused(
            _("This visit is finished."), _("Nothing was changed."), _("Correct it in the Visit screen.")
        )
