"""Readable records out of a damaged farm file, into a new one. The damaged file is only copied.

A damaged page hides the records on it, not those on the other pages: each table is read from its
start and from its end, and between them record by record, as far as SQLite can follow (cf. its
own shell's ``.recover``). What the damage hides may come from a backup; the keys say what is the same.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Collection, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlalchemy import Date

from bayround.facts.ids import LENGTHS
from bayround.facts.problems import FarmFileProblem
from bayround.records import placing, problems, tables
from bayround.records.backup import copy_sound, give_name
from bayround.records.check import address, damage, wrong_values
from bayround.records.columns import UtcDateTime
from bayround.records.farm_file import create_farm
from bayround.records.history import REMOVED
from bayround.words import _

PROBES_AT_MOST = 20_000  # record by record, between the last one from the start and the last one from the end
_NO_NAME = "?"
_HEAD, _PAGE_SIZE, _PAGES, _FREE_PAGES = (
    100,
    slice(16, 18),
    slice(28, 32),
    slice(32, 40),
)  # sqlite.org/fileformat 1.3


@dataclass(slots=True)
class Salvaged:
    """What a salvage came to.

    Attributes:
        read: table → records read from the damaged file.
        from_backup: table → records that came from the backup instead.
        dropped: table → records that were read but break a rule, or refer to a record that is lost.
        incomplete: tables of which the damage hides a part.
    """

    read: dict[str, int] = field(default_factory=dict)
    from_backup: dict[str, int] = field(default_factory=dict)
    dropped: dict[str, int] = field(default_factory=dict)
    incomplete: list[str] = field(default_factory=list)


def salvage(damaged: Path, target: Path, backup: Path | None = None) -> Salvaged:
    """Write a new farm file, *target*, with every readable record of *damaged*; fill up from *backup*.

    Raises:
        FarmFileProblem: when there is no such file, nothing in it can be read, *target* is there
            already, the backup is not sound, or the disk refuses. Nothing is left half-made.
    """
    damaged, target = damaged.resolve(), target.resolve()
    if not damaged.is_file():
        raise problems.not_there(damaged)
    if target.exists():
        raise problems.already_there(target)
    with problems.disk_in_words(target):
        names = [placing.unfinished(target.parent) for _file in range(3)]
        try:
            return _salvage(damaged, target, backup, *names)
        finally:
            for name in names:
                placing.discard(name)


def _salvage(
    damaged: Path, target: Path, backup: Path | None, copy: Path, spare: Path, new: Path
) -> Salvaged:
    _copy_with_journal(damaged, copy)
    if backup is not None:
        copy_sound(backup, spare)
        _lend_first_page(spare, copy)
    found = Salvaged()
    create_farm(new, _NO_NAME).close()
    with closing(sqlite3.connect(address(new, "rw"), uri=True, isolation_level=None)) as filled:
        filled.execute("PRAGMA foreign_keys = OFF")
        filled.execute("BEGIN IMMEDIATE")
        filled.execute("DELETE FROM farm")
        found.read = _take_from(copy, filled, found)
        if backup is not None:
            found.from_backup = _take_from(spare, filled, Salvaged(), _taken_out_since(spare, filled))
        _drop_what_is_no_record(filled, found)
        _drop_what_refers_to_nothing(filled, found)
        _farm_record(filled, damaged, found)
        filled.execute("COMMIT")
        if left := damage(filled, at_most=1):
            raise FarmFileProblem(_("What was read does not make a farm: {why}").format(why=left[0]))
    give_name(new, target)
    return found


def _copy_with_journal(damaged: Path, copy: Path) -> None:
    """What a crash left half-done is undone in the copy, if SQLite still can."""
    for ending in ("", *placing.SIDE_FILES):
        side = damaged.with_name(damaged.name + ending)
        if side.exists():
            shutil.copyfile(side, copy.with_name(copy.name + ending))
    with suppress(sqlite3.Error), closing(sqlite3.connect(address(copy, "rw"), uri=True)) as connection:
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()


def _lend_first_page(backup: Path, copy: Path) -> None:
    """The first page says where each table begins; a backup, copied page by page, says the same."""
    with suppress(sqlite3.Error), closing(sqlite3.connect(address(copy, "ro"), uri=True)) as connection:
        if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            return
    with backup.open("rb") as stream:
        head = bytearray(stream.read(_HEAD))
        size = int.from_bytes(head[_PAGE_SIZE], "big")
        head += stream.read(size - _HEAD)
    head[_PAGES] = (copy.stat().st_size // size).to_bytes(4, "big")
    head[_FREE_PAGES] = bytes(8)  # none are known
    with copy.open("rb+") as stream:
        stream.write(head)


def _taken_out_since(backup: Path, filled: sqlite3.Connection) -> set[str]:
    """Return the keys of records that were taken out after the backup was made: they are not to come back."""
    with closing(sqlite3.connect(address(backup, "ro"), uri=True)) as earlier:
        known = {key for (key,) in earlier.execute("SELECT id FROM correction")}
    removed = filled.execute("SELECT id, row_id FROM correction WHERE field = ?", (REMOVED,))
    return {row_id for key, row_id in removed if key not in known}


def _take_from(
    source: Path, filled: sqlite3.Connection, found: Salvaged, passed_over: Collection[str] = ()
) -> dict[str, int]:
    """Add every readable record whose key is not there yet; return how many of which table."""
    from bayround.records.upgrades.version_2 import NEW_VALUES

    taken: dict[str, int] = {}
    with closing(sqlite3.connect(address(source, "ro"), uri=True)) as damaged:
        damaged.text_factory = lambda raw: raw.decode("utf-8", "replace")
        for table in tables.metadata.sorted_tables:
            columns = _columns_of_both(damaged, filled, table.name)
            if not columns:
                continue
            new = {
                name: value for name, value in NEW_VALUES.get(table.name, {}).items() if name not in columns
            }
            given = (*columns, *new)
            names, marks = ", ".join(f'"{name}"' for name in given), ", ".join("?" * len(given))
            insert = f'INSERT INTO "{table.name}" ({names}) VALUES ({marks})'
            known = {key for (key,) in filled.execute(f'SELECT id FROM "{table.name}"')}.union(passed_over)
            for row in _readable(damaged, table.name, columns, found):
                if row[columns.index("id")] in known:
                    continue
                name = table.name
                try:
                    filled.execute(insert, (*row, *new.values()))
                except sqlite3.Error:  # breaks a rule of the table, or is no record at all
                    found.dropped[name] = found.dropped.get(name, 0) + 1
                else:
                    taken[name] = taken.get(name, 0) + 1
    return taken


def _columns_of_both(damaged: sqlite3.Connection, filled: sqlite3.Connection, table: str) -> list[str]:
    there: set[str] = set()
    with suppress(sqlite3.Error):
        there = {row[1] for row in damaged.execute(f'PRAGMA table_info("{table}")')}
    here = [row[1] for row in filled.execute(f'PRAGMA table_info("{table}")')]
    return [name for name in here if name in there] if "id" in there else []


def _readable(
    damaged: sqlite3.Connection, table: str, columns: list[str], found: Salvaged
) -> Iterator[tuple[Any, ...]]:
    """Yield the records of a table that can be read, each once."""
    names = ", ".join(f'"{name}"' for name in columns)
    select = f'SELECT rowid, {names} FROM "{table}" NOT INDEXED'
    first = last = None
    try:
        for row in damaged.execute(f"{select} ORDER BY rowid"):
            first = row[0]
            yield row[1:]
        return
    except (sqlite3.Error, OverflowError):
        found.incomplete.append(table)
    after = first if first is not None else -1
    with suppress(sqlite3.Error, OverflowError):
        for row in damaged.execute(f"{select} WHERE rowid > ? ORDER BY rowid DESC", (after,)):
            last = row[0]
            yield row[1:]
    end = last if last is not None else after + PROBES_AT_MOST
    for rowid in range(after + 1, min(end, after + PROBES_AT_MOST)):
        with suppress(sqlite3.Error, OverflowError):
            one = damaged.execute(f"{select} WHERE rowid = ?", (rowid,)).fetchone()
            if one is not None:
                yield one[1:]


def _drop_what_is_no_record(filled: sqlite3.Connection, found: Salvaged) -> None:
    """What a damaged page passes off as a record has no key, values of a wrong type, or days that are none."""
    for table in tables.metadata.sorted_tables:
        wrong = [f"length(id) NOT IN {LENGTHS}", *wrong_values(table)]
        times = [column.name for column in table.c if isinstance(column.type, Date | UtcDateTime)]
        wrong += [f'("{name}" IS NOT NULL AND julianday("{name}") IS NULL)' for name in times]
        dropped = filled.execute(f'DELETE FROM "{table.name}" WHERE {" OR ".join(wrong)}').rowcount
        if dropped:
            found.dropped[table.name] = found.dropped.get(table.name, 0) + dropped


def _drop_what_refers_to_nothing(filled: sqlite3.Connection, found: Salvaged) -> None:
    while lost := filled.execute("PRAGMA foreign_key_check").fetchall():
        for table, rowid in {(row[0], row[1]) for row in lost}:
            filled.execute(f'DELETE FROM "{table}" WHERE rowid = ?', (rowid,))
            found.dropped[table] = found.dropped.get(table, 0) + 1


def _farm_record(filled: sqlite3.Connection, damaged: Path, found: Salvaged) -> None:
    """The farm's own record, which only one table of one line holds, may be what was lost."""
    records = sum(n for name, n in (*found.read.items(), *found.from_backup.items()) if name != "farm")
    if not records:
        raise FarmFileProblem(
            _("Nothing in “{name}” can be read.").format(name=damaged.name),
            _("The file was left as it is."),
            _("Restore a backup; keep the damaged file for somebody who can look at it."),
        )
    if not filled.execute("SELECT count(*) FROM farm").fetchone()[0]:
        from bayround.facts.ids import new_id

        filled.execute(
            "INSERT INTO farm (id, name, invented, currency, revision) VALUES (?, ?, 0, '', 0)",
            (new_id(), damaged.stem),
        )
    filled.execute("UPDATE farm SET revision = revision + 1")
