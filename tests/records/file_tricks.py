"""What tests do to farm files from outside, as a person, a stick or a crash would."""

from __future__ import annotations

import contextlib
import hashlib
import sqlite3
import subprocess
import sys
from pathlib import Path


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def leave_half_done(path: Path) -> None:
    """Make a farm in another process that dies in the middle of a large step."""
    program = """
import os, sys
from pathlib import Path
from bayround.records.check import driver
from bayround.records.farm_file import create_farm
store = create_farm(Path(sys.argv[1]), "Hill farm")
with store.writing() as connection:
    raw = driver(connection)
    raw.execute("PRAGMA cache_size = 1")
    raw.executemany("INSERT INTO person VALUES (?, ?, 'scout', NULL, 1)", [(str(n), "x" * 2000) for n in range(500)])
    os.kill(os.getpid(), 9)
"""
    done = subprocess.run([sys.executable, "-c", program, str(path)], check=False)
    assert done.returncode == -9


def sql(path: Path, *statements: str) -> None:
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


def overwrite(path: Path, start: int, content: bytes) -> None:
    with path.open("rb+") as stream:
        stream.seek(start)
        stream.write(content)
