"""Faults of the disk over the program's own jobs: each operation fails once, then for good.

The method is that of SQLite's own anomaly tests (sqlite.org, "How SQLite Is Tested", 3.2): the 1st, 2nd, 3rd …
operation is made to fail until a whole job passes. What must hold: a step that failed says so in words and
left the farm as it was before it; when the fault is gone the same step, done again through the same open
farm, brings the farm to where it would have been; nothing that was said to be done is ever missing.
"""

from __future__ import annotations

import errno
import shutil
from collections import Counter
from collections.abc import Callable, Generator
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from jobs_at_risk import JOBS, NAME, Step, prepare
from power_cuts import FAST_DISK, REAL_CONNECT, content_unwatched
from shim import Watch, watched

from bayround import places
from bayround.facts.problems import Problem, Refused
from bayround.records.check import check
from bayround.records.farm_file import open_farm

Shape = tuple[tuple[str, int], ...]

ONCE, FOR_GOOD = "once", "for good"
KINDS = {"full disk": errno.ENOSPC, "disk fault": errno.EIO, "not allowed": errno.EACCES}
CHANGES = frozenset({"make", "write", "cut", "sync", "remove", "link", "rename"})
STEPS = 3  # of a job that repeats one thing; more would repeat the same operations
PASSED, TOLD = "passed all the same", "told in words, nothing changed"
SAVED_THOUGH = "told, but had been saved"
SILENT, HALF, WORDLESS = "silent loss", "half done", "no words"
BAD = (SILENT, HALF, WORDLESS)


@dataclass(slots=True)
class Fault:
    """Fails the operation of this number (from 0) in a folder, and all after it when *for_good*."""

    folder: str
    number: int
    error: int
    for_good: bool
    seen: int = -1
    over: bool = False
    hit: str = ""

    def __call__(self, operation: str, name: str) -> None:
        if operation not in CHANGES or not name.startswith(self.folder):
            return
        self.seen += 1
        if self.over or self.seen < self.number or (self.seen > self.number and not self.for_good):
            return
        self.hit = self.hit or f"{operation} {Path(name).name}"
        raise OSError(self.error, "a fault that was made", name)


@dataclass(slots=True)
class Sweep:
    """What a sweep of one job came to; *wrong* says where what went wrong."""

    operations: int
    found: Counter[str]
    wrong: list[str]


def sweep(job: str, folder: Path, kind: str, how: str, at_most: int = 10**9) -> Sweep:
    """Run a job again and again, each time with another operation failing (*at_most* so many, spread out)."""
    well = _Run(job, folder / "well", Fault(str(folder / "well"), 10**9, 0, False))
    well.go()
    count = well.fault.seen + 1
    numbers = range(count) if count <= at_most else sorted({n * count // at_most for n in range(at_most)})
    found = Sweep(len(numbers), Counter(), [])
    for number in numbers:
        place = folder / f"{number}"
        run = _Run(job, place, Fault(str(place), number, KINDS[kind], how == FOR_GOOD), well.shapes)
        verdict = run.go()
        shutil.rmtree(place)
        found.found[verdict] += 1
        if verdict in BAD or run.fault.seen < number:
            found.wrong.append(f"{job}, {kind} {how} at {number} ({run.fault.hit}): {verdict} {run.said}")
    shutil.rmtree(folder / "well")
    return found


class _Run:
    """One run of a job with one fault; *shapes* are those of a run without any, after each step."""

    def __init__(self, job: str, folder: Path, fault: Fault, shapes: list[Shape] | None = None) -> None:
        folder.mkdir(parents=True)
        prepare(folder, job)
        self.job, self.folder, self.fault = job, folder, fault
        self.expected, self.shapes, self.said = shapes, [look(folder, job).shape], ""
        self.verdict = PASSED

    def go(self) -> str:
        """Return the worst that was seen."""
        with watched(Watch(self.fault)):
            try:
                self._all_steps()
            except Judged as judged:
                return str(judged)
        with open_farm(self.folder / NAME) as store:
            return self.verdict if check(store) == () else HALF

    def _all_steps(self) -> None:
        steps = self._steps()
        try:
            while (step := self._until_done(lambda: next(steps, None))) is not None:
                self._until_done(step)
                self.shapes.append(look(self.folder, self.job).shape)
                self._compare()
        finally:
            steps.close()

    def _compare(self) -> None:
        if self.expected and self.shapes[-1] != self.expected[len(self.shapes) - 1]:
            raise Judged(SILENT)

    def _steps(self) -> Generator[Step, None, None]:
        """The steps of the job; a job that could not even open its farm is begun anew."""
        while True:
            steps = JOBS[self.job](self.folder)
            try:
                first = next(steps)
            except Problem as problem:
                yield partial(_raise, problem)
                continue
            break
        yield first
        yield from islice(steps, STEPS - 1)
        steps.close()

    def _until_done(self, work: Callable[[], Any]) -> Any:
        """Do it; when it fails look at what is left, once more while the fault lasts, then without it."""
        before = look(self.folder, self.job)
        for attempt in range(3):
            if attempt == 2 or (attempt == 1 and not self.fault.for_good):
                self.fault.over = True
            try:
                done = work()
            except Refused:
                if self.verdict == SAVED_THOUGH:
                    return None
                raise Judged(WORDLESS) from None
            except Problem as problem:
                self._judge_failure(problem, before)
            except Exception as error:
                self.said = f"{type(error).__name__}: {error}"
                raise Judged(WORDLESS) from error
            else:
                return done
        raise Judged(SILENT)

    def _judge_failure(self, problem: Problem, before: Look) -> None:
        self.said = str(problem)
        if not problem.message or not problem.to_do:
            raise Judged(WORDLESS)
        after = look(self.folder, self.job)
        if after == before:
            self.verdict = TOLD if self.verdict == PASSED else self.verdict
        elif self.expected and after.shape == self.expected[len(self.shapes)]:
            self.verdict = SAVED_THOUGH
        else:
            raise Judged(HALF)


class Judged(Exception):
    """A run ends here: this is what went wrong."""


def _raise(problem: Problem) -> None:
    raise problem


@dataclass(frozen=True, slots=True)
class Look:
    """What is left: everything in the farm and its backups, and how many rows and backups there are.

    Keys are new in each run, so that two runs can be compared by *shape* alone.
    """

    content: str
    backups: tuple[str, ...]
    shape: Shape


def look(folder: Path, job: str) -> Look:
    """Look at copies: the live file may be open, and what lies half-done beside it must stay so.

    Backups count only where making them is the job; an upgrade that failed may leave its backup behind.
    """
    kept: tuple[str, ...] = ()
    if job == "backup":
        kept = tuple(sorted(found.name for found in places.backups_dir(folder / NAME).glob("*.bayround")))
    with TemporaryDirectory(dir=FAST_DISK if FAST_DISK.is_dir() else None) as aside:
        for name in (NAME, f"{NAME}-journal"):
            if (folder / name).exists():
                (Path(aside) / name).write_bytes((folder / name).read_bytes())
        copy = Path(aside) / NAME
        if not copy.exists():
            return Look("nothing", kept, (("backups", len(kept)),))
        found = content_unwatched(copy)
        with closing(REAL_CONNECT(copy)) as connection:
            names = [
                row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
            ]
            rows = [
                (name, connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]) for name in names
            ]
            revision = connection.execute("SELECT revision FROM farm").fetchone()[0]
    return Look(found, kept, (*sorted(rows), ("revision", revision), ("backups", len(kept))))
