"""What is wrong inside a farm file, in words. Also how a SQLite file is looked at without touching it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from sqlalchemy import CheckConstraint, Column, Connection, MetaData, Table
from sqlalchemy.dialects.sqlite import dialect

from bayround.records import server_schema, tables
from bayround.records.history import broken_chain
from bayround.records.rules import broken_rules
from bayround.records.store import Store
from bayround.words import _

LARGEST = 1e12  # no number that a person keys in comes near; beyond it sums overflow
_MOMENT = "????-??-?? ??:??:??.[0-9][0-9][0-9][0-9][0-9][0-9]"
AT_MOST = 100  # findings of one kind; more would not be read
LARGE_BYTES = 64 * 2**20  # years of a large farm: larger files are searched without their indexes, day to day
UNREADABLE = (sqlite3.Error, UnicodeDecodeError)
"""What comes of a question to a damaged file: SQLite quotes damaged words in its complaint, which Python can't read."""
_KINDS_KEPT = {"TEXT": "text", "INTEGER": "integer", "BOOLEAN": "integer", "FLOAT": "real"}  # else text


class Seen(NamedTuple):
    """The two numbers in the head of a SQLite file that are left to the program that made it."""

    application_id: int
    user_version: int


def address(path: Path, mode: str) -> str:
    """Return the address of a file for SQLite; *mode* is ``ro``, ``rw``, ``rwc`` or ``ro&immutable=1``."""
    return f"{path.absolute().as_uri()}?mode={mode}"


def look(path: Path) -> Seen:
    """Read the head of a file: no lock is taken, no journal rolled back, no file made beside it.

    Raises:
        sqlite3.Error: when it is no SQLite file, or is damaged, or can't be opened.
    """
    connection = sqlite3.connect(address(path, "ro&immutable=1"), uri=True)
    try:
        return seen_through(connection)
    finally:
        connection.close()


def is_farm_file(path: Path) -> bool:
    """Tell whether the head of a file says that Bayround made it, whatever state the rest is in."""
    try:
        return look(path).application_id == tables.APPLICATION_ID
    except sqlite3.Error:
        return False


def is_large(path: Path) -> bool:
    """Tell whether a file is so large that searching its indexes every day would keep people waiting."""
    return path.stat().st_size > LARGE_BYTES


def is_large_inside(connection: sqlite3.Connection) -> bool:
    """Tell the same of a file that is open; its name may be gone."""
    pages, size = (connection.execute(f"PRAGMA {what}").fetchone()[0] for what in ("page_count", "page_size"))
    return int(pages) * int(size) > LARGE_BYTES


def seen_through(connection: sqlite3.Connection) -> Seen:
    """Read the two numbers through an open connection."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    return Seen(application, version)


def driver(connection: Connection) -> sqlite3.Connection:
    """Return SQLite's own connection inside SQLAlchemy's."""
    found = connection.connection.driver_connection
    assert isinstance(found, sqlite3.Connection)
    return found


def damage(
    connection: sqlite3.Connection,
    at_most: int = AT_MOST,
    *,
    indexes: bool = True,
    rules: bool = True,
    can_write: bool = True,
) -> list[str]:
    """Return what SQLite itself finds wrong: pages, indexes, rules of the tables, references.

    Without *indexes* it is not searched whether each index agrees with its table (sqlite.org, PRAGMA quick_check),
    which is the slow part: more than half of the time for ten years of a large farm. The file is then read by three
    connections of its own at once, so it must not be in the middle of a change; without *rules* no value is looked
    at. Where the connection *can_write*, SQLite looks at the rules of the tables by itself, otherwise not.

    Raises:
        sqlite3.Error: when the damage stops the search itself.
    """
    from concurrent.futures import ThreadPoolExecutor

    if indexes:
        broken = [] if can_write else _broken_rules_of_tables(connection, at_most)
        return [*_damaged_pages(connection, "integrity_check", at_most), *broken,
                *_lost_references(connection, at_most)]  # fmt: skip
    path = _path_of(connection)
    with ThreadPoolExecutor(2) as beside:  # each takes half a second; SQLite works without Python's lock
        questions = [_broken_rules_of_tables, _lost_references][0 if rules else 1 :]
        others = [beside.submit(_asked_apart, path, question, at_most) for question in questions]
        pages = _asked_apart(path, _damaged_pages, "quick_check", at_most)
        return [*pages, *(line for other in others for line in other.result())]


def _broken_rules_of_tables(connection: sqlite3.Connection, at_most: int) -> list[str]:
    """Return the tables with a row that breaks a rule of the table.

    SQLite forgets the rules of a file that is opened for reading only (measured, 3.40.1). Where it looks at them, a
    list of three words or more is built anew for every row: 1.2 s for a million readings, here 0.5 s for all rules.
    """
    found: list[str] = []
    version = seen_through(connection).user_version
    if missing_columns(connection, version):
        return []  # there is nothing to ask; whoever opens it refuses it for that
    for table in _metadata_of(version).sorted_tables:
        broken = _any_rule_broken(table)
        if (
            broken
            and connection.execute(f'SELECT 1 FROM "{table.name}" NOT INDEXED WHERE {broken}').fetchone()
        ):
            found.append(
                _("Damage in the file: {what}").format(what=f"CHECK constraint failed in {table.name}")
            )
    return found[:at_most]


@cache
def _any_rule_broken(table: Table) -> str:
    """Return the condition under which a row breaks a rule of its table; nothing when there is no rule."""
    rules = [rule for rule in table.constraints if isinstance(rule, CheckConstraint)]
    told = (rule.sqltext.compile(dialect=dialect(), compile_kwargs={"literal_binds": True}) for rule in rules)
    return " OR ".join(sorted(f"NOT ({rule})" for rule in told))


def _damaged_pages(connection: sqlite3.Connection, pragma: str, at_most: int) -> list[str]:
    pages = connection.execute(f"PRAGMA {pragma}({at_most})").fetchall()
    return [_("Damage in the file: {what}").format(what=row[0]) for row in pages if row[0] != "ok"]


def _lost_references(connection: sqlite3.Connection, at_most: int) -> list[str]:
    lost = connection.execute("PRAGMA foreign_key_check").fetchmany(at_most)
    return [
        _("“{table}”, line {row}, refers to a record in “{points_at}” that is not there.").format(
            table=table, row=row, points_at=points_at
        )
        for table, row, points_at, _number in lost
    ]


def _asked_apart(path: Path, question: Callable[..., list[str]], *arguments: Any) -> list[str]:
    """Ask a file through a connection of its own that can't write."""
    with closing(sqlite3.connect(address(path, "ro"), uri=True)) as connection:
        connection.execute("PRAGMA cell_size_check = ON")
        return question(connection, *arguments)


def _path_of(connection: sqlite3.Connection) -> Path:
    return Path(connection.execute("PRAGMA database_list").fetchone()[2])


def foreign_objects(connection: sqlite3.Connection) -> list[str]:
    """Return triggers, views and virtual tables; the program makes none, so somebody else put them there."""
    rows = connection.execute(
        "SELECT name FROM sqlite_schema WHERE type IN ('trigger', 'view') OR sql LIKE 'CREATE VIRTUAL%'"
    )
    return [str(name) for (name,) in rows]


def check_references_at_the_end(connection: Connection) -> None:
    """Let references be judged at the end of the running transaction, not row by row."""
    on_server = connection.dialect.name != "sqlite"
    connection.exec_driver_sql(
        "SET CONSTRAINTS ALL DEFERRED" if on_server else "PRAGMA defer_foreign_keys = ON"
    )


def first_damage(connection: Connection) -> list[str]:
    """Return the first thing that is wrong with what is kept; a server's own references are judged here."""
    if connection.dialect.name == "sqlite":
        return damage(driver(connection), at_most=1)
    connection.exec_driver_sql("SET CONSTRAINTS ALL IMMEDIATE")
    return []


def _metadata_of(version: int) -> MetaData:
    if version == 1:
        from bayround.records.upgrades import version_1

        return version_1.metadata
    return tables.metadata


def too_early(connection: sqlite3.Connection, version: int) -> list[str]:
    """Return tables that an upgrade from *version* has still to make, and that are there already."""
    rows = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
    own, later = _metadata_of(version).tables, tables.metadata.tables
    return [str(name) for (name,) in rows if name in later and name not in own]


def step_of(connection: sqlite3.Connection) -> object:
    """Return the step of the upgrades at which the file says it stands; nothing when it says none or several."""
    rows = connection.execute("SELECT version_num FROM alembic_version").fetchall()
    return rows[0][0] if len(rows) == 1 else None


def missing_columns(connection: sqlite3.Connection, version: int = tables.SCHEMA_VERSION) -> list[str]:
    """Return the columns, as ``table.column``, that a file of a version should have and has not."""
    rows = connection.execute(
        "SELECT s.name, c.name FROM sqlite_schema AS s JOIN pragma_table_info(s.name) AS c"
        " WHERE s.type = 'table'"
    )
    there = {(table, column) for table, column in rows}
    known = _metadata_of(version).sorted_tables
    needed = [(table.name, column.name) for table in known for column in table.c]
    return [f"{table}.{column}" for table, column in needed if (table, column) not in there]


def wrong_types(connection: sqlite3.Connection) -> list[str]:
    """Return, in words, the tables in which a value is not of its column's type (SQLite lets anything in)."""
    found = []
    for table in tables.metadata.sorted_tables:
        (count,) = connection.execute(_count_of_wrong_types(table)).fetchone()
        if count:
            found.append(_("“{table}” holds values of a wrong type.").format(table=table.name))
    return found


def _wrong(column: Column[Any]) -> str:
    """Return the condition under which a value can't be read as what its column holds."""
    kind, name = str(column.type), f'"{column.name}"'
    if kind == "FLOAT":  # SQLite holds numbers to be less than text, and text less than bytes
        return f"{name} NOT BETWEEN -{LARGEST} AND {LARGEST}"
    if _KINDS_KEPT.get(kind) == "text":
        return f"{name} < '' OR {name} >= X''"
    wrong = f"typeof({name}) NOT IN ('{_KINDS_KEPT.get(kind, 'text')}', 'null')"
    if kind == "DATE":
        return f"{wrong} OR date({name}) IS NOT {name}"
    if kind == "DATETIME":
        return (
            f"{wrong} OR datetime({name}) IS NOT substr({name}, 1, 19)"
            f" OR ({name} IS NOT NULL AND {name} NOT GLOB '{_MOMENT}')"
        )
    return wrong


@cache
def _count_of_wrong_types(table: Table) -> str:
    wrong = " OR ".join(wrong_values(table))
    return f'SELECT count(*) FROM (SELECT 1 FROM "{table.name}" WHERE {wrong} LIMIT 1)'


def wrong_values(table: Table) -> list[str]:
    """Return, for each column, the condition under which its value can't be read as what the column holds."""
    return [_wrong(column) for column in table.c]


def check(store: Store) -> tuple[str, ...]:
    """Go through the whole farm file: the file itself, the history of corrections, what can't be true.

    Returns:
        What was found, in words; nothing when all is well.

    Raises:
        FarmFileProblem: when the file is so damaged that it can't be read.
    """
    with store.reading() as connection:
        findings = _of_the_tables(connection)
        if not findings:  # the rest needs a file that can be read
            findings = [*broken_chain(connection), *broken_rules(connection)]
    return tuple(findings)


def _of_the_tables(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return server_schema.findings(connection)
    raw = driver(connection)
    return damage(raw) + wrong_types(raw)
