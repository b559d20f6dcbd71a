"""A damaged file read into a new one, table by table: in SQLite's way as far as that leads, then page by page."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from bayround.facts.ids import LENGTHS
from bayround.records import tables
from bayround.records.check import UNREADABLE, address
from bayround.records.loose_rows import LooseRows
from bayround.records.pages import PageFile

_NO_RECORD = (
    sqlite3.IntegrityError,
    sqlite3.InterfaceError,
    sqlite3.ProgrammingError,
    sqlite3.DataError,
    ValueError,
    OverflowError,
)
"""What breaks a rule of a table or is no record at all; a disk that is full is neither."""


@dataclass(slots=True)
class Salvaged:
    """What a salvage came to.

    Attributes:
        read: table → records read from the damaged file.
        from_backup: table → records that came from the backup instead.
        dropped: table → records that were read but break a rule, or refer to a record that is lost.
        incomplete: tables of which the damage hides a part.
        lost: table → records whose key was still read but which are in the new file neither from the damaged one
            nor from the backup: at least so many are missing.
        known: table → keys that were still read, and whether these are all there were.
    """

    read: dict[str, int] = field(default_factory=dict)
    from_backup: dict[str, int] = field(default_factory=dict)
    dropped: dict[str, int] = field(default_factory=dict)
    incomplete: list[str] = field(default_factory=list)
    lost: dict[str, int] = field(default_factory=dict)
    known: dict[str, tuple[set[str], bool]] = field(default_factory=dict, repr=False)


def take_from(
    source: Path, filled: sqlite3.Connection, found: Salvaged, passed_over: Collection[str] = ()
) -> dict[str, int]:
    """Add every readable record whose key is not there yet; return how many of which table."""
    with closing(sqlite3.connect(address(source, "ro"), uri=True)) as damaged:
        damaged.text_factory = lambda raw: raw.decode("utf-8", "replace")
        reading = _Reading(source, damaged, filled, found, passed_over)
        for table in sorted(tables.metadata.sorted_tables, key=lambda table: table.name != "correction"):
            if columns := _columns_of_both(damaged, filled, table.name):
                reading.take(table.name, columns)
        if found.incomplete:
            for name, row in reading.loose.strays(found.incomplete, reading.known):
                into = reading.into[name]
                into.put(reading.loose.in_order(row, name, into.columns))
        for name in found.incomplete:
            found.known[name] = reading.loose.keys_of(name)
    return {name: into.taken for name, into in reading.into.items() if into.taken}


@dataclass
class _Into:
    """A table of the new file being filled; *known* are the keys of what is in it, *tried* of what was tried."""

    name: str
    columns: list[str]
    filled: sqlite3.Connection
    found: Salvaged
    known: set[str]
    tried: set[str]
    taken: int = 0

    def put(self, row: tuple[Any, ...]) -> None:
        """Add a record unless it is there."""
        from bayround.records.upgrades.version_2 import NEW_VALUES

        key = row[self.columns.index("id")]
        if key in self.tried or len(str(key)) not in LENGTHS:
            return
        self.tried.add(key)
        new = {
            name: value for name, value in NEW_VALUES.get(self.name, {}).items() if name not in self.columns
        }
        names = ", ".join(f'"{column}"' for column in (*self.columns, *new))
        marks = ", ".join("?" * (len(row) + len(new)))
        try:
            self.filled.execute(
                f'INSERT INTO "{self.name}" ({names}) VALUES ({marks})', (*row, *new.values())
            )
        except _NO_RECORD:
            self.found.dropped[self.name] = self.found.dropped.get(self.name, 0) + 1
        else:
            self.known.add(key)
            self.taken += 1


@dataclass
class _Reading:
    """A damaged file being read: in SQLite's way as far as that leads, then page by page."""

    source: Path
    damaged: sqlite3.Connection
    filled: sqlite3.Connection
    found: Salvaged
    passed_over: Collection[str]
    into: dict[str, _Into] = field(default_factory=dict)
    known: dict[str, set[str]] = field(default_factory=dict)

    def take(self, name: str, columns: list[str]) -> None:
        """Take the records of a table that can be read."""
        known = self.known[name] = {key for (key,) in self.filled.execute(f'SELECT id FROM "{name}"')}
        into = self.into[name] = _Into(
            name, columns, self.filled, self.found, known, known.union(self.passed_over)
        )
        for row in self._rows(name, columns):
            into.put(row)

    def _rows(self, name: str, columns: list[str]) -> Iterator[tuple[Any, ...]]:
        wanted = ", ".join(f'"{column}"' for column in columns)
        try:
            yield from self.damaged.execute(f'SELECT {wanted} FROM "{name}" NOT INDEXED ORDER BY rowid')
        except (*UNREADABLE, OverflowError):
            self.found.incomplete.append(name)
            yield from self.loose.rows_of(name, columns)

    @cached_property
    def loose(self) -> LooseRows:
        """The pages of the file, read when they are needed."""
        return LooseRows(PageFile(self.source), self.damaged, self.filled)


def _columns_of_both(damaged: sqlite3.Connection, filled: sqlite3.Connection, table: str) -> list[str]:
    here = [row[1] for row in filled.execute(f'PRAGMA table_info("{table}")')]
    try:
        there = {row[1] for row in damaged.execute(f'PRAGMA table_info("{table}")')}
    except UNREADABLE:  # nothing says what tables there are: they are taken to be those of today
        return here
    return [name for name in here if name in there] if "id" in there else []
