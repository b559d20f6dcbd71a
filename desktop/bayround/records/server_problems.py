"""What a PostgreSQL server complained of, in words a person can act on. Decided by code, not by text."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy.exc import DBAPIError

from bayround.facts.problems import FarmFileProblem, Problem, Refused
from bayround.words import _

_BUSY = {"55P03", "57014", "40P01", "40001"}
_FULL = {"53100", "53200"}
_DAMAGED = {"XX001", "XX002"}


def lost(name: str) -> FarmFileProblem:
    """The connection broke, or the server is down."""
    return FarmFileProblem(
        _("The server of “{name}” does not answer just now.").format(name=name),
        _("Everything saved before is still there; the last step was not saved."),
        _("Go on: what is typed in the window is tried again. If it lasts, check the network."),
    )


def not_known_whether_saved(name: str) -> FarmFileProblem:
    """The connection broke while a step was being saved, and nobody could be asked what became of it."""
    return FarmFileProblem(
        _("The server of “{name}” went away while a step was being saved.").format(name=name),
        _("Everything saved before is still there; whether the last step was saved is not known."),
        _("Look whether it is there before you do it again. What is typed in the window is tried again."),
    )


def not_let_in(name: str, why: str) -> FarmFileProblem:
    """The server can't be reached, or does not let this person in; *why* is the driver's own line."""
    return FarmFileProblem(
        _("“{name}” can't be opened: {why}").format(name=name, why=why),
        _("Nothing was changed."),
        _("Check address, name and network. “bayround password ADDRESS” keeps a password in the keyring."),
    )


def may_not() -> Refused:
    """The person's role on the server has no right to do this."""
    return Refused(
        _("Your role on the server may not do this."),
        _("Nothing was changed."),
        _("Ask whoever looks after the server, or a person whose role may."),
    )


def busy(name: str) -> FarmFileProblem:
    """Somebody else's long step holds the farm."""
    return FarmFileProblem(
        _("“{name}” is busy with a long step of somebody else.").format(name=name),
        _("Everything saved before is still there; the last step was not saved."),
        _("Wait a moment, then do it again."),
    )


def _full(name: str) -> FarmFileProblem:
    return FarmFileProblem(
        _("The server of “{name}” has no room left.").format(name=name),
        _("Everything saved before is still there; the last step was not saved."),
        _("Tell whoever looks after the server, then do the last step again."),
    )


def _damaged(name: str) -> FarmFileProblem:
    return FarmFileProblem(
        _("The database of “{name}” is damaged.").format(name=name),
        _("Nothing was changed."),
        _("Stop keying in and have the server looked at; restore its last good backup."),
    )


def of_server(error: Any, name: str, *, disconnected: bool) -> Problem | None:
    """Return the problem behind an error of psycopg, or nothing when it is a fault of the program."""
    code = getattr(error, "sqlstate", None) or ""
    rule = getattr(getattr(error, "diag", None), "constraint_name", None) or ""
    if code == "23514":
        return Refused(
            _("A value can't be right ({rule}).").format(rule=rule),
            _("Nothing was changed."),
            _("Correct it and save again."),
        )
    if code == "23505":
        return Refused(
            _("There is such a record already ({where}).").format(where=rule), _("Nothing was changed.")
        )
    if code == "42501":
        return may_not()
    if code in _BUSY:
        return busy(name)
    if code in _FULL:
        return _full(name)
    if code in _DAMAGED:
        return _damaged(name)
    if disconnected or code[:2] in {"08", "57"} or code == "25P03":
        return lost(name)
    if code == "53300":
        return not_let_in(name, first_line(error))
    return None


def first_line(error: BaseException) -> str:
    """Return what the driver says, without what follows (it never holds a password)."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    return lines[0].removeprefix("connection failed: ") if lines else type(error).__name__


@contextmanager
def in_words(name: str, *, at_work: bool = False) -> Iterator[None]:
    """Turn errors of the server into problems; anything else passes as it is.

    Args:
        at_work: the farm was open already, so that a connection that can't be made is one that was lost.
    """
    import psycopg

    try:
        yield
    except DBAPIError as error:
        problem = of_server(error.orig, name, disconnected=error.connection_invalidated)
        if problem is None and isinstance(error.orig, psycopg.OperationalError):
            problem = _of_connecting(error.orig, name, at_work)
        if problem is None:
            raise
        raise problem from error
    except psycopg.Error as error:
        problem = of_server(error, name, disconnected=False)
        if problem is None and isinstance(error, psycopg.OperationalError):
            problem = _of_connecting(error, name, at_work)
        if problem is None:
            raise
        raise problem from error


def _of_connecting(error: BaseException, name: str, at_work: bool) -> FarmFileProblem:
    """A connection that could not be made carries no code; the server's own line says why."""
    if at_work:
        return lost(name)
    return not_let_in(name, first_line(error))
