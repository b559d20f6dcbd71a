"""A farm file: made whole or not at all, opened only when it is what it should be.

The settings of the connection are those of the design: a rollback journal and every sync that SQLite
knows, so that the file is whole between saves and no acknowledged save is lost at a power cut.

One connection a store (`StaticPool`), for as long as the store is open: settings are made once, the
schema is parsed once, and no second descriptor of the live file is opened and closed again, which
would drop this process's locks on it (sqlite.org, "How To Corrupt An SQLite Database File", 2.2).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, Engine, StaticPool, create_engine, event, insert, update
from sqlalchemy.exc import DBAPIError

from bayround import places
from bayround.facts.farm import FarmInfo
from bayround.facts.ids import new_id
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.records import check, looking, placing, problems, tables
from bayround.records.backup import back_up
from bayround.records.codec import row_of
from bayround.records.lock import WriterLock, left_by_a_crash
from bayround.records.store import WRITES, Store
from bayround.words import _

_LOOKED_THROUGH_BYTES = 32 * 2**20
"""Larger files of one's own are looked through, value by value, by “bayround check” and when they are merged:
0.17 s of processor time for 200,000 readings (measured) is too long at every start after ten years."""
_BUSY_SECONDS = 5.0  # a reader beside the writer is done in far less
_SETTINGS = ("foreign_keys = ON", "trusted_schema = OFF", "cell_size_check = ON", "mmap_size = 0")
_WRITER_SETTINGS = ("journal_mode = DELETE", "synchronous = EXTRA")
_READER_SETTINGS = ("query_only = ON",)


def create_farm(path: Path, name: str, *, invented: bool = False, currency: str = "") -> Store:
    """Make a farm file and open it for writing. It appears under its name only when it is whole.

    Raises:
        Refused: when the farm has no name.
        FarmFileProblem: when there is such a file already, or it can't be made there.
    """
    if not name.strip():
        raise Refused(_("The farm needs a name."))
    path = path.resolve()
    if not path.parent.is_dir():
        raise FarmFileProblem(
            _("There is no folder “{folder}”.").format(folder=path.parent), to_do=_("Choose another folder.")
        )
    farm = FarmInfo(new_id(), name.strip(), invented, currency)
    with ExitStack() as undo:
        lock = WriterLock(path)
        undo.callback(lock.release)
        with problems.disk_in_words(path):
            _make(path, farm)
        undo.pop_all()
    return _open(path, lock)


def _make(path: Path, farm: FarmInfo) -> None:
    if path.exists():
        raise problems.already_there(path)
    placing.set_aside(path)  # the journal of a farm file that was taken away would spoil the new one
    unfinished = placing.unfinished(path.parent)
    try:
        _fill(unfinished, farm)
        placing.sync_file(unfinished)
        placing.place(unfinished, path)
    except FileExistsError:
        raise problems.already_there(path) from None
    finally:
        placing.discard(unfinished)


def _fill(path: Path, farm: FarmInfo) -> None:
    with empty_file(path) as connection:
        connection.execute(insert(tables.farm).values(row_of(farm)))


@contextmanager
def empty_file(path: Path) -> Iterator[Connection]:
    """Make a file with empty tables and hand over the transaction that fills them; all or nothing."""
    engine = _engine(path, "rwc")
    try:
        with _step(engine) as connection:
            tables.metadata.create_all(connection, checkfirst=False)
            tables.version_table.create(connection)
            connection.execute(
                insert(tables.version_table).values(version_num=f"{tables.SCHEMA_VERSION:04d}")
            )
            connection.exec_driver_sql(f"PRAGMA application_id = {tables.APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version = {tables.SCHEMA_VERSION}")
            yield connection
    finally:
        engine.dispose()


def open_farm(path: Path, *, read_only: bool = False) -> Store:
    """Open a farm file; for writing, nobody else may have it open for writing.

    A file that is refused is left byte for byte as it was. A file of an earlier version is upgraded
    first, in one step, after a verified backup; a read-only store never upgrades and never writes.

    Raises:
        FarmFileProblem: when there is no such file, it is no farm file, it is damaged, it was written
            by a newer version, it is open elsewhere, or its folder can't be written to.
    """
    path = path.resolve()
    with problems.disk_in_words(path):
        size = path.stat().st_size
    if path.is_dir() or size == 0:
        raise problems.not_a_farm_file(path)
    thorough = not check.is_large(path) or left_by_a_crash(path)
    return _open(path, None if read_only else WriterLock(path), thorough=thorough)


def _open(path: Path, lock: WriterLock | None, *, thorough: bool = True) -> Store:
    with ExitStack() as undo:
        if lock:
            undo.callback(lock.release)
        version = looking.version_of(path, alone=lock is not None)
        engine = _engine(path, "rw" if lock else "ro")
        store = Store(engine, path, read_only=lock is None, when_closed=undo.pop_all().close)
        undo.callback(store.close)
        _refuse_what_is_unsound(store, thorough=thorough)
        if version < tables.SCHEMA_VERSION:
            _refuse_other_tables(store, version)
            _upgrade(store, engine)
        _refuse_other_tables(store, tables.SCHEMA_VERSION)
        if lock:
            _refuse_what_cannot_be_written(store, engine)
        undo.pop_all()
        return store


def _refuse_what_is_unsound(store: Store, *, thorough: bool) -> None:
    with _misfits_as_damage(store.path), store.reading() as connection:
        raw = check.driver(connection)
        if strangers := check.foreign_objects(raw):
            raise FarmFileProblem(
                _("“{name}” holds parts that Bayround did not make: {parts}.").format(
                    name=store.path.name, parts=", ".join(strangers[:5])
                ),
                _("The file was left as it is."),
                _("Restore a backup from before somebody changed the file with another program."),
            )
        if check.damage(raw, at_most=1, indexes=thorough, can_write=not store.read_only):
            raise problems.damaged(store.path)


def _refuse_other_tables(store: Store, version: int) -> None:
    """Refuse a file whose tables are not those of its version, or that is not of exactly one farm."""
    with _misfits_as_damage(store.path), store.reading() as connection:
        raw = check.driver(connection)
        if check.missing_columns(raw, version) or check.too_early(raw, version):
            raise problems.damaged(store.path)
        if raw.execute("SELECT count(*) FROM farm").fetchone() != (1,):
            raise problems.damaged(store.path)
        if check.step_of(raw) != f"{version:04d}":
            raise problems.damaged(store.path)
        is_small = store.read_only or store.path.stat().st_size < _LOOKED_THROUGH_BYTES
        if version == tables.SCHEMA_VERSION and is_small and check.wrong_types(raw):
            raise problems.damaged(store.path)


@contextmanager
def _misfits_as_damage(path: Path) -> Iterator[None]:
    """While a file is being judged, a question that it can't answer is its fault and not the program's."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        raise problems.damaged(path) from error


def _refuse_what_cannot_be_written(store: Store, engine: Engine) -> None:
    """Try a step and take it back: the file must allow it, and the folder a journal beside it."""
    with problems.database_in_words(store.path), engine.connect() as plain:
        connection = plain.execution_options(**{WRITES: True})
        with connection.begin() as step:
            connection.execute(update(tables.farm).values(revision=tables.farm.c.revision))
            step.rollback()


@contextmanager
def _step(engine: Engine) -> Iterator[Connection]:
    """One transaction that may write, outside a store."""
    with engine.connect() as plain:
        connection = plain.execution_options(**{WRITES: True})
        with connection.begin():
            yield connection


def _upgrade(store: Store, engine: Engine) -> None:
    """Bring a file to this version: a verified backup first, then all steps in one transaction."""
    if store.read_only:
        raise FarmFileProblem(
            _("“{name}” was written by an older Bayround.").format(name=store.path.name),
            _("The file was left as it is."),
            _("Open it once in the window of Bayround; that brings it up to date."),
        )
    from bayround.records.upgrades.run import run_steps  # Alembic is slow to import and seldom needed

    kept = back_up(store, places.backups_dir(store.path), datetime.now(UTC))
    with (
        problems.database_in_words(store.path),
        _without_reference_checks(engine),
        _step(engine) as connection,
    ):
        run_steps(connection)
        connection.exec_driver_sql(f"PRAGMA user_version = {tables.SCHEMA_VERSION}")
        if found := check.damage(check.driver(connection), at_most=1):
            raise FarmFileProblem(
                _("“{name}” could not be brought up to date: {why}").format(
                    name=store.path.name, why=found[0]
                ),
                _("The file is as it was; a backup is “{backup}”.").format(backup=kept.name),
                _("Go on with the older Bayround, and have the file looked at."),
            )


@contextmanager
def _without_reference_checks(engine: Engine) -> Iterator[None]:
    """Steps that rebuild a table need them off; they are checked as a whole before the commit."""
    _set_reference_checks(engine, "OFF")
    try:
        yield
    finally:
        _set_reference_checks(engine, "ON")


def _set_reference_checks(engine: Engine, state: str) -> None:
    with engine.connect() as connection:
        check.driver(connection).execute(f"PRAGMA foreign_keys = {state}")


def _engine(path: Path, mode: str) -> Engine:
    settings = (*_SETTINGS, *(_READER_SETTINGS if mode == "ro" else _WRITER_SETTINGS))

    def connect() -> sqlite3.Connection:
        raw = sqlite3.connect(
            check.address(path, mode),
            uri=True,
            timeout=_BUSY_SECONDS,
            isolation_level=None,  # the driver begins nothing by itself, so that schema steps roll back too
            check_same_thread=False,  # one thread at a time (Store), but not always the same one
        )
        try:
            for setting in settings:
                raw.execute(f"PRAGMA {setting}")
        except BaseException:
            raw.close()
            raise
        return raw

    engine = create_engine("sqlite+pysqlite://", creator=connect, poolclass=StaticPool)
    event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
