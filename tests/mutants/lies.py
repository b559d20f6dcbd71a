"""A sound SQLite file that lies: wrong values, missing tables, triggers, views, references to nothing, another farm."""

from __future__ import annotations

import contextlib
import random
import sqlite3
from pathlib import Path

_ODD_VALUES: tuple[object, ...] = (
    None, "", " ", "\0", "\ud7ff", "x" * 100_000, "2026-02-30", "9999-12-31", "0000-00-00", "not a date",
    "2026-10-20T25:61:00", "=1+1", "'; DROP TABLE reading; --", -1, 0, 1, 2**31, -(2**63), 2**63 - 1,
    1e308, -1e308, 5e-324, float("inf"), -0.0, b"", b"\xff\xfe", b"\x00" * 1000,
)  # fmt: skip
_STRUCTURE = (
    'DROP TABLE "{table}"',
    'ALTER TABLE "{table}" RENAME TO "{table} of old"',
    'ALTER TABLE "{table}" RENAME COLUMN "{column}" TO "something"',
    'ALTER TABLE "{table}" ADD COLUMN more TEXT',
    'CREATE TRIGGER "{table} spy" AFTER INSERT ON "{table}" BEGIN DELETE FROM farm; END',
    'CREATE VIEW "{table} view" AS SELECT * FROM "{table}"',
    "CREATE TABLE stranger (id TEXT)",
    'CREATE INDEX "{table} more" ON "{table}" ("{column}")',
    'DELETE FROM "{table}"',
    'INSERT INTO "{table}" SELECT * FROM "{table}"',
    "PRAGMA user_version = {number}",
    "PRAGMA application_id = {number}",
    "UPDATE alembic_version SET version_num = '{number}'",
    "DELETE FROM farm",
    "UPDATE farm SET id = 'another farm'",
    "UPDATE farm SET revision = {number}",
    "UPDATE marked_plant SET replaces_id = id",
    "UPDATE correction SET chain = 'x', sequence = -sequence",
    "UPDATE correction SET before = after",
    "UPDATE visit SET state = CASE state WHEN 'done' THEN 'draft' ELSE 'done' END",
    "UPDATE reading SET marked_plant_id = (SELECT max(id) FROM marked_plant)",
    "PRAGMA journal_mode = WAL",
    "PRAGMA encoding = 'UTF-16le'",
)


def lie(path: Path, chance: random.Random) -> None:
    """Change a farm file through SQLite itself, with every rule switched off."""
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
        full = [name for name in tables if connection.execute(f'SELECT 1 FROM "{name}" LIMIT 1').fetchone()]
        for _time in range(chance.choice((1, 1, 2, 3))):
            with contextlib.suppress(sqlite3.Error):  # a lie that SQLite itself does not take
                if chance.random() < 0.6:
                    _odd_value(connection, chance.choice(full or tables), chance)
                else:
                    _structure(connection, chance.choice(tables), chance)


def _odd_value(connection: sqlite3.Connection, table: str, chance: random.Random) -> None:
    column, value = chance.choice(_columns(connection, table)), chance.choice(_ODD_VALUES)
    which = chance.choice(("", " WHERE rowid = (SELECT min(rowid) FROM {0})", " WHERE rowid % 3 = 0"))
    quoted = f'"{table}"'
    connection.execute(f'UPDATE OR REPLACE {quoted} SET "{column}" = ?' + which.format(quoted), (value,))
    if chance.random() < 0.1:  # the same text as bytes that are none
        connection.execute(
            f"UPDATE {quoted} SET \"{column}\" = CAST(X'41FF42' AS TEXT)" + which.format(quoted)
        )


def _structure(connection: sqlite3.Connection, table: str, chance: random.Random) -> None:
    words = chance.choice(_STRUCTURE)
    number = chance.choice((-1, 0, 1, 2, 3, 99, 2**31 - 1))
    connection.execute(
        words.format(table=table, column=chance.choice(_columns(connection, table)), number=number)
    )


def _columns(connection: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
