"""A process that does one of the program's jobs, step by step, and says of each step when it is done."""

from __future__ import annotations

from itertools import count
from multiprocessing.connection import Connection
from pathlib import Path

from jobs_at_risk import JOBS
from power_cuts import content_aside
from uuid6 import UUID

from bayround.facts import ids

READY, DONE = 0, -1


def work(job: str, folder: Path, said: Connection) -> None:
    """Do the job; tell READY when the farm is open, the number of each step, and DONE."""
    _same_keys_every_time()
    steps = enumerate(JOBS[job](folder), start=1)
    for number, step in steps:
        if number == 1:
            said.send(READY)
        step()
        said.send(number)
    said.send(DONE)


def look_after_each_step(job: str, folder: Path, said: Connection) -> None:
    """Do the job without being killed; tell what the farm holds before it and after each step."""
    _same_keys_every_time()
    said.send(content_aside(folder))
    for step in JOBS[job](folder):
        step()
        said.send(content_aside(folder))


def _same_keys_every_time() -> None:
    """Let two runs of a job lead to the same farm, down to the last key."""
    numbers = count(1)
    ids.uuid7 = lambda: UUID(int=next(numbers) | 7 << 76 | 2 << 62)  # type: ignore[attr-defined]
