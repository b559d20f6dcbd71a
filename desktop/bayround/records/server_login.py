"""Knocking at a PostgreSQL server: the connection's settings, and where its password comes from.

Passwords come from the system's keyring, or from the password file of libpq (PGPASSFILE). None is ever
put into a file, a log or a command line by this program.
"""

from __future__ import annotations

import getpass
import os
from typing import Any

from bayround.facts.problems import FarmFileProblem, Problem
from bayround.facts.server_address import ServerAddress
from bayround.words import _

_SERVICE = "bayround"
_OPTIONS = (
    "-c timezone=UTC -c search_path=public -c lock_timeout=15s -c statement_timeout=120s"
    " -c idle_in_transaction_session_timeout=120s"
)
_CONNECT_SECONDS = 6


def driver_module() -> Any:
    """Return psycopg.

    Raises:
        FarmFileProblem: when it is not installed.
    """
    try:
        import psycopg
    except ImportError as error:
        raise FarmFileProblem(
            _("For a farm on a server a part is missing: {why}.").format(why=error),
            _("Nothing was changed."),
            _("Install it with: pip install “bayround[server]”."),
        ) from error
    return psycopg


def connect(address: ServerAddress) -> Any:
    """Open a connection of psycopg; the caller turns errors into words.

    Raises:
        psycopg.Error: when the server can't be reached, or does not let us in.
        FarmFileProblem: when psycopg is missing, or a password stands in the environment.
    """
    psycopg = driver_module()
    if os.environ.get("PGPASSWORD"):
        raise FarmFileProblem(
            _("A password stands in the environment (PGPASSWORD), where other programs can read it."),
            _("Nothing was opened."),
            _("Take it out of there; “bayround password ADDRESS” keeps it in the system's keyring."),
        )
    wanted: dict[str, Any] = {
        "dbname": address.database,
        "connect_timeout": _CONNECT_SECONDS,
        "application_name": "bayround",
        "keepalives_idle": 20,
        "keepalives_interval": 5,
        "keepalives_count": 3,
        "options": _OPTIONS,
        "host": address.host or None,
        "port": address.port,
        "user": address.user or None,
        "password": stored_password(address),
        "sslmode": "prefer" if address.is_here else "require",
        **dict(address.settings),
    }
    return psycopg.connect(**{name: value for name, value in wanted.items() if value is not None})


def stored_password(address: ServerAddress) -> str | None:
    """Return the password that the system's keyring has for an address; nothing without a keyring or an entry."""
    try:
        import keyring

        return keyring.get_password(_SERVICE, _entry(address))
    except Exception:  # each system's keyring has errors of its own; libpq's password file is tried then
        return None


def store_password(address: ServerAddress, password: str) -> None:
    """Keep a password in the system's keyring (an empty one takes it out).

    Raises:
        Problem: when this computer has no keyring that can be used.
    """
    try:
        import keyring

        if password:
            keyring.set_password(_SERVICE, _entry(address), password)
        elif keyring.get_password(_SERVICE, _entry(address)) is not None:
            keyring.delete_password(_SERVICE, _entry(address))
    except Exception as error:  # as above
        raise Problem(
            _("The system's keyring can't be used: {why}").format(why=type(error).__name__),
            _("The password was not kept anywhere."),
            _(
                "Install “bayround[server]” and a keyring of the system, or use libpq's password file (PGPASSFILE, only readable by you)."
            ),
        ) from None


def _entry(address: ServerAddress) -> str:
    user = address.user or getpass.getuser()
    return f"{user}@{address.host or 'localhost'}:{address.port or 5432}/{address.database}"
