"""The address of a farm on a database server. It never holds a password."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from urllib.parse import parse_qsl, unquote, urlencode, urlsplit

from bayround.facts.problems import Refused
from bayround.words import _

_BEGINNINGS = ("postgresql://", "postgres://")
_SETTINGS = ("host", "port", "sslmode", "sslrootcert", "sslcert", "sslkey")
"""What may stand after the question mark (names of libpq's connection parameters)."""


@dataclass(frozen=True, slots=True)
class ServerAddress:
    """Where a farm is on a PostgreSQL server, and as whom to knock.

    Attributes:
        database: name of the database that holds the farm.
        host: name of the server, or the folder of its socket; empty: this computer.
        port: nothing: the usual one. user: empty: the name of the account on this computer.
        settings: further connection parameters, in order, like ("sslmode", "verify-full").
    """

    database: str
    host: str = ""
    port: int | None = None
    user: str = ""
    settings: tuple[tuple[str, str], ...] = ()

    def __str__(self) -> str:
        at = f"{self.user}@" if self.user else ""
        port = f":{self.port}" if self.port is not None else ""
        pairs = [*self.settings]
        host = self.host
        if host.startswith("/"):
            pairs, host = [("host", host), *pairs], ""
        if ":" in host:
            host = f"[{host}]"
        query = f"?{urlencode(pairs, safe='/')}" if pairs else ""
        return f"postgresql://{at}{host}{port}/{self.database}{query}"

    @property
    def is_here(self) -> bool:
        """Whether the server is on this computer, so that nothing goes over a network."""
        return self.host in {"", "localhost", "127.0.0.1", "::1"} or self.host.startswith("/")


FarmPlace = Path | ServerAddress
"""Where a farm is kept: in a file, or on a server."""


def is_server_address(text: str) -> bool:
    """Tell whether a text is meant as the address of a server."""
    return text.strip().casefold().startswith(_BEGINNINGS)


def read_place(text: str) -> FarmPlace:
    """Read a farm file's path (``~`` is the home folder) or a server's address.

    Raises:
        Refused: as `read_address`.
    """
    return read_address(text) if is_server_address(text) else Path(text).expanduser()


def read_address(text: str) -> ServerAddress:
    """Read ``postgresql://name@server:port/database?sslmode=verify-full``.

    Raises:
        Refused: when it holds a password, or can't be read; the words never repeat the address.
    """
    try:
        parts = urlsplit(text.strip())
        port, password, host = parts.port, parts.password, parts.hostname or ""
    except ValueError:
        raise _cannot_be_read(_("its port or its host is none")) from None
    pairs = parse_qsl(parts.query, keep_blank_values=True)
    if password or any("pass" in name.casefold() for name, _value in pairs):
        raise Refused(
            _("The address of the server holds a password; other people on this computer can read it there."),
            _("Nothing was opened. Change that password if the address was kept anywhere."),
            _(
                "Leave it out: “bayround password ADDRESS” keeps it in the system's keyring; libpq's PGPASSFILE works too."
            ),
        )
    database = unquote(parts.path.lstrip("/"))
    if not database or "/" in database:
        raise _cannot_be_read(_("it names no database"))
    for name, _value in pairs:
        if name not in _SETTINGS:
            raise _cannot_be_read(_("“{name}” is no setting for it").format(name=name))
    given = dict(pairs)
    host = given.pop("host", host)
    written = given.pop("port", "")
    if written and not written.isdecimal():
        raise _cannot_be_read(_("its port or its host is none"))
    return ServerAddress(
        database,
        unquote(host),
        int(written) if written else port,
        unquote(parts.username or ""),
        tuple(given.items()),
    )


def _cannot_be_read(why: str) -> Refused:
    return Refused(
        _("The address of the server can't be read: {why}.").format(why=why),
        _("Nothing was opened."),
        _("Write it like postgresql://name@server/database."),
    )
