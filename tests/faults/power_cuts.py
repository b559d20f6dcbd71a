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
from farm_at_risk import NAME, NOTHING, content, everything, papers
from jobs_at_risk import JOBS, prepare
from shim import watched
from watching import Watch

from bayround import places
from bayround.facts.problems import Problem
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
    made = Recording(name, folder, watch.disk, [everything_aside(folder)])
    try:
        with watched(watch) as disk:
            for step in JOBS[name](folder):
                step()
                disk.note("said", len(made.contents))
                made.contents.append(everything_aside(folder))
    finally:
        farm_file._WRITER_SETTINGS = settings
    return made


def everything_aside(folder: Path) -> str:
    """Read a copy: the live file may be open, and reading it must not be recorded."""
    if not (folder / NAME).exists():
        return NOTHING + papers(folder)
    with TemporaryDirectory() as aside:
        copy = Path(aside) / NAME
        copy.write_bytes((folder / NAME).read_bytes())
        return content(copy) + papers(folder)


def judge(job: str, contents: list[str], said: int, folder: Path) -> str:
    """Say what a cut or kill left of the farm (and of the papers and backups) in *folder*.

    Args:
        contents: what the folder held before the job and after each of its steps.
        said: how many steps were said to be done.
    """
    path = folder / NAME
    try:
        left = everything(folder) if path.exists() else _aside(folder) + papers(folder)
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
    return content(kept[0]) if kept else NOTHING


def try_cuts(recording: Recording, count: int, seed: int) -> Counter[str]:
    """Cut a recorded job *count* times and count what was left; the same remains are looked at once.

    Every 500th cut, and of those with a journal every 20th, is opened by the program itself as well, which
    must find nothing wrong with it.
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
                if name.startswith(inside) and placing.UNFINISHED not in name and not name.endswith(".part")
            }
            key = hash((said, frozenset(files.items())))
            half_done = any(name.endswith("-journal") for name in files)
            by_program = number % 500 == 0 or (half_done and key not in known and len(known) % 20 == 0)
            if key not in known or by_program:
                folder = Path(scratch) / "farm"
                put(files, recording.folder, folder)
                known[key] = judge(recording.name, recording.contents, said, folder)
                shutil.rmtree(folder)
                if by_program and known[key] == GOOD:
                    put(files, recording.folder, folder)  # anew: judging undid what was half-done
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
    if not path.exists():
        return GOOD  # it was being swapped, and `judge` has found it under its other name
    try:
        with farm_file.open_farm(path) as store:
            return GOOD if check(store) == () else CORRUPT
    except Problem:
        return CORRUPT
