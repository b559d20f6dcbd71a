"""A farm file is looked at before it is opened: what it is, and of which version."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from bayround.records import check, problems, tables
from bayround.records.lock import journal


def version_of(path: Path, *, alone: bool) -> int:
    """Return the version of a farm file; what is refused here is left as it is, its journal too.

    A journal beside the file is what a crash left half-done: the file itself may then say anything, until
    SQLite has undone that.
    """
    half_done = alone and journal(path).exists()
    with problems.database_in_words(path):
        try:
            seen = check.look(path)
        except sqlite3.DatabaseError:
            if alone and not half_done:
                raise
            seen = _look_through(path, "rw" if alone else "ro")  # or a writer was at it: wait for its locks
        ours = seen.application_id == tables.APPLICATION_ID and seen.user_version <= tables.SCHEMA_VERSION
        if half_done and ours:
            seen = _look_through(path, "rw")
    if seen.application_id != tables.APPLICATION_ID:
        raise problems.not_a_farm_file(path)
    if seen.user_version > tables.SCHEMA_VERSION:
        raise problems.too_new(path)
    if seen.user_version < 1:
        raise problems.damaged(path)
    return seen.user_version


def _look_through(path: Path, mode: str) -> check.Seen:
    with closing(sqlite3.connect(check.address(path, mode), uri=True)) as connection:
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()  # undoes what is half-done
        return check.seen_through(connection)
