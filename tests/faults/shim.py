"""The program's own storage, unchanged, on a SQLite whose disk can be watched and made to fail.

Python's `sqlite3` lets nobody in between SQLite and the disk; `apsw` (its own SQLite, 3.54) does. While
`watched` holds, `sqlite3.connect` hands out connections of apsw in `sqlite3`'s clothes, and the few calls
by which `records.placing` names files are watched as well. So the jobs that run are those of the
program, statement for statement and sync for sync; only the library underneath is a newer one.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Any

import apsw
import apsw.ext
import watching
from disk import Disk
from system_calls import watched_calls
from watching import Watch

_VFS = "watched"
_KINDS: tuple[tuple[type[Exception], type[Exception]], ...] = (
    (apsw.ConstraintError, sqlite3.IntegrityError),
    (apsw.CorruptError, sqlite3.DatabaseError),
    (apsw.NotADBError, sqlite3.DatabaseError),
)


_described: dict[str, Any] = {}  # the columns that a statement gives, of any connection


class _File(apsw.VFSFile):
    def __init__(self, name: Any, flags: list[int]) -> None:
        self.path = name.filename() if isinstance(name, apsw.URIFilename) else name
        if self.path is not None:
            new = not os.path.exists(self.path)
            if new:
                watching.now[-1].fail_inside("make", self.path)
        super().__init__("unix", name, flags)
        self._number = watching.now[-1].disk.number(self.path) if self.path is not None else -1

    def xRead(self, amount: int, offset: int) -> bytes:
        watching.now[-1].fail_inside("read", self.path)
        return super().xRead(amount, offset)

    def xWrite(self, data: bytes, offset: int) -> None:
        watching.now[-1].fail_inside("write", self.path)
        super().xWrite(data, offset)
        watching.now[-1].disk.note("write", self._number, offset, bytes(data))

    def xTruncate(self, size: int) -> None:
        watching.now[-1].fail_inside("cut", self.path)
        super().xTruncate(size)
        watching.now[-1].disk.note("cut", self._number, size)

    def xSync(self, flags: int) -> None:
        watching.now[-1].fail_inside("sync", self.path)
        super().xSync(flags)
        watching.now[-1].disk.note("sync", self._number)


class _Vfs(apsw.VFS):
    def __init__(self) -> None:
        super().__init__(_VFS, "unix")

    def xOpen(self, name: Any, flags: list[int]) -> _File:
        return _File(name, flags)

    def xDelete(self, name: str, sync: bool) -> None:
        watching.now[-1].fail_inside("remove", name)
        super().xDelete(name, sync)
        watching.now[-1].disk.remove(name, bool(sync))


def _as_sqlite3(error: apsw.Error) -> sqlite3.Error:
    kind = next((known for own, known in _KINDS if isinstance(error, own)), sqlite3.OperationalError)
    told = kind(str(error))
    told.sqlite_errorcode = getattr(error, "extendedresult", 1)  # type: ignore[attr-defined]
    return told  # type: ignore[return-value]


class _Cursor:
    arraysize = 1
    lastrowid = None

    def __init__(self, connection: Connection) -> None:
        self.connection, self._next = connection, 0
        self._rows: list[Any] = []
        self.description: Any = None
        self.rowcount = -1

    def execute(self, sql: str, parameters: Any = ()) -> _Cursor:
        raw = self.connection.raw
        try:
            before = raw.total_changes()
            cursor = raw.execute(sql, tuple(parameters) if not isinstance(parameters, dict) else parameters)
            self._rows, self._next = cursor.fetchall(), 0
            self.description = self.connection.described(sql)
            self.rowcount = raw.changes() if raw.total_changes() != before else (-1 if self._rows else 0)
        except apsw.Error as error:
            raise _as_sqlite3(error) from error
        return self

    def executemany(self, sql: str, several: Sequence[Any]) -> _Cursor:
        for parameters in several:
            self.execute(sql, parameters)
        return self

    def fetchone(self) -> Any:
        if self._next >= len(self._rows):
            return None
        self._next += 1
        return self._rows[self._next - 1]

    def fetchmany(self, size: int = 1) -> list[Any]:
        found = self._rows[self._next : self._next + size]
        self._next += len(found)
        return found

    def fetchall(self) -> list[Any]:
        return self.fetchmany(len(self._rows))

    def __iter__(self) -> Iterator[Any]:
        return iter(self.fetchall())

    def close(self) -> None:
        self._rows = []


class Connection(sqlite3.Connection):
    """A connection of apsw that answers as one of `sqlite3` does."""

    def __init__(self, address: str, **settings: Any) -> None:
        super().__init__(":memory:", check_same_thread=False)
        flags = apsw.SQLITE_OPEN_URI | apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_CREATE
        try:
            self.raw = apsw.Connection(address, flags=flags, vfs=_VFS)
        except apsw.Error as error:
            super().close()
            raise _as_sqlite3(error) from error
        self.raw.set_busy_timeout(int(settings.get("timeout", 5.0) * 1000))
        if not watching.now[-1].syncs:
            self.execute("PRAGMA synchronous = OFF")

    def described(self, sql: str) -> Any:
        if not sql.lstrip().upper().startswith(("SELECT", "PRAGMA", "WITH")):
            return None
        if sql not in _described or "*" in sql:
            known = apsw.ext.query_info(self.raw, sql).description
            _described[sql] = tuple((name, *(None,) * 6) for name, _kind in known) or None
        return _described[sql]

    def cursor(self, *_kind: Any) -> Any:
        return _Cursor(self)

    def execute(self, sql: str, parameters: Any = ()) -> Any:
        return _Cursor(self).execute(sql, parameters)

    def executemany(self, sql: str, several: Any) -> Any:
        return _Cursor(self).executemany(sql, several)

    def commit(self) -> None:
        if self.raw.in_transaction:
            self.execute("COMMIT")

    def rollback(self) -> None:
        if self.raw.in_transaction:
            self.execute("ROLLBACK")

    def backup(self, target: Any, **_settings: Any) -> None:
        try:
            copying = target.raw.backup("main", self.raw, "main")
            try:
                while not copying.done:
                    copying.step(-1)
            finally:
                copying.close(True)  # its end tells of a fault once more
        except apsw.Error as error:
            raise _as_sqlite3(error) from error

    def create_function(self, *_given: Any, **_named: Any) -> None:
        return None

    def close(self) -> None:
        with suppress(apsw.Error):  # `sqlite3` does not tell either
            self.raw.close(True)
        super().close()


def _connect(address: Any, **settings: Any) -> Connection:
    return Connection(str(address), **settings)


@contextmanager
def watched(watch: Watch) -> Iterator[Disk]:
    """While this holds, storage works on the watched disk; what was there before is safe on it."""
    watching.now.append(watch)
    vfs = _Vfs()
    instead = {(sqlite3, "connect"): _connect, **watched_calls(watch.disk)}
    missing = object()
    own = {place: place[0].__dict__.get(place[1], missing) for place in instead}
    for (owner, name), call in instead.items():
        setattr(owner, name, call)
    try:
        yield watch.disk
    finally:
        for (owner, name), call in own.items():
            if call is missing:
                delattr(owner, name)
            else:
                setattr(owner, name, call)
        vfs.unregister()
        watching.now.pop()
