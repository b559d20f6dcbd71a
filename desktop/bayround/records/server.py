"""A farm on a PostgreSQL server: the same store over psycopg, for several people at once.

Every writing transaction begins by counting the farm's revision up; that takes the lock of the farm's
one row, so writers go one after another, never in a circle, and each sees all that was saved before.
Readers see one moment (REPEATABLE READ) and wait for nobody.

A connection that broke is made anew with the next transaction. When it breaks while a step is being
saved, the server itself is asked afterwards whether that step was kept.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, func, select, text
from sqlalchemy.exc import DBAPIError

from bayround import places
from bayround.facts.problems import FarmFileProblem, Problem
from bayround.facts.server_address import ServerAddress
from bayround.records import server_login, server_problems, server_schema, tables
from bayround.records.store import Store
from bayround.words import _

_ASK_AGAIN_FOR_S = 8.0
_COUNT_UP = "UPDATE farm SET revision = revision + 1 RETURNING pg_current_xact_id()::text"


class ServerStore(Store):
    """An open farm on a server. *path* is no file: its folder is where files of this farm are put."""

    def __init__(self, engine: Engine, address: ServerAddress, *, read_only: bool) -> None:
        super().__init__(engine, local_path(address), read_only=read_only, when_closed=lambda: None)
        self.address = address
        self._step_id = ""

    @property
    def place(self) -> ServerAddress:
        """The address of the farm."""
        return self.address

    @property
    def name(self) -> str:
        """The address in short."""
        return short_name(self.address)

    @property
    def shared(self) -> bool:
        """Others may write too."""
        return True

    def _read_only_problem(self) -> FarmFileProblem:
        return FarmFileProblem(
            _(
                "“{name}” can only be read: you opened it so, or your role on the server allows no more."
            ).format(name=self.name),
            _("Nothing was changed."),
            _("Ask whoever looks after the server for a role that may write."),
        )

    def _count_up(self, connection: Connection) -> None:
        self._step_id = str(connection.execute(text(_COUNT_UP)).scalar_one())

    @contextmanager
    def _transaction(self, *, writes: bool) -> Iterator[Connection]:
        with (
            self._my_turn(),
            server_problems.in_words(self.name, at_work=True),
            self._engine.connect() as plain,
        ):
            connection = plain.execution_options(
                isolation_level="READ COMMITTED" if writes else "REPEATABLE READ",
                postgresql_readonly=not writes,
            )
            step = connection.begin()
            try:
                yield connection
            except BaseException:
                step.rollback()
                raise
            try:
                step.commit()
            except DBAPIError as error:
                if not (writes and error.connection_invalidated):
                    raise
                self._find_out_whether_saved(error)

    def _find_out_whether_saved(self, error: DBAPIError) -> None:
        """Ask the server what became of the step whose saving was cut off.

        Raises:
            FarmFileProblem: unless it was kept.
        """
        answer = _ask_until(time.monotonic() + _ASK_AGAIN_FOR_S, self._fate_of_step)
        if answer == "committed":
            return
        if answer == "aborted":
            raise server_problems.lost(self.name) from error
        raise server_problems.not_known_whether_saved(self.name) from error

    def _fate_of_step(self) -> str | None:
        """Return "committed", "aborted", or nothing while nobody can tell."""
        try:
            with self._engine.connect() as connection:
                query = text("SELECT pg_xact_status(CAST(:step AS xid8))")
                found = connection.execute(query, {"step": self._step_id}).scalar()
        except (DBAPIError, server_login.driver_module().Error, Problem):
            return None
        return str(found) if found in {"committed", "aborted"} else None


def _ask_until(end: float, ask: Callable[[], str | None]) -> str | None:
    while (answer := ask()) is None and time.monotonic() < end:
        time.sleep(0.2)
    return answer


def open_server_farm(address: ServerAddress, *, read_only: bool = False) -> ServerStore:
    """Open the farm on a server. A role that may only read gets a store that can only be read.

    Tables of an earlier version are brought up to date first, all steps or none, by their owner alone.

    Raises:
        FarmFileProblem: when psycopg is missing, the server can't be reached or does not let us in,
            the database holds no farm, or one of another version that can't be brought up to date now.
    """
    engine = engine_for(address)
    name = short_name(address)
    try:
        with server_problems.in_words(name):
            _bring_up_to_date(engine, name, read_only)
            may_write = not read_only and _may_write(engine)
        engine.dispose()
        return ServerStore(engine_for(address, at_work=True), address, read_only=not may_write)
    finally:
        engine.dispose()


def _bring_up_to_date(engine: Engine, name: str, read_only: bool) -> None:
    with engine.connect() as connection, connection.begin():
        version = server_schema.version_of(connection)
        if version is None:
            raise no_farm_there(name)
        if version > tables.SCHEMA_VERSION:
            raise _too_new(name)
        if version == tables.SCHEMA_VERSION:
            if connection.execute(select(func.count()).select_from(tables.farm)).scalar_one() != 1:
                raise no_farm_there(name)
            return
        owner = text("SELECT tableowner = current_user FROM pg_tables WHERE tablename = 'farm'")
        if read_only or not connection.execute(owner).scalar():
            raise FarmFileProblem(
                _("“{name}” was made by an older Bayround.").format(name=name),
                _("It was left as it is."),
                _(
                    "Let the owner of its tables back it up (pg_dump) and open it once; that brings it up to date."
                ),
            )
        server_schema.run_steps(connection, name)


def _may_write(engine: Engine) -> bool:
    """Tell whether this role may count the farm's revision up: every writing step begins with that."""
    with engine.connect() as connection:
        right = text("SELECT has_column_privilege('farm', 'revision', 'UPDATE')")
        return bool(connection.execute(right).scalar())


def no_farm_there(name: str) -> FarmFileProblem:
    """The database is there and holds no farm."""
    return FarmFileProblem(
        _("The database of “{name}” holds no farm.").format(name=name),
        _("It was left as it is."),
        _("Put a farm there with: bayround move FILE ADDRESS."),
    )


def _too_new(name: str) -> FarmFileProblem:
    return FarmFileProblem(
        _("“{name}” was made by a newer Bayround.").format(name=name),
        _("It was left as it is."),
        _("Install the newer Bayround on this computer."),
    )


def engine_for(address: ServerAddress, *, at_work: bool = False) -> Engine:
    """Return an engine with one connection, made anew when it broke.

    Args:
        at_work: hold, with every connection, the lock that keeps the tables from being changed meanwhile.
    """
    server_login.driver_module()
    name = short_name(address)

    def connect() -> Any:
        raw = server_login.connect(address)
        if at_work:
            try:
                _go_to_work(raw, name)
            except BaseException:
                raw.close()
                raise
        return raw

    return create_engine(
        "postgresql+psycopg://", creator=connect, pool_size=1, max_overflow=0, pool_pre_ping=True,
        hide_parameters=True,
    )  # fmt: skip


def _go_to_work(raw: Any, name: str) -> None:
    """Share the lock of everybody at work and see that the tables are still of this version."""
    (free,) = raw.execute("SELECT pg_try_advisory_lock_shared(%s)", (server_schema.AT_WORK,)).fetchone()
    (version,) = raw.execute("SELECT version_num FROM alembic_version").fetchone() if free else ("0",)
    raw.commit()
    if not free:
        raise server_problems.busy(name)
    if int(version) > tables.SCHEMA_VERSION:
        raise _too_new(name)


def short_name(address: ServerAddress) -> str:
    """Return database and server, as they are shown to people."""
    host = _("this computer") if address.is_here else address.host
    return _("{database} on {server}").format(database=address.database, server=host)


def local_path(address: ServerAddress) -> Path:
    """Return the name of the farm file that a farm on a server would be on this computer."""
    host = "here" if address.is_here else address.host
    folder = re.sub(r"[^\w.-]+", "_", f"{host} {address.port or 5432} {address.database}")
    file = re.sub(r"[^\w.-]+", "_", address.database).strip(".") or "farm"
    return places.server_farm_dir(folder) / f"{file}.bayround"
