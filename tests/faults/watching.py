"""What the watched disk is told, and the faults that are put into it."""

from __future__ import annotations

import errno
from collections.abc import Callable

import apsw
from disk import Disk

_INSIDE = {
    "make": apsw.SQLITE_CANTOPEN,
    "read": apsw.SQLITE_IOERR_READ,
    "write": apsw.SQLITE_IOERR_WRITE,
    "cut": apsw.SQLITE_IOERR_TRUNCATE,
    "sync": apsw.SQLITE_IOERR_FSYNC,
    "remove": apsw.SQLITE_IOERR_DELETE,
}


class Watch:
    """What is recorded and what fails.

    Attributes:
        disk: the list of what was done.
        before: called with each operation's name and file before it is done; an OSError from it makes it
            fail, in SQLite's hands as SQLite would hear of it.
        syncs: false turns every sync off, SQLite's and the program's own.
        failed: (operation, whether it was SQLite's own) of each that was made to fail.
    """

    def __init__(self, before: Callable[[str, str], None] | None = None, syncs: bool = True) -> None:
        self.disk = Disk()
        self.syncs = syncs
        self.before = before or (lambda _operation, _name: None)
        self.failed: list[tuple[str, bool]] = []

    def fail(self, operation: str, name: str | None) -> None:
        """A fault of the disk as the program hears of it."""
        if name is not None:
            try:
                self.before(operation, name)
            except OSError:
                self.failed.append((operation, False))
                raise

    def fail_inside(self, operation: str, name: str | None) -> None:
        """A fault of the disk as SQLite hears of it."""
        if name is None:
            return
        try:
            self.before(operation, name)
        except OSError as error:
            self.failed.append((operation, True))
            raise apsw.exception_for(code_inside(operation, error.errno or 0)) from error


def code_inside(operation: str, number: int) -> int:
    """Return the code by which SQLite knows a fault of the system."""
    return apsw.SQLITE_FULL if number == errno.ENOSPC and operation == "write" else _INSIDE[operation]


now = [Watch()]
"""The watch that holds now is the last of these."""
