"""How a finished file gets its name: synced first, never over another file, whole or not at all."""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from pathlib import Path

from bayround.facts.ids import new_id

UNFINISHED = ".bayround-unfinished-"  # files that start so were never finished and may be thrown away
SIDE_FILES = ("-journal", "-wal", "-shm")  # what SQLite keeps beside a file while it writes


def unfinished(folder: Path) -> Path:
    """Return a name in *folder* for a file that is still being made."""
    return folder / f"{UNFINISHED}{new_id()}"


def discard(path: Path) -> None:
    """Remove an unfinished file and what SQLite left beside it.

    One that the disk does not let go stays under its unfinished name: what came of the step is not to be
    hidden by a complaint about what it left behind.
    """
    for name in (path.name, *(path.name + ending for ending in SIDE_FILES)):
        with suppress(OSError):
            path.with_name(name).unlink(missing_ok=True)


def discard_folder(folder: Path) -> None:
    """Remove what was made beside an unfinished file."""
    if folder.name.startswith(UNFINISHED):
        shutil.rmtree(folder, ignore_errors=True)


def sync_file(path: Path) -> None:
    """Wait until the disk has the content of a closed file."""
    with path.open("rb+") as stream:
        os.fsync(stream.fileno())


def sync_folder(folder: Path) -> None:
    """Wait until the disk has the names in *folder* (Windows does that by itself)."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def place(finished: Path, name: Path) -> None:
    """Give a finished, closed file its name.

    Raises:
        FileExistsError: when there is such a file already; it is left as it is.
        OSError: when the disk refuses.
    """
    try:
        os.link(finished, name)
    except FileExistsError:
        raise
    except OSError:  # sticks formatted for cameras and phones know no second name of a file
        if name.exists():
            raise FileExistsError(name) from None
        os.rename(finished, name)
    else:
        discard(finished)  # its other name is of no use any more
    sync_folder(name.parent)


def put_in_place_of(finished: Path, name: Path) -> Path | None:
    """Let a finished, closed file take the place of another one, which keeps a second name.

    At no moment is there no whole file under *name*, unless a journal lies beside it that SQLite could
    not use: then the earlier file goes aside with its journal first.

    Returns:
        Where the earlier file is now; nothing when there was none.

    Raises:
        OSError: when the disk refuses; the earlier file is then where it was, or under the name that the
            error tells.
    """
    if not name.exists() or any(name.with_name(name.name + ending).exists() for ending in SIDE_FILES):
        return _move_aside_and_place(finished, name)
    aside = free_name(name, "kept aside")
    _second_name(name, aside)
    try:
        sync_folder(name.parent)
        os.replace(finished, name)
    except OSError:
        aside.unlink(missing_ok=True)  # nothing happened: the file needs no second name
        raise
    sync_folder(name.parent)
    return aside


def _second_name(name: Path, other: Path) -> None:
    try:
        os.link(name, other)
    except OSError:  # a stick that knows no second name of a file
        shutil.copyfile(name, other)
        sync_file(other)


def _move_aside_and_place(finished: Path, name: Path) -> Path | None:
    aside = set_aside(name)
    try:
        place(finished, name)
    except BaseException:
        put_back(aside, name)
        raise
    return aside


def free_name(path: Path, addition: str) -> Path:
    """Return the first of ``stem addition 1``, ``stem addition 2`` … that is not taken."""
    count = 1
    while (found := path.with_name(f"{path.stem} {addition} {count}{path.suffix}")).exists():
        count += 1
    return found


def set_aside(path: Path) -> Path | None:
    """Rename a file, with what belongs to it, to ``… kept aside 1``; nothing is ever lost.

    A journal is copied first and removed last: at no moment does the file stand without it.

    Returns:
        The new name, or nothing when there was no such file.
    """
    aside = free_name(path, "kept aside")
    sides = [ending for ending in SIDE_FILES if path.with_name(path.name + ending).exists()]
    for ending in sides:
        copy = aside.with_name(aside.name + ending)
        shutil.copyfile(path.with_name(path.name + ending), copy)
        sync_file(copy)
    there = path.exists()
    if there:
        os.rename(path, aside)
    sync_folder(path.parent)
    for ending in sides:
        path.with_name(path.name + ending).unlink()
    return aside if there else None


def put_back(aside: Path | None, path: Path) -> None:
    """Undo `set_aside`."""
    if aside is None:
        return
    for ending in SIDE_FILES:
        copy = aside.with_name(aside.name + ending)
        if copy.exists():
            shutil.copyfile(copy, path.with_name(path.name + ending))
    os.rename(aside, path)
