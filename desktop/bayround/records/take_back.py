"""Taking an import back whole: records go out again, values are set back; what it said stays in the history."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, select, update
from sqlalchemy.exc import IntegrityError

from bayround.facts.kept import ImportBatch, ImportedRow
from bayround.facts.problems import Refused
from bayround.facts.rounds import DoubtAnswer, Visit, VisitState
from bayround.records import history
from bayround.records import tables as t
from bayround.records.codec import KINDS, Kind, facts_of, kind_named, kind_of, select_facts, text_of
from bayround.records.farm_state import value_of
from bayround.records.store import Store
from bayround.records.write_imports import OF_A_VISIT
from bayround.words import _

_PLACE_OF_KIND = {kind.table.name: place for place, kind in enumerate(KINDS)}
_SET_BY_FINISHING = ("state", "started_at", "finished_at")


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What taking an import back did: records taken out, values set back, and what stays in use."""

    removed: int
    set_back: int
    stayed: int


def take_back(store: Store, batch_id: str, person_id: str | None, at: datetime) -> TakenBack:
    """Take a whole import out again; every record that goes stays in the history with all it said.

    What was typed into an imported reading of a draft stays; so does any other record that somebody changed since,
    and a visit or a round that holds more.

    Raises:
        Refused: when it was taken back already. KeyError: when there is no such import.
    """
    with store.writing() as connection:
        kind = kind_of(ImportBatch)
        found = facts_of(kind, connection.execute(select_facts(kind).where(t.import_batch.c.id == batch_id)))
        if not found:
            raise KeyError(batch_id)
        if found[0].taken_back_at is not None:
            raise Refused(_("This import was taken back already."), _("Nothing was changed."))
        rows = kind_of(ImportedRow)
        query = select_facts(rows).where(t.imported_row.c.batch_id == batch_id)
        imported = sorted(
            facts_of(rows, connection.execute(query)), key=lambda row: -_PLACE_OF_KIND[row.table_name]
        )
        reason = _("import of {file} taken back").format(file=found[0].file_name)
        work = _TakingBack(connection, person_id, at, reason)
        changed: dict[tuple[str, str], list[ImportedRow]] = defaultdict(list)
        for row in imported:
            if row.field:
                changed[row.table_name, row.row_id].append(row)
            else:
                work.record(row)
        for rows_of_one in changed.values():
            work.values(rows_of_one)
        connection.execute(
            update(t.import_batch).where(t.import_batch.c.id == batch_id).values(taken_back_at=at)
        )
    return TakenBack(work.removed, work.set_back, work.stayed)


class _TakingBack:
    def __init__(self, connection: Connection, person_id: str | None, at: datetime, reason: str) -> None:
        self.connection, self.person_id, self.at, self.reason = connection, person_id, at, reason
        self.removed = self.set_back = self.stayed = 0

    def values(self, rows: list[ImportedRow]) -> None:
        """Set values of one record back to what was there, but for those that somebody has changed since.

        All of them stay where they would break a rule of the table together with what was changed.
        """
        table_name, row_id = rows[0].table_name, rows[0].row_id
        fact = self._fact(table_name, row_id)
        mine = [row for row in rows if fact is not None and text_of(getattr(fact, row.field)) == row.after]
        self.stayed += len(rows) - len(mine)
        if not mine:
            return
        table = kind_named(table_name).table
        before = {row.field: value_of(table, row.field, row.before) for row in mine}
        try:
            with self.connection.begin_nested():
                self.connection.execute(update(table).where(table.c.id == row_id).values(before))
        except IntegrityError:
            self.stayed += len(mine)
            return
        if not self._in_draft(fact):
            for row in mine:
                self._note(table_name, row_id, row.field, row.after, row.before)
        self.set_back += len(mine)

    def record(self, row: ImportedRow) -> None:
        """Take a record out, or what the import brought of it."""
        fact = self._fact(row.table_name, row.row_id)
        if fact is None:
            return  # taken out already
        brought = json.loads(row.after)
        now = {name: text_of(getattr(fact, name)) for name in kind_named(row.table_name).names}
        own = [name for name in now if now[name] != brought.get(name) and name not in _SET_BY_FINISHING]
        if row.table_name == "reading" and own and self._in_draft(fact):
            self._empty(fact, own)
        elif own or self._holds_more(row.table_name, fact.id):
            self.stayed += 1
        else:
            if isinstance(fact, Visit):
                self._remove_answers(fact.id)
            self._remove(fact)

    def _holds_more(self, table_name: str, key: str) -> bool:
        """Tell whether a visit or a round holds more than the import brought."""
        if table_name == "visit":
            return self._holds(OF_A_VISIT, "visit_id", key)
        return table_name == "round" and self._holds(("visit",), "round_id", key)

    def _empty(self, reading: Any, own: list[str]) -> None:
        kind = kind_of(type(reading))
        fixed = {"id", "visit_id", "marked_plant_id", *own}
        empty = {name: None for name in kind.names if name not in fixed}
        if "note" in empty:
            empty["note"] = ""  # type: ignore[assignment]
        if "state" in empty:
            empty["state"] = "standing"  # type: ignore[assignment]
        self.connection.execute(update(kind.table).where(kind.table.c.id == reading.id).values(empty))
        self.set_back += len(empty)
        self.stayed += 1

    def _remove_answers(self, visit_id: str) -> None:
        kind = kind_of(DoubtAnswer)
        query = select_facts(kind).where(kind.table.c.visit_id == visit_id)
        for answer in facts_of(kind, self.connection.execute(query)):
            self._remove(answer)

    def _remove(self, fact: Any) -> None:
        kind: Kind[Any] = kind_of(type(fact))
        self.connection.execute(delete(kind.table).where(kind.table.c.id == fact.id))
        self._note(kind.table.name, fact.id, history.REMOVED, history.whole_text(fact), "")
        self.removed += 1

    def _holds(self, tables: tuple[str, ...], column: str, key: str) -> bool:
        return any(
            self.connection.execute(
                select(kind_named(name).table.c.id).where(kind_named(name).table.c[column] == key).limit(1)
            ).first()
            for name in tables
        )

    def _in_draft(self, fact: Any) -> bool:
        visit_id = fact.id if isinstance(fact, Visit) else getattr(fact, "visit_id", None)
        if visit_id is None:
            return False
        state = self.connection.execute(select(t.visit.c.state).where(t.visit.c.id == visit_id)).scalar()
        return bool(state == VisitState.DRAFT.value)

    def _fact(self, table_name: str, row_id: str) -> Any:
        kind = kind_named(table_name)
        query = select_facts(kind).where(kind.table.c.id == row_id)
        found = facts_of(kind, self.connection.execute(query))
        return found[0] if found else None

    def _note(self, table_name: str, row_id: str, field: str, before: str, after: str) -> None:
        history.record(
            self.connection, table_name, row_id, field, before, after, self.person_id, self.at, self.reason
        )
