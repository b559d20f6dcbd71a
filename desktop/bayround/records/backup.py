"""Verified copies of a farm file, and the way back.

A copy counts only after it was synced, opened again, checked and compared; then it gets its name. (Of very large
files, indexes and the rules of the tables are searched before a backup is restored, not when it is made: indexes
can be made anew, and the rules were looked at when the farm was opened and at every change since.) The
name says farm, moment (UTC), revision and the head of the corrections, so that a file can be chosen,
and a history that was cut short be noticed, without opening anything.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, select

from bayround.facts.problems import FarmFileProblem
from bayround.records import placing, problems, tables
from bayround.records.check import address, damage, driver, is_large_inside, seen_through
from bayround.records.history import head_of
from bayround.records.lock import WriterLock
from bayround.records.store import Store
from bayround.words import _

SUFFIX = ".bayround"
_MOMENT = "%Y-%m-%dT%H-%M-%SZ"
_NAME = re.compile(
    r"(?P<farm>.+) (?P<moment>\d{4}-\d\d-\d\dT\d\d-\d\d-\d\dZ) r(?P<revision>\d+)"
    r" c(?P<corrections>\d+)(-(?P<head>[0-9a-f]{8}))?( copy \d+)?",
    re.ASCII,
)
_LONGEST_FARM_NAME = 40


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup as its name tells it; newest is largest *made_at*."""

    path: Path
    farm: str
    made_at: datetime
    revision: int
    corrections: int
    head: str = ""


def back_up(store: Store, folder: Path, at: datetime) -> Path:
    """Make a verified copy of an open farm in *folder* (made if need be) and return its path.

    Args:
        at: the moment for the name, with a time zone.

    Raises:
        FarmFileProblem: when no sound copy could be made; the farm itself is untouched.
    """
    with problems.disk_in_words(folder):
        folder.mkdir(parents=True, exist_ok=True)
        with _being_made(folder) as copy:
            name = _copy_out(store, copy, at)
            return place_backup(copy, folder / name)


@contextmanager
def _being_made(folder: Path) -> Iterator[Path]:
    copy = placing.unfinished(folder)
    try:
        yield copy
    finally:
        placing.discard(copy)


def _copy_out(store: Store, copy: Path, at: datetime) -> str:
    """Write and verify the copy within one reading transaction: what is compared is of one moment."""
    with store.reading() as connection:
        name = name_of(connection, at)
        source = driver(connection)
        expected = _row_counts(source)
        large = is_large_inside(source)
        with closing(sqlite3.connect(address(copy, "rwc"), uri=True)) as target:
            if large:
                target.execute("PRAGMA synchronous = OFF")  # it is synced below, before it gets its name
            source.backup(target)
    if large:
        _sync_and_verify(copy, expected)
    else:
        placing.sync_file(copy)
        verify(copy, expected)
    return name


def _sync_and_verify(copy: Path, expected: dict[str, int]) -> None:
    """Look through a large copy while the disk writes it."""
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(1) as beside:
        synced = beside.submit(placing.sync_file, copy)
        verify(copy, expected, thorough=False)
        synced.result()


def name_of(connection: Connection, at: datetime) -> str:
    """Return the name of a backup of the farm as it stands now."""
    farm, revision = connection.execute(select(tables.farm.c.name, tables.farm.c.revision)).one()
    count, head = head_of(connection)
    moment = at.astimezone(UTC).strftime(_MOMENT)
    chain = f"-{head[:8]}" if head else ""
    return f"{_for_a_file_name(farm)} {moment} r{revision} c{count}{chain}{SUFFIX}"


def place_backup(copy: Path, target: Path) -> Path:
    """Give a finished copy its name, or the next free one."""
    while True:
        try:
            placing.place(copy, target)
        except FileExistsError:
            target = placing.free_name(target, "copy")
        else:
            return target


def verify(copy: Path, expected: dict[str, int] | None = None, *, thorough: bool = True) -> None:
    """Open a closed file again and refuse it unless it is a sound farm file (with so many rows)."""
    with closing(sqlite3.connect(address(copy, "ro"), uri=True)) as again:
        if seen_through(again).application_id != tables.APPLICATION_ID:
            raise problems.not_a_farm_file(copy)
        found = damage(again, indexes=thorough, rules=thorough, can_write=False)
        if found or (expected is not None and _row_counts(again) != expected):
            raise FarmFileProblem(
                _("The copy did not come out whole: {why}").format(
                    why=found[0] if found else _("rows are missing")
                ),
                _("The farm file itself was left as it is."),
                _("Try another disk, and have the farm checked."),
            )


def _row_counts(connection: sqlite3.Connection) -> dict[str, int]:
    listed = connection.execute(
        "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name"
    ).fetchall()
    return {
        name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[
            0
        ]  # names from the schema itself
        for (name,) in listed
    }


def _for_a_file_name(farm: str) -> str:
    kept = "".join(sign if sign.isalnum() or sign in "-_ " else " " for sign in farm)
    return " ".join(kept.split())[:_LONGEST_FARM_NAME].strip() or "farm"


def list_backups(folder: Path) -> tuple[Backup, ...]:
    """Return the backups in *folder*, newest first; other files are passed over."""
    if not folder.is_dir():
        return ()
    with problems.disk_in_words(folder):
        found = [backup for path in folder.iterdir() if (backup := _read_name(path))]
    return tuple(
        sorted(found, key=lambda backup: (backup.made_at, backup.revision, backup.path.name), reverse=True)
    )


def _read_name(path: Path) -> Backup | None:
    parts = _NAME.fullmatch(path.stem)
    if parts is None or path.suffix != SUFFIX or not path.is_file():
        return None
    try:
        moment = datetime.strptime(parts["moment"], _MOMENT).replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(
        path, parts["farm"], moment, int(parts["revision"]), int(parts["corrections"]), parts["head"] or ""
    )


def is_good(path: Path) -> bool:
    """Tell whether a backup is a sound farm file."""
    try:
        verify(path)
    except (FarmFileProblem, sqlite3.Error):
        return False
    return True


def restore(backup: Path, path: Path) -> Path | None:
    """Put a verified copy of *backup* in the place of the farm file *path*, which must be closed.

    Returns:
        Where the earlier file was kept aside; nothing when there was none. The backup stays as it is.

    Raises:
        FarmFileProblem: when the backup is not sound, or the farm is open, or the disk refuses; the
            farm file is then as it was.
    """
    path = path.resolve()
    lock = WriterLock(path)
    try:
        with problems.disk_in_words(path), _being_made(path.parent) as copy:
            copy_sound(backup, copy)
            _undo_half_done(path)
            return placing.put_in_place_of(copy, path)
    finally:
        lock.release()


def copy_sound(backup: Path, copy: Path) -> None:
    """Copy a farm file that nobody need have closed to *copy*, a new file; it is left as it is.

    Raises:
        FarmFileProblem: when it is not there, no farm file, a newer one, or not sound.
    """
    if not backup.is_file():
        raise problems.not_there(backup)
    with problems.disk_in_words(backup):
        with closing(sqlite3.connect(address(backup, "ro"), uri=True)) as source:
            seen = seen_through(source)
            if seen.application_id != tables.APPLICATION_ID:
                raise problems.not_a_farm_file(backup)
            if seen.user_version > tables.SCHEMA_VERSION:
                raise problems.too_new(backup)
            if damage(source, at_most=1, can_write=False):
                raise problems.damaged(backup)
            expected = _row_counts(source)
            with closing(sqlite3.connect(address(copy, "rwc"), uri=True)) as target:
                source.backup(target)
        placing.sync_file(copy)
        verify(copy, expected)


def give_name(finished: Path, target: Path) -> None:
    """Give a closed, finished farm file its name.

    Raises:
        FarmFileProblem: when there is such a file already, or the disk refuses.
    """
    with problems.disk_in_words(target):
        placing.sync_file(finished)
        try:
            placing.place(finished, target)
        except FileExistsError:
            raise problems.already_there(target) from None


def _undo_half_done(path: Path) -> None:
    """Let SQLite undo what a crash left half-done, so that the file kept aside is whole by itself."""
    if not path.is_file() or path.stat().st_size == 0:
        return
    try:
        with closing(sqlite3.connect(address(path, "rw"), uri=True)) as connection:
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    except sqlite3.Error:
        return  # damaged: it goes aside as it is, journal and all
