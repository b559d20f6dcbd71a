"""The program's own storage, unchanged, on a SQLite whose disk can be watched and made to fail.

Python's `sqlite3` lets nobody in between SQLite and the disk; `apsw` (its own SQLite, 3.54) does. While
`watched` holds, `sqlite3.connect` hands out connections of apsw in `sqlite3`'s clothes, and the few calls
by which `records.placing` names files are watched as well. So the jobs that run are those of the
program, statement for statement and sync for sync; only the library underneath is a newer one.
"""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import apsw
import apsw.ext
from disk import Disk

_VFS = "watched"
_INSIDE = {
    "make": apsw.SQLITE_CANTOPEN,
    "read": apsw.SQLITE_IOERR_READ,
    "write": apsw.SQLITE_IOERR_WRITE,
    "cut": apsw.SQLITE_IOERR_TRUNCATE,
    "sync": apsw.SQLITE_IOERR_FSYNC,
    "remove": apsw.SQLITE_IOERR_DELETE,
}
_KINDS: tuple[tuple[type[Exception], type[Exception]], ...] = (
    (apsw.ConstraintError, sqlite3.IntegrityError),
    (apsw.CorruptError, sqlite3.DatabaseError),
    (apsw.NotADBError, sqlite3.DatabaseError),
)


class Watch:
    """What is recorded and what fails.

    Attributes:
        disk: the list of what was done.
        before: called with each operation's name and file before it is done; an OSError from it makes it
            fail, in SQLite's hands as SQLite would hear of it.
        syncs: false turns every sync off, SQLite's and the program's own.
    """

    def __init__(self, before: Callable[[str, str], None] | None = None, syncs: bool = True) -> None:
        self.disk = Disk()
        self.syncs = syncs
        self.before = before or (lambda _operation, _name: None)


_watch = Watch()


class _File(apsw.VFSFile):
    def __init__(self, name: Any, flags: list[int]) -> None:
        self.path = name.filename() if isinstance(name, apsw.URIFilename) else name
        if self.path is not None:
            new = not os.path.exists(self.path)
            if new:
                _fail_inside("make", self.path)
        super().__init__("unix", name, flags)
        self._number = _watch.disk.number(self.path) if self.path is not None else -1

    def xRead(self, amount: int, offset: int) -> bytes:
        _fail_inside("read", self.path)
        return super().xRead(amount, offset)

    def xWrite(self, data: bytes, offset: int) -> None:
        _fail_inside("write", self.path)
        super().xWrite(data, offset)
        _watch.disk.note("write", self._number, offset, bytes(data))

    def xTruncate(self, size: int) -> None:
        _fail_inside("cut", self.path)
        super().xTruncate(size)
        _watch.disk.note("cut", self._number, size)

    def xSync(self, flags: int) -> None:
        _fail_inside("sync", self.path)
        super().xSync(flags)
        _watch.disk.note("sync", self._number)


class _Vfs(apsw.VFS):
    def __init__(self) -> None:
        super().__init__(_VFS, "unix")

    def xOpen(self, name: Any, flags: list[int]) -> _File:
        return _File(name, flags)

    def xDelete(self, name: str, sync: bool) -> None:
        _fail_inside("remove", name)
        super().xDelete(name, sync)
        _watch.disk.remove(name, bool(sync))


def _fail(operation: str, name: str | None) -> None:
    if name is not None:
        _watch.before(operation, name)


def _fail_inside(operation: str, name: str | None) -> None:
    """A fault of the disk as SQLite hears of it."""
    try:
        _fail(operation, name)
    except OSError as error:
        full = error.errno == errno.ENOSPC and operation == "write"
        code = apsw.SQLITE_FULL if full else _INSIDE[operation]
        raise apsw.exception_for(code) from error


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
        self._described: dict[str, Any] = {}
        if not _watch.syncs:
            self.execute("PRAGMA synchronous = OFF")

    def described(self, sql: str) -> Any:
        if not sql.lstrip().upper().startswith(("SELECT", "PRAGMA", "WITH")):
            return None
        if sql not in self._described:
            known = apsw.ext.query_info(self.raw, sql).description
            self._described[sql] = tuple((name, *(None,) * 6) for name, _kind in known) or None
        return self._described[sql]

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
            with target.raw.backup("main", self.raw, "main") as copying:
                while not copying.done:
                    copying.step(-1)
        except apsw.Error as error:
            raise _as_sqlite3(error) from error

    def create_function(self, *_given: Any, **_named: Any) -> None:
        return None

    def close(self) -> None:
        self.raw.close(True)
        super().close()


def _connect(address: Any, **settings: Any) -> Connection:
    return Connection(str(address), **settings)


@contextmanager
def watched(watch: Watch) -> Iterator[Disk]:
    """While this holds, storage works on the watched disk; what was there before is safe on it."""
    global _watch
    before, _watch = _watch, watch
    vfs = _Vfs()
    instead = {(sqlite3, "connect"): _connect, **_calls_of_the_system(watch.disk)}
    own = {place: getattr(*place) for place in instead}
    for (owner, name), call in instead.items():
        setattr(owner, name, call)
    try:
        yield watch.disk
    finally:
        for (owner, name), call in own.items():
            setattr(owner, name, call)
        vfs.unregister()
        _watch = before


def _calls_of_the_system(disk: Disk) -> dict[tuple[Any, str], Callable[..., None]]:
    """Return the few calls by which files are named, copied, synced and removed, each one watched."""
    own_link, own_rename, own_fsync, own_replace = os.link, os.rename, os.fsync, os.replace
    own_copy, own_unlink = shutil.copyfile, Path.unlink

    def link(source: Any, target: Any) -> None:
        _fail("link", str(target))
        own_link(source, target)
        disk.link(str(source), str(target))

    def rename(source: Any, target: Any) -> None:
        _fail("rename", str(target))
        own_rename(source, target)
        disk.rename(str(source), str(target))

    def replace(source: Any, target: Any) -> None:
        _fail("rename", str(target))
        own_replace(source, target)
        if str(source) in disk.names:
            disk.rename(str(source), str(target))

    def fsync(handle: int) -> None:
        name = os.readlink(f"/proc/self/fd/{handle}")
        _fail("sync", name)
        own_fsync(handle)
        if _watch.syncs:
            disk.note(*(("folder", name) if os.path.isdir(name) else ("sync", disk.number(name))))

    def copyfile(source: Any, target: Any) -> Any:
        _fail("write", str(target))
        made = own_copy(source, target)
        disk.note("write", disk.number(str(target)), 0, Path(target).read_bytes())
        return made

    def unlink(path: Path, missing_ok: bool = False) -> None:
        _fail("remove", str(path))
        own_unlink(path, missing_ok)
        disk.remove(str(path), False)

    return {
        (os, "link"): link, (os, "rename"): rename, (os, "replace"): replace, (os, "fsync"): fsync,
        (shutil, "copyfile"): copyfile, (Path, "unlink"): unlink,
    }  # fmt: skip
