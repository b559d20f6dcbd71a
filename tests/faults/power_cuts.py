"""Power cuts over the program's own jobs: record a job once, cut it anywhere, look at what is left."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from disk import Disk, cuts
from jobs_at_risk import JOBS, NAME, content, prepare
from shim import Watch, watched

from bayround import places
from bayround.records import farm_file, placing
from bayround.records.check import check

GOOD, CORRUPT, LOST, HALF = "good", "corrupt", "a save lost", "half a step"
DIFFERENT = "different remains"
FAST_DISK = Path("/dev/shm")


@dataclass(slots=True)
class Recording:
    """One job on the watched disk: its folder, the farm's content after each step, the files at its end."""

    name: str
    folder: Path
    disk: Disk
    contents: list[str] = field(default_factory=list)


def record(name: str, folder: Path, synchronous: str = "EXTRA") -> Recording:
    """Run a job on the watched disk; *synchronous* is what the program would set, or a worse choice."""
    folder.mkdir()
    prepare(folder, name)
    settings, farm_file._WRITER_SETTINGS = (
        farm_file._WRITER_SETTINGS,
        ("journal_mode = DELETE", f"synchronous = {synchronous}"),
    )
    watch = Watch(syncs=synchronous != "OFF")
    watch.disk.begin_with(folder)
    made = Recording(name, folder, watch.disk, [content(folder / NAME)])
    try:
        with watched(watch) as disk:
            for step in JOBS[name](folder):
                step()
                disk.note("said", len(made.contents))
                made.contents.append(content_aside(folder))
    finally:
        farm_file._WRITER_SETTINGS = settings
    return made


def content_aside(folder: Path) -> str:
    """Read a copy: the live file may be open, and reading it must not be recorded."""
    with TemporaryDirectory() as aside:
        copy = Path(aside) / NAME
        copy.write_bytes((folder / NAME).read_bytes())
        return content_unwatched(copy)


def content_unwatched(path: Path) -> str:
    watching = sqlite3.connect
    sqlite3.connect = REAL_CONNECT
    try:
        return content(path)
    finally:
        sqlite3.connect = watching


REAL_CONNECT = sqlite3.connect


def judge(job: str, contents: list[str], said: int, folder: Path) -> str:
    """Say what a cut or kill left of the farm (and of the backups) in *folder*.

    Args:
        contents: what the farm held before the job and after each of its steps.
        said: how many steps were said to be done.
    """
    path = folder / NAME
    try:
        left = content(path) if path.exists() else _aside(folder)
        for kept in places.backups_dir(path).glob("*.bayround"):
            if content(kept) not in contents and job != "upgrade":
                return HALF
    except (sqlite3.Error, AssertionError):
        return CORRUPT
    if job == "backup" and len(list(places.backups_dir(path).glob("*.bayround"))) < said:
        return LOST
    if left in contents[said : said + 2]:
        return GOOD
    return LOST if left in contents else HALF


def _aside(folder: Path) -> str:
    """The farm file is being swapped by a restore: the earlier one has to be there under another name."""
    kept = sorted(path for path in folder.glob("*kept aside*") if path.suffix == ".bayround")
    return content(kept[0]) if kept else "nothing"


def try_cuts(recording: Recording, count: int, seed: int) -> Counter[str]:
    """Cut a recorded job *count* times and count what was left; the same remains are looked at once.

    Every 500th cut is opened by the program itself as well, which must find nothing wrong with it.
    """
    found: Counter[str] = Counter()
    known: dict[int, str] = {}
    base = FAST_DISK if FAST_DISK.is_dir() else None
    inside = str(recording.folder) + os.sep
    with TemporaryDirectory(dir=base) as scratch:
        for number, (said, files) in enumerate(
            cuts(recording.disk, str(recording.folder), count, random.Random(seed))
        ):
            files = {
                name: data
                for name, data in files.items()
                if name.startswith(inside) and placing.UNFINISHED not in name
            }
            key = hash((said, frozenset(files.items())))
            if key not in known or number % 500 == 0:
                folder = Path(scratch) / "farm"
                put(files, recording.folder, folder)
                known[key] = judge(recording.name, recording.contents, said, folder)
                if number % 500 == 0 and known[key] == GOOD and (folder / NAME).exists():
                    known[key] = opened_by_the_program(folder / NAME)
                shutil.rmtree(folder)
            found[known[key]] += 1
    found[DIFFERENT] = len(known)
    return found


def put(files: dict[str, bytes], was: Path, folder: Path) -> None:
    """Write the files that a cut left into a folder."""
    folder.mkdir()
    for name, data in files.items():
        target = folder / Path(name).relative_to(was)
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(data)


def opened_by_the_program(path: Path) -> str:
    """Open what is left as a person would; the program must find nothing wrong."""
    with farm_file.open_farm(path) as store:
        return GOOD if check(store) == () else CORRUPT
