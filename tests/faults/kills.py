"""Many kills in one place: a job is started in a process of its own, killed at a random moment, and looked at."""

from __future__ import annotations

import contextlib
import multiprocessing
import random
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import killed_child
from farm_at_risk import NAME
from jobs_at_risk import prepare
from power_cuts import CORRUPT, FAST_DISK, GOOD, HALF, LOST, judge, opened_by_the_program

from bayround.records.upgrades import run as _loaded_before_the_children_are  # noqa: F401  (Alembic is slow)

LONGEST_WAIT = 1.3  # times what a step takes: some are killed when the next step has begun
STEPS = 8  # of a job that repeats one thing; the more of them, the fewer kills in the same time
CHECK_EVERY = 10  # of the kills are opened by the program itself as well, which is slower than SQLite alone


@dataclass(slots=True)
class Killed:
    """What many kills of one job came to; *cut_short* were killed before the job's end."""

    kills: int = 0
    acknowledged: int = 0
    cut_short: int = 0
    journals: int = 0
    lost: int = 0
    half: int = 0
    unsound: int = 0

    @property
    def wrong(self) -> int:
        return self.lost + self.half + self.unsound


def try_kills(job: str, count: int, seed: int) -> Killed:
    """Kill a job *count* times: every step that was said to be done is there, any other whole or not at all."""
    chance, found = random.Random(f"{seed} {job}"), Killed()
    with TemporaryDirectory(dir=FAST_DISK if FAST_DISK.is_dir() else None) as scratch:
        begun = Path(scratch) / "begun"
        begun.mkdir()
        prepare(begun, job)
        folder = Path(scratch) / "farm"
        contents = _contents(job, begun, folder)
        step_seconds = _step_seconds(job, begun, folder)
        for _kill in range(count):
            shutil.copytree(begun, folder)
            told = _killed(job, folder, chance, len(contents) - 1, step_seconds)
            _look(job, contents, told, folder, found)
            shutil.rmtree(folder)
    return found


def _look(job: str, contents: list[str], told: list[int], folder: Path, found: Killed) -> None:
    said = max(told)
    found.kills += 1
    found.acknowledged += said
    found.cut_short += killed_child.DONE not in told
    found.journals += any(folder.glob("*-journal"))
    verdict = GOOD
    if found.kills % CHECK_EVERY == 0:  # in a copy: the program undoes what was half-done
        copy = folder.with_name("copy")
        shutil.copytree(folder, copy)
        verdict = opened_by_the_program(copy / NAME)
        shutil.rmtree(copy)
    if verdict == GOOD:
        verdict = judge(job, contents, said, folder)
    found.lost += verdict == LOST
    found.half += verdict == HALF
    found.unsound += verdict == CORRUPT


def _contents(job: str, begun: Path, folder: Path) -> list[str]:
    """Return what the farm holds before the job and after each of its steps."""
    shutil.copytree(begun, folder)
    hears, child = _start(killed_child.look_after_each_step, job, folder)
    contents = _rest(hears)
    child.join()
    shutil.rmtree(folder)
    if child.exitcode:
        raise RuntimeError(f"{job} does not work even when nobody kills it")
    return contents


def _step_seconds(job: str, begun: Path, folder: Path) -> float:
    """Return how long a step takes when nobody interferes."""
    shutil.copytree(begun, folder)
    hears, child = _start(killed_child.work, job, folder)
    hears.recv()
    ready = time.perf_counter()
    steps = 0
    while (told := hears.recv()) != killed_child.DONE:
        steps = told
    took = time.perf_counter() - ready
    hears.close()
    child.join()
    shutil.rmtree(folder)
    return took / steps


def _killed(job: str, folder: Path, chance: random.Random, steps: int, step_seconds: float) -> list[int]:
    """Start the job, kill it after so many steps and a random wait; return what it said was done."""
    hears, child = _start(killed_child.work, job, folder)
    told = [hears.recv() for _step in range(1 + chance.randrange(min(steps, STEPS)))]
    time.sleep(chance.uniform(0.0, LONGEST_WAIT * step_seconds))
    child.kill()
    child.join()
    return told + _rest(hears)


def _start(work: Callable[..., None], job: str, folder: Path) -> tuple[Any, Any]:
    context = multiprocessing.get_context("fork")  # no farm file is open here, and no thread runs
    hears, says = context.Pipe(duplex=False)
    child = context.Process(target=work, args=(job, folder, says))
    child.start()
    says.close()
    return hears, child


def _rest(hears: Any) -> list[Any]:
    told = []
    with hears, contextlib.suppress(EOFError):
        while True:
            told.append(hears.recv())
    return told
