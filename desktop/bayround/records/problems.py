"""What the database or the disk complained of, in words a person can act on. Decided by code, not by text."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from bayround.facts.problems import FarmFileProblem, Problem, Refused
from bayround.words import _

_DISK_FULL = {errno.ENOSPC, errno.EDQUOT}
_NOT_ALLOWED = {errno.EACCES, errno.EPERM, errno.EROFS}


def not_there(path: Path) -> FarmFileProblem:
    """The file or its folder is missing."""
    return FarmFileProblem(
        _("There is no file “{name}” in “{folder}”.").format(name=path.name, folder=path.parent),
        to_do=_("Look for it in another folder, or restore a backup."),
    )


def already_there(path: Path) -> FarmFileProblem:
    """A new file would take the place of another one."""
    return FarmFileProblem(
        _("There is already a file “{name}”.").format(name=path.name),
        _("It was left as it is."),
        _("Choose another name, or open that file."),
    )


def disk_full(path: Path) -> FarmFileProblem:
    """There is no room left."""
    return FarmFileProblem(
        _("The disk with “{name}” is full.").format(name=path.name),
        _("Everything saved before is still there; the last step was not saved."),
        _("Make room on the disk, then do the last step again."),
    )


def not_allowed(path: Path) -> FarmFileProblem:
    """The file or the folder can be read but not written."""
    return FarmFileProblem(
        _("“{name}” or its folder can't be written to.").format(name=path.name),
        _("The file is as it was."),
        _("Copy the file to a folder of your own, or ask for the right to write there."),
    )


def busy(path: Path) -> FarmFileProblem:
    """Another program holds the file just now."""
    return FarmFileProblem(
        _("“{name}” is being used by another program.").format(name=path.name),
        _("Everything saved before is still there; the last step was not saved."),
        _("Wait a moment, then do it again."),
    )


def damaged(path: Path) -> FarmFileProblem:
    """What is in the file does not hang together."""
    return FarmFileProblem(
        _("“{name}” is damaged.").format(name=path.name),
        _("The file was left as it is."),
        _("Restore the last good backup; the damaged file is kept aside."),
    )


def not_a_farm_file(path: Path) -> FarmFileProblem:
    """The file is something else."""
    return FarmFileProblem(
        _("“{name}” is not a farm file.").format(name=path.name),
        _("The file was left as it is."),
        _("Choose a file that Bayround made."),
    )


def too_new(path: Path) -> FarmFileProblem:
    """A later Bayround wrote the file."""
    return FarmFileProblem(
        _("“{name}” was written by a newer Bayround.").format(name=path.name),
        _("The file was left as it is."),
        _("Install the newer Bayround on this computer."),
    )


def disk_fault(path: Path) -> FarmFileProblem:
    """The disk or the stick did not do what it was told."""
    return FarmFileProblem(
        _("The disk with “{name}” could not be read or written.").format(name=path.name),
        _("Everything saved before is still there; the last step was not saved."),
        _("Check that the disk or stick is in place, then open the farm again."),
    )


def cannot_open(path: Path) -> FarmFileProblem:
    """The system would not open the file or the journal beside it."""
    return FarmFileProblem(
        _("“{name}” can't be opened, or no file can be made beside it.").format(name=path.name),
        _("The file was left as it is."),
        _("Check that the file is there, that its disk has room, and that you may write to its folder."),
    )


def left_open(path: Path) -> FarmFileProblem:
    """A crash left a half-done step that has to be undone before reading."""
    return FarmFileProblem(
        _("“{name}” was not closed properly.").format(name=path.name),
        _("Everything saved before is still there."),
        _("Open it once in the window of Bayround; that puts it right."),
    )


def moved_away(path: Path) -> FarmFileProblem:
    """The file was moved or deleted while it was open."""
    return FarmFileProblem(
        _("“{name}” was moved or deleted while it was open.").format(name=path.name),
        _("Everything saved before is in the file that was moved."),
        _(
            "Put the file back and save again; or choose “Back up now”: that writes everything saved into a new file."
        ),
    )


_BY_PRIMARY_CODE: dict[int, Callable[[Path], FarmFileProblem]] = {
    sqlite3.SQLITE_FULL: disk_full,
    sqlite3.SQLITE_READONLY: not_allowed,
    sqlite3.SQLITE_PERM: not_allowed,
    sqlite3.SQLITE_BUSY: busy,
    sqlite3.SQLITE_LOCKED: busy,
    sqlite3.SQLITE_CORRUPT: damaged,
    sqlite3.SQLITE_NOTADB: not_a_farm_file,
    sqlite3.SQLITE_IOERR: disk_fault,
    sqlite3.SQLITE_CANTOPEN: cannot_open,
}
_BY_EXTENDED_CODE: dict[int, Callable[[Path], FarmFileProblem]] = {
    sqlite3.SQLITE_READONLY_ROLLBACK: left_open,
    sqlite3.SQLITE_READONLY_RECOVERY: left_open,
    sqlite3.SQLITE_READONLY_DBMOVED: moved_away,
}


def of_database(error: BaseException | None, path: Path) -> Problem | None:
    """Return the problem behind a database error, or nothing when it is a fault of the program."""
    code = getattr(error, "sqlite_errorcode", None)
    if not isinstance(code, int):
        # Python's own complaint, without a code of SQLite: text in the file that is no text
        return damaged(path) if type(error) is sqlite3.OperationalError else None
    if code == sqlite3.SQLITE_CONSTRAINT_CHECK:
        return Refused(
            _("A value can't be right ({rule}).").format(rule=str(error).rpartition(" ")[2]),
            _("Nothing was changed."),
            _("Correct it and save again."),
        )
    if code == sqlite3.SQLITE_CONSTRAINT_UNIQUE:
        return Refused(
            _("There is such a record already ({where}).").format(where=str(error).rpartition(": ")[2]),
            _("Nothing was changed."),
        )
    words = _BY_EXTENDED_CODE.get(code) or _BY_PRIMARY_CODE.get(code & 0xFF)
    return words(path) if words else None


def of_system(error: OSError, path: Path) -> FarmFileProblem:
    """Return the problem behind an error of the operating system."""
    if error.errno in _DISK_FULL:
        return disk_full(path)
    if error.errno in _NOT_ALLOWED:
        return not_allowed(path)
    if error.errno == errno.ENOENT:
        return not_there(path)
    return disk_fault(path)


@contextmanager
def database_in_words(path: Path) -> Iterator[None]:
    """Turn errors of the database into problems; anything else passes as it is."""
    try:
        yield
    except DBAPIError as error:
        problem = of_database(error.orig, path)
        if problem is None:
            raise
        raise problem from error
    except sqlite3.Error as error:
        problem = of_database(error, path)
        if problem is None:
            raise
        raise problem from error
    except UnicodeDecodeError as error:  # SQLite quotes a damaged name in its complaint
        raise damaged(path) from error


@contextmanager
def disk_in_words(path: Path) -> Iterator[None]:
    """Turn errors of the database and of the operating system into problems."""
    try:
        with database_in_words(path):
            yield
    except OSError as error:
        raise of_system(error, path) from error
