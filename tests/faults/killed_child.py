"""A process that does one of the program's jobs, step by step, and says of each step when it is done."""

from __future__ import annotations

from multiprocessing.connection import Connection
from pathlib import Path

from farm_at_risk import same_keys
from jobs_at_risk import JOBS
from power_cuts import everything_aside

READY, DONE = 0, -1


def work(job: str, folder: Path, said: Connection) -> None:
    """Do the job; tell READY when the farm is open, the number of each step, and DONE."""
    same_keys()
    steps = enumerate(JOBS[job](folder), start=1)
    for number, step in steps:
        if number == 1:
            said.send(READY)
        step()
        said.send(number)
    said.send(DONE)


def look_after_each_step(job: str, folder: Path, said: Connection) -> None:
    """Do the job without being killed; tell what the farm holds before it and after each step."""
    same_keys()
    said.send(everything_aside(folder))
    for step in JOBS[job](folder):
        step()
        said.send(everything_aside(folder))
