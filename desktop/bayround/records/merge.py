"""Farm files of several laptops become one: read whole, joined in memory, written in one transaction."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from bayround.facts import chain
from bayround.facts.kept import KeptBeside, MergedHistory, MergedRow
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.records import backup, check, history, problems, tables
from bayround.records.codec import row_of
from bayround.records.conflicts import Conflict, conflicts_of
from bayround.records.farm_file import open_farm
from bayround.records.farm_state import MERGED_KINDS, FarmState, key_of, read_farm_key, read_state
from bayround.records.joining import join
from bayround.records.likeness import Doubled, doubled_anew
from bayround.records.store import Store
from bayround.records.versions import longest
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a merge brings, or brought.

    Attributes:
        added: records by table that were not in the first file.
        changed: records by table whose values become others.
        conflicts: fields on which the files do not agree; a person decides.
        doubled: records that look as if the same thing was keyed on two laptops.
        corrections: entries that the history gains.
        anything: whether the file changes at all.
    """

    added: dict[str, int]
    changed: dict[str, int]
    conflicts: tuple[Conflict, ...]
    doubled: tuple[Doubled, ...]
    corrections: int
    anything: bool


def preview(store: Store, others: Sequence[Path]) -> Outcome:
    """Return what merging *others* into an open farm would bring; nothing is changed.

    Raises:
        FarmFileProblem: when one of them is not sound, or of another farm.
    """
    with _read_others(store, others) as read, store.reading() as connection:
        before = read_state(connection)
        return _outcome(before, read, _joined(before, read))


def merge(store: Store, others: Sequence[Path]) -> Outcome:
    """Merge *others* into an open farm, in one transaction; a merge that brings nothing writes nothing.

    Raises:
        FarmFileProblem: as `preview`; the farm is then as it was.
        Refused: when two changes together break a rule of the tables; the farm is then as it was.
    """
    with _read_others(store, others) as read:
        with store.reading() as connection:
            before = read_state(connection)
        after = _joined(before, read)
        outcome = _outcome(before, read, after)
        if not outcome.anything:
            return outcome
        with store.writing() as connection:
            before = read_state(connection)
            write_state(connection, before, _joined(before, read))
            _refuse_what_came_out_wrong(connection)
        return outcome


@contextmanager
def _read_others(store: Store, others: Sequence[Path]) -> Iterator[list[FarmState]]:
    """Read the other files from verified copies: they stay as they are, whatever their version."""
    with store.reading() as connection:
        farm = read_farm_key(connection)
    found = []
    with TemporaryDirectory(prefix="bayround-merge-") as folder:
        for number, path in enumerate(others):
            if path.resolve() == store.path:
                raise Refused(
                    _("“{name}” can't be merged with itself.").format(name=path.name),
                    _("Nothing was changed."),
                )
            copy = Path(folder) / f"{number}.bayround"
            backup.copy_sound(path, copy)
            with problems.disk_in_words(path), open_farm(copy) as other, other.reading() as connection:
                if read_farm_key(connection) != farm:
                    raise _another_farm(path, other.path)
                found.append(read_state(connection))
        yield found


def _another_farm(path: Path, _copy: Path) -> FarmFileProblem:
    return FarmFileProblem(
        _("“{name}” is of another farm.").format(name=path.name),
        _("Nothing was changed."),
        _("Only copies of one farm file can be merged. Choose the file of the other laptop."),
    )


def _joined(state: FarmState, others: Iterable[FarmState]) -> FarmState:
    for other in others:
        state = join(state, other)
    return state


def _outcome(before: FarmState, read: list[FarmState], after: FarmState) -> Outcome:
    added: dict[str, int] = {}
    changed: dict[str, int] = {}
    for table_name, rows in after.rows.items():
        known = before.rows.get(table_name, {})
        if new := len(rows.keys() - known.keys()):
            added[table_name] = new
        other = sum(1 for key, row in rows.items() if key in known and known[key] != row)
        if other and table_name != tables.farm.name:
            changed[table_name] = other
    return Outcome(
        added,
        changed,
        conflicts_of(after),
        doubled_anew(after, [before, *read]),
        len(after.order) - before.in_file,
        not _the_same(before, after),
    )


def _the_same(before: FarmState, after: FarmState) -> bool:
    return (
        before.order == after.order
        and before.beside == after.beside
        and before.became == after.became
        and _rows_but_revision(before) == _rows_but_revision(after)
    )


def _rows_but_revision(state: FarmState) -> dict[str, Any]:
    place = next(kind for kind in MERGED_KINDS if kind.table is tables.farm).names.index("revision")
    farm = {key: (*row[:place], *row[place + 1 :]) for key, row in state.rows["farm"].items()}
    return {**state.rows, "farm": farm}


def write_state(connection: Connection, before: FarmState, after: FarmState) -> None:
    """Turn the farm *before*, as it stands in the file, into *after*, inside the caller's transaction."""
    check.check_references_at_the_end(connection)
    for kind in reversed(MERGED_KINDS):
        gone = before.rows[kind.table.name].keys() - after.rows[kind.table.name].keys()
        for key in gone:
            connection.execute(delete(kind.table).where(kind.table.c.id == key))
    for kind in MERGED_KINDS:
        known, at = before.rows[kind.table.name], kind.names.index("id")
        new = [row for key, row in after.rows[kind.table.name].items() if key not in known]
        if new:
            connection.execute(insert(kind.table), [dict(zip(kind.names, row)) for row in new])
        for key, row in after.rows[kind.table.name].items():
            if key in known and known[key] != row:
                values = {name: row[place] for place, name in enumerate(kind.names) if place != at}
                connection.execute(update(kind.table).where(kind.table.c.id == key).values(values))
    history.append(connection, [after.entries[key] for key in after.order[before.in_file :]])
    _write_what_stands_apart(connection, after)


def _write_what_stands_apart(connection: Connection, after: FarmState) -> None:
    for table in (tables.kept_beside, tables.merged_history, tables.merged_row):
        connection.execute(delete(table))
    beside = [
        KeptBeside(key_of(*where, value), *where, value)
        for where, values in sorted(after.beside.items())
        for value in sorted(values)
    ]
    histories = [
        MergedHistory(key_of(*order), len(order), chain.reckon([after.entries[key] for key in order]),
                      json.dumps(order))
        for order in sorted(longest({after.order, *after.histories}) - {after.order})
    ]  # fmt: skip
    table_of = {entry.row_id: entry.table_name for entry in after.entries.values()}
    became = [
        MergedRow(lost, table_of.get(lost) or _table_of(after, kept), kept)
        for lost, kept in sorted(after.became.items())
    ]
    for facts, table in (
        (beside, tables.kept_beside), (histories, tables.merged_history), (became, tables.merged_row)
    ):  # fmt: skip
        if facts:
            connection.execute(insert(table), [row_of(fact) for fact in facts])


def _table_of(state: FarmState, key: str) -> str:
    return next((name for name, rows in state.rows.items() if key in rows), "record")


def _refuse_what_came_out_wrong(connection: Connection) -> None:
    found = check.first_damage(connection) or list(history.broken_chain(connection))
    revision = connection.execute(select(tables.farm.c.revision)).scalar_one()
    if found or revision < 0:
        raise FarmFileProblem(
            _("The files can't be merged: {why}").format(why=found[0] if found else revision),
            _("Nothing was changed."),
            _("Have both files checked."),
        )
