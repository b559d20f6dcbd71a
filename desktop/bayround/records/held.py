"""What a farm file that is not open holds, and in what two of them differ. Both are only read."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bayround.records import problems, tables
from bayround.records.check import address

COUNTED = ("bay", "visit", "reading", "correction")
_NOT_COMPARED = {"farm"}  # one record that every save changes


@dataclass(frozen=True, slots=True)
class Held:
    """What a farm file holds.

    Attributes:
        revision: how often the farm was written to.
        records: table → records, of `COUNTED`.
        last_round: the day of the newest round.
    """

    farm: str
    revision: int
    records: dict[str, int]
    last_round: date | None


@dataclass(frozen=True, slots=True)
class Difference:
    """In what another file differs from this one.

    Attributes:
        missing, back, other: table → records that only this file has, that only the other one has, and
            that both have with different values. Tables without any are left out.
        unknown: tables that are too damaged to be compared.
    """

    missing: dict[str, int]
    back: dict[str, int]
    other: dict[str, int]
    unknown: tuple[str, ...] = ()


def held(path: Path) -> Held:
    """Return what a closed farm file holds.

    Raises:
        FarmFileProblem: when it can't be read.
    """
    with _damage_told(path), closing(sqlite3.connect(address(path, "ro"), uri=True)) as connection:
        found = connection.execute("SELECT name, revision FROM farm").fetchone()
        if found is None:
            raise ValueError("the farm's own record is missing")
        (newest,) = connection.execute("SELECT max(held_on) FROM round").fetchone()
        records = {name: _count(connection, name) for name in COUNTED}
    return Held(str(found[0]), int(found[1]), records, date.fromisoformat(newest) if newest else None)


@contextmanager
def _damage_told(path: Path) -> Iterator[None]:
    try:
        yield
    except (sqlite3.Error, ValueError) as error:
        raise problems.damaged(path) from error


def _count(connection: sqlite3.Connection, table: str) -> int:
    found: int = connection.execute(f'SELECT count(*) FROM "{table}"').fetchone()[0]
    return found


def difference(here: Path, there: Path) -> Difference:
    """Return in what *there* differs from *here*, table by table, record by record.

    Raises:
        FarmFileProblem: when one of them can't be read.
    """
    found: dict[str, tuple[int, int, int]] = {}
    unknown = []
    with _damage_told(here), closing(sqlite3.connect("file::memory:", uri=True)) as connection:
        for name, path in (("here", here), ("there", there)):
            connection.execute(f"ATTACH ? AS {name}", (address(path, "ro"),))
            connection.execute(f"SELECT count(*) FROM {name}.sqlite_schema").fetchone()
        for table in tables.metadata.sorted_tables:
            try:
                found[table.name] = _difference(connection, table.name)
            except sqlite3.Error:
                unknown.append(table.name)
    missing, back, other = ({name: three[n] for name, three in found.items() if three[n]} for n in range(3))
    return Difference(missing, back, other, tuple(unknown))


def _difference(connection: sqlite3.Connection, table: str) -> tuple[int, int, int]:
    both = _columns(connection, "here", table) & _columns(connection, "there", table)
    if table in _NOT_COMPARED or "id" not in both:
        return 0, 0, 0
    missing = _only_in(connection, "here", "there", table, ("id",))
    changed = _only_in(connection, "here", "there", table, sorted(both))
    return missing, _only_in(connection, "there", "here", table, ("id",)), changed - missing


def _columns(connection: sqlite3.Connection, schema: str, table: str) -> set[str]:
    return {row[1] for row in connection.execute(f'PRAGMA {schema}.table_info("{table}")')}


def _only_in(
    connection: sqlite3.Connection, here: str, there: str, table: str, columns: Iterable[str]
) -> int:
    names = ", ".join(f'"{column}"' for column in columns)
    sql = f'SELECT {names} FROM {here}."{table}" EXCEPT SELECT {names} FROM {there}."{table}"'
    found: int = connection.execute(f"SELECT count(*) FROM ({sql})").fetchone()[0]
    return found
