"""Faults of the disk over the program's own jobs: each operation fails once, then for good.

The method is that of SQLite's own anomaly tests (sqlite.org, "How SQLite Is Tested", 3.2): the 1st, 2nd, 3rd …
operation is made to fail until a whole job passes. What must hold: a step that failed says so in words and
left everything as it was before it; when the fault is gone the same step, done again through the same open
farm, brings the farm to where it would have been; nothing that was said to be done is ever missing.

Keys are the same in each run, so that what is left can be compared value by value. Two kinds of fault at one
operation are tried as one when the program heard exactly the same of both (`heard`): a disk that is full and
one that fails look alike to it but where something is written. And opening a farm is tried once for all jobs
that open the same bytes by the same operations.
"""

from __future__ import annotations

import errno
import shutil
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import chain, islice
from pathlib import Path
from typing import Any

from farm_at_risk import own_keys_again, same_keys
from jobs_at_risk import JOBS, prepare
from looks import Look, is_sound, look, statements_kept
from shim import watched
from watching import Watch, code_inside

from bayround.facts.problems import Problem, Refused

ONCE, FOR_GOOD = "once", "for good"
CHANGES = frozenset({"make", "write", "cut", "sync", "remove", "link", "rename"})
KINDS = {
    "full disk": (errno.ENOSPC, CHANGES), "disk fault": (errno.EIO, CHANGES), "not allowed": (errno.EACCES, CHANGES),
    "unreadable": (errno.EIO, frozenset({"read"})),
}  # fmt: skip
STEPS = {"cell autosave": 2, "finish": 2, "correction": 2, "closing a week": 2, "backup": 2, "merge": 1}
"""Of jobs that repeat one thing; more steps would repeat the same operations."""
KEYS_APART = 10_000  # so many keys are for each step
PASSED, TOLD = "passed all the same", "told in words, nothing changed"
SAVED_THOUGH = "told, but had been saved"
SILENT, HALF, WORDLESS = "silent loss", "half done", "no words"
BAD = (SILENT, HALF, WORDLESS)
MAKES_A_FILE = {"rebuild from a package", "merge into a new file", "salvage", "move from a server"}
"""Jobs that give a new file its name last: told that the disk failed after that, a person finds the file, whole."""

Heard = tuple[int, ...]
Ways = Sequence[tuple[str, str]]
EVERY_WAY: Ways = tuple((kind, how) for kind in KINDS for how in (ONCE, FOR_GOOD))
AllTried = dict[tuple[object, ...], list["Tried"]]


@dataclass(slots=True)
class Fault:
    """Fails the operation of this number (from 0) in a folder, and all after it when *for_good*."""

    folder: str
    number: int
    kind: str
    for_good: bool
    seen: int = -1
    over: bool = False
    hit: str = ""
    trace: list[str] = field(default_factory=list)

    def __call__(self, operation: str, name: str) -> None:
        error, operations = KINDS[self.kind]
        if operation not in operations or not name.startswith(self.folder):
            return
        self.seen += 1
        self.trace.append(f"{operation} {name[len(self.folder) :]}")
        if self.over or self.seen < self.number or (self.seen > self.number and not self.for_good):
            return
        self.hit = self.hit or f"{operation} {Path(name).name}"
        raise OSError(error, "a fault that was made", name)


@dataclass(slots=True)
class Sweep:
    """What a sweep of one job came to; *wrong* says where what went wrong, *alike* how many needed no run of their own."""

    operations: int = 0
    alike: int = 0
    found: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Tried:
    """Runs that can stand for others: what failed in them, and what they came to."""

    failed: list[tuple[str, bool]]
    heard: Heard
    verdict: str


def sweep_all(
    job: str, folder: Path, at_most: int = 10**9, opened: AllTried | None = None, ways: Ways = EVERY_WAY
) -> dict[tuple[str, str], Sweep]:
    """Run a job again and again, each time with another operation failing, in every way there is (or some *ways*).

    *opened* is what was tried of opening the same farm in other jobs, and is added to.
    """
    tried: AllTried = {}
    return {
        (kind, how): sweep(
            job, folder / kind / how, kind, how, at_most, tried, {} if opened is None else opened
        )
        for kind, how in ways
    }


def sweep(
    job: str, folder: Path, kind: str, how: str, at_most: int, tried: AllTried, opened: AllTried
) -> Sweep:
    """Let one operation after the other fail in one way (*at_most* so many, spread out)."""
    with own_keys_again(), statements_kept():
        well = _Run(job, folder / "well", Fault(str(folder / "well"), 10**9, kind, False))
        if well.go() != PASSED:
            raise RuntimeError(f"{job} does not work even when nothing fails: {well.said}")
        count = well.fault.seen + 1
        numbers = range(count) if count <= at_most else sorted({n * count // at_most for n in range(at_most)})
        found = Sweep(len(numbers))
        for number in numbers:
            if number < well.opening:
                key = (*well.begun, *well.fault.trace[: well.opening], str(number), how)
                others = opened.setdefault(key, [])
            else:
                others = tried.setdefault((KINDS[kind][1] == CHANGES, number, how), [])
            if alike := next((one for one in others if one.heard == heard(one.failed, kind)), None):
                found.alike += 1
                found.found[alike.verdict] += 1
                continue
            place = folder / f"{number}"
            run = _Run(job, place, Fault(str(place), number, kind, how == FOR_GOOD), well.looks)
            verdict = run.go()
            shutil.rmtree(place)
            others.append(Tried(run.watch.failed, heard(run.watch.failed, kind), verdict))
            found.found[verdict] += 1
            if verdict in BAD or run.fault.seen < number:
                found.wrong.append(f"{job}, {kind} {how} at {number} ({run.fault.hit}): {verdict} {run.said}")
        shutil.rmtree(folder / "well")
    return found


def heard(failed: list[tuple[str, bool]], kind: str) -> Heard:
    """Return what the program hears of faults of a kind at these operations: codes of SQLite, or of the system."""
    error = KINDS[kind][0]
    return tuple(code_inside(operation, error) if inside else -error for operation, inside in failed)


class _Run:
    """One run of a job with one fault; *looks* are those of a run without any, after each step."""

    def __init__(self, job: str, folder: Path, fault: Fault, expected: list[Look] | None = None) -> None:
        folder.mkdir(parents=True)
        prepare(folder, job)
        self.job, self.folder, self.fault, self.watch = job, folder, fault, Watch(fault)
        self.expected, self.looks, self.said = expected, [look(folder, job)], ""
        self.verdict = PASSED
        self.begun = (self.looks[0].content,)
        self.opening = 0
        self._phase = 0

    def go(self) -> str:
        """Return the worst that was seen."""
        with watched(self.watch):
            try:
                self._all_steps()
            except Judged as judged:
                return str(judged)
        return self.verdict if is_sound(self.folder) else HALF

    def _all_steps(self) -> None:
        steps, first = self._until_done(self._begin, saves=False)
        self.opening = self.fault.seen + 1
        try:
            for step in chain((first,), islice(steps, STEPS.get(self.job, 10) - 1)):
                self._until_done(step)
                self.looks.append(look(self.folder, self.job))
                self._compare()
        finally:
            steps.close()

    def _compare(self) -> None:
        if self.expected and not self.looks[-1].is_as(self.expected[len(self.looks) - 1]):
            raise Judged(SILENT)

    def _begin(self) -> Any:
        """Return the job, begun, and its first step."""
        steps = JOBS[self.job](self.folder)
        return steps, next(steps)

    def _until_done(self, work: Callable[[], Any], *, saves: bool = True) -> Any:
        """Do it; when it fails look at what is left, once more while the fault lasts, then without it."""
        before = self.looks[-1]
        self._phase += 1
        for attempt in range(3):
            if attempt == 2 or (attempt == 1 and not self.fault.for_good):
                self.fault.over = True
            same_keys(self._phase * KEYS_APART)
            try:
                done = work()
            except Refused as refused:
                if self.verdict == SAVED_THOUGH:
                    return None
                self.said = str(refused)
                raise Judged(WORDLESS) from None
            except Problem as problem:
                self._judge_failure(problem, before, saves)
                if attempt and self.job in MAKES_A_FILE and self.verdict == SAVED_THOUGH:
                    return None  # the whole file is there, and a second one of its name is refused
            except Exception as error:
                self.said = f"{type(error).__name__}: {error}"
                raise Judged(WORDLESS) from error
            else:
                return done
        raise Judged(SILENT)

    def _judge_failure(self, problem: Problem, before: Look, saves: bool) -> None:
        self.said = str(problem)
        if not problem.message or not problem.to_do:
            raise Judged(WORDLESS)
        after = look(self.folder, self.job)
        if after == before:
            self.verdict = TOLD if self.verdict == PASSED else self.verdict
        elif saves and self.expected and after.is_as(self.expected[len(self.looks)]):
            self.verdict = SAVED_THOUGH
        else:
            raise Judged(HALF)


class Judged(Exception):
    """A run ends here: this is what went wrong."""
