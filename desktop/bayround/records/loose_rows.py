"""Records of a damaged farm file whose way down from the root of their table is gone, and those that are lost."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from sqlalchemy import Table

from bayround.facts.ids import LENGTHS
from bayround.records import tables
from bayround.records.check import UNREADABLE
from bayround.records.history import REMOVED
from bayround.records.pages import PageFile, Row, Tree

_KEY = re.compile("|".join(f".{{{length}}}" for length in LENGTHS))
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_MOMENT = re.compile(rf"{_DAY.pattern} \d\d:\d\d:\d\d(\.\d+)?")
_ANYTHING = re.compile(r".*", re.DOTALL)
_KINDS: dict[str, tuple[type, ...]] = {
    "TEXT": (str,), "INTEGER": (int,), "BOOLEAN": (int,), "FLOAT": (float, int),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Column:
    """A column as the damaged file declares it; *value* stands in records that are older than the column."""

    name: str
    kind: tuple[type, ...]
    form: re.Pattern[str]
    needed: bool
    value: Any


@dataclass
class LooseRows:
    """The pages of a damaged file, and what its first page says about its tables.

    Attributes:
        file: the copy that is read.
        connection: the same copy, open in SQLite.
        new: the whole farm file of today that is being filled: its tables are looked at when those of the copy
            can't be read, and its history for what was taken out.
    """

    file: PageFile
    connection: sqlite3.Connection
    new: sqlite3.Connection
    _columns: dict[str, tuple[_Column, ...]] = field(default_factory=dict)

    @cached_property
    def _roots(self) -> dict[str, int]:
        """Table, or the table of an index of keys with ``#`` before it → its first page."""
        found: dict[str, int] = {}
        with suppress(*UNREADABLE):
            for name, kind, table, root in self.connection.execute(
                "SELECT name, type, tbl_name, rootpage FROM sqlite_schema WHERE type IN ('table', 'index')"
            ):
                if kind == "table":
                    found[name] = root
                elif name == f"sqlite_autoindex_{table}_1":  # SQLite's own, for the primary key
                    found[f"#{table}"] = root
        return found

    @cached_property
    def _trees(self) -> dict[str, Tree]:
        return {name: self.file.tree(root) for name, root in self._roots.items()}

    @cached_property
    def _strays(self) -> list[tuple[Row, list[Table]]]:
        """The records on leaves to which no table leads any more, and the tables whose shape they have."""
        led_to = {leaf for tree in self._trees.values() for leaf in tree.leaves}
        rows = (
            row for leaf in sorted(self.file.table_leaves() - led_to) for _id, row in self.file.rows(leaf)
        )
        known = tables.metadata.sorted_tables
        shaped = (
            (row, [table for table in known if _fits(row, self._columns_of(table.name))]) for row in rows
        )
        return [(row, shaped_so) for row, shaped_so in shaped if shaped_so]

    def rows_of(self, table: str, columns: Sequence[str]) -> Iterator[Row]:
        """Yield the records on the pages to which a table leads, with the wanted columns in their order."""
        for leaf in self._trees.get(table, Tree((), ())).leaves:
            for _rowid, row in self.file.rows(leaf):
                yield self.in_order(row, table, columns)

    def strays(self, hidden: Collection[str], parents: Mapping[str, set[str]]) -> Iterator[tuple[str, Row]]:
        """Yield (table, record as stored) of those astray that can be of one table only.

        First the history, which tells what was taken out on purpose and is to stay out (a free page may still hold
        it); then those whose shape only one table has; then, again and again, those that refer to records of one
        table's parents only, which may have come to light by then.

        Args:
            hidden: the tables of which the damage hides a part; the others lack nothing.
            parents: table → keys of its records; what is yielded is to be added to it, and to *new*, meanwhile.
        """
        name = tables.correction.name
        for row, shaped_so in self._strays if name in hidden else ():
            if shaped_so == [tables.correction]:
                yield name, row
        taken_out = self.new.execute("SELECT row_id FROM correction WHERE field = ?", (REMOVED,))
        removed = {key for (key,) in taken_out}
        left = []
        for row, shaped_so in self._strays:
            if shaped_so == [tables.correction] or str(row[0]) in removed:
                continue
            if len(shaped_so) == 1:
                if shaped_so[0].name in hidden:
                    yield shaped_so[0].name, row
            else:
                left.append((row, shaped_so))
        found = True
        while found:
            found, still = False, []
            for row, shaped_so in left:
                able = [table.name for table in shaped_so if self._refers_well(row, table, parents)]
                if len(able) == 1:
                    found = True
                    if able[0] in hidden:
                        yield able[0], row
                else:
                    still.append((row, shaped_so))
            left = still

    def in_order(self, row: Row, table: str, columns: Sequence[str]) -> Row:
        """Return the wanted columns of a record as stored; one older than the last columns has what they hold then."""
        own = self._columns_of(table)
        whole = (*row, *(column.value for column in own[len(row) :]))
        names = [column.name for column in own]
        return tuple(whole[names.index(name)] for name in columns)

    def keys_of(self, table: str) -> tuple[set[str], bool]:
        """Return the keys of records that there were, as the table's index knows them, and whether it is whole."""
        tree = self._trees.get(f"#{table}", Tree((), ()))
        found: set[str] = set()
        told = 0
        for page in (*tree.leaves, *tree.inside):
            told += self.file.told(page)
            for entry in self.file.entries(page):
                if len(entry) == 2 and isinstance(entry[0], str) and len(entry[0]) in LENGTHS:
                    found.add(entry[0])
        return found, tree.whole and len(found) == told

    def _columns_of(self, table: str) -> tuple[_Column, ...]:
        if table not in self._columns:
            told = self._told_of(self.connection, table) or self._told_of(self.new, table)
            self._columns[table] = tuple(
                _Column(
                    name,
                    _KINDS.get(kind, (str,)),
                    _form(name, kind),
                    bool(needed or key),
                    self._default(default),
                )
                for _place, name, kind, needed, default, key in told
            )
        return self._columns[table]

    def _told_of(self, connection: sqlite3.Connection, table: str) -> list[Any]:
        if connection is self.connection and not self._roots:
            return []
        with suppress(*UNREADABLE):
            return connection.execute(f'PRAGMA table_info("{table}")').fetchall()
        return []

    def _default(self, written: str | None) -> Any:
        if written is None:
            return None
        with suppress(*UNREADABLE):
            return self.new.execute(f"SELECT {written}").fetchone()[0]
        return None

    def _refers_well(self, row: Row, table: Table, parents: Mapping[str, set[str]]) -> bool:
        names = [column.name for column in self._columns_of(table.name)]
        for key in table.foreign_keys:
            value = row[names.index(key.parent.name)] if key.parent.name in names[: len(row)] else None
            if value is not None and value not in parents.get(key.column.table.name, set()):
                return False
        return True


def _form(name: str, kind: str) -> re.Pattern[str]:
    """Return what the text of a column's values looks like."""
    if name == "id" or name.endswith("_id"):
        return _KEY
    return {"DATE": _DAY, "DATETIME": _MOMENT}.get(kind, _ANYTHING)


def _fits(row: Row, own: tuple[_Column, ...]) -> bool:
    if (
        not own
        or len(row) > len(own)
        or any(column.needed and column.value is None for column in own[len(row) :])
    ):
        return False
    for value, column in zip(row, own):
        if value is None and column.needed:
            return False
        if value is not None and not (isinstance(value, column.kind) and column.form.fullmatch(str(value))):
            return False
    return True
