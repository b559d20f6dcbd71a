"""A farm goes to a server, or comes back into a file, without loss: copied, read again, compared fact by fact."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, insert, literal_column, select

from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.server_address import FarmPlace, ServerAddress
from bayround.records import (
    backup,
    check,
    farm_file,
    history,
    placing,
    problems,
    server,
    server_problems,
    server_schema,
    store,
    tables,
)
from bayround.records.codec import KINDS, Kind
from bayround.records.store import Store
from bayround.words import _


def move(source: Store, target: FarmPlace) -> dict[str, int]:
    """Copy an open farm to an empty place of the other kind, and compare all that came there with all there is.

    The source stays as it is.

    Returns:
        How many records of each table were moved.

    Raises:
        Refused: when both are files or both are servers, or somebody wrote to the source meanwhile.
        FarmFileProblem: when there is something at the target already, or it can't be written to;
            nothing is then left there.
    """
    if isinstance(target, ServerAddress) == isinstance(source.place, ServerAddress):
        raise Refused(
            _("A farm is moved from a file to a server, or from a server to a file."),
            _("Nothing was changed."),
            _("To have a second file, copy the closed file, or use “Back up now”."),
        )
    with source.reading() as connection:
        if isinstance(target, ServerAddress):
            with _new_on_server(target) as there:
                moved = _copy(connection, there)
                _refuse_if_written_to(source, connection)
        else:
            with _new_file(target) as made:
                moved = _write_file(connection, made)
                _refuse_if_written_to(source, connection)
    return moved


def _refuse_if_written_to(source: Store, connection: Connection) -> None:
    """A farm file can't change while it is read; on a server others may have gone on."""
    if not isinstance(source, server.ServerStore):
        return
    seen = store.read_revision(connection)
    engine = server.engine_for(source.address)
    try:
        with engine.connect() as beside:
            now = store.read_revision(beside)
    finally:
        engine.dispose()
    if now != seen:
        raise Refused(
            _("Somebody wrote to the farm while it was being moved."),
            _("Nothing was moved; the farm is as it was."),
            _("Let everybody close it, then move it again."),
        )


@contextmanager
def _new_on_server(address: ServerAddress) -> Iterator[Connection]:
    """Make the tables in an empty database and hand over the transaction that fills them; all or nothing."""
    engine = server.engine_for(address)
    name = server.short_name(address)
    try:
        with server_problems.in_words(name), engine.connect() as connection, connection.begin():
            if not server_schema.is_empty(connection):
                raise _not_empty(name)
            server_schema.run_steps(connection, name)
            yield connection
            connection.exec_driver_sql("SET CONSTRAINTS ALL IMMEDIATE")
    finally:
        engine.dispose()


def _not_empty(name: str) -> FarmFileProblem:
    return FarmFileProblem(
        _("The database of “{name}” is not empty.").format(name=name),
        _("It was left as it is."),
        _("Make a new, empty database for the farm, or merge into the farm that is there."),
    )


@contextmanager
def _new_file(path: Path) -> Iterator[Path]:
    """Hand over an unfinished file; it gets its name when it is whole."""
    path = path.resolve()
    if path.exists():
        raise problems.already_there(path)
    with problems.disk_in_words(path):
        made = placing.unfinished(path.parent)
        try:
            yield made
            placing.sync_file(made)
            placing.place(made, path)
        except FileExistsError:
            raise problems.already_there(path) from None
        finally:
            placing.discard(made)


def _write_file(source: Connection, made: Path) -> dict[str, int]:
    """Fill an unfinished farm file with the farm that a connection reads."""
    with farm_file.empty_file(made) as there:
        check.check_references_at_the_end(there)
        return _copy(source, there)


def back_up_server(farm: Store, folder: Path, at: datetime) -> Path:
    """Keep the farm of a server as a verified farm file in *folder*, named as every backup; return its path.

    Raises:
        FarmFileProblem: when it can't be read or written.
    """
    with problems.disk_in_words(folder):
        folder.mkdir(parents=True, exist_ok=True)
        made = placing.unfinished(folder)
        try:
            with farm.reading() as connection:
                _write_file(connection, made)
                name = backup.name_of(connection, at.astimezone(UTC))
            placing.sync_file(made)
            backup.verify(made)
            return backup.place_backup(made, folder / name)
        finally:
            placing.discard(made)


def _copy(source: Connection, target: Connection) -> dict[str, int]:
    """Copy every table, read both again and compare them.

    Raises:
        FarmFileProblem: when a single value came out otherwise.
    """
    moved: dict[str, int] = {}
    for kind in KINDS:
        order: Any = literal_column("rowid" if source.dialect.name == "sqlite" else tables.WRITTEN)
        rows = source.execute(select(*_columns(kind)).order_by(order)).all()
        if rows:
            moved[kind.table.name] = len(rows)
            _write(target, kind.table, rows)
    for kind in KINDS:
        if _all(source, kind) != _all(target, kind):
            raise _came_out_otherwise(kind.table.name)
    if found := history.broken_chain(target):
        raise _came_out_otherwise(found[0])
    return moved


def _write(target: Connection, table: Table, rows: Sequence[Any]) -> None:
    if target.dialect.name == "sqlite":
        target.execute(insert(table), [dict(row._mapping) for row in rows])
        return
    driver: Any = target.connection.driver_connection
    names = ", ".join(f'"{column.name}"' for column in table.c)
    with driver.cursor().copy(f'COPY "{table.name}" ({names}) FROM STDIN') as copy:
        for row in rows:
            copy.write_row(row)


def _columns(kind: Kind[Any]) -> list[Any]:
    return list(kind.table.c)  # with the place in the history, which is no field of a fact


def _all(connection: Connection, kind: Kind[Any]) -> dict[str, tuple[Any, ...]]:
    table: Table = kind.table
    return {row[0]: tuple(row) for row in connection.execute(select(table.c.id, *_columns(kind)))}


def _came_out_otherwise(where: str) -> FarmFileProblem:
    return FarmFileProblem(
        _("The copy is not the same as the farm itself: {where}.").format(where=where),
        _("Nothing was moved; the farm is as it was."),
        _("Check the farm with “bayround check”, then try again."),
    )
