"""What a worker takes along: the jobs of one person that are due by one day, with what stops each."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from bayround.figures.figure import Figure
from bayround.jobs import hours, intervals
from bayround.jobs.job import Job
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.words import _


@dataclass(frozen=True, slots=True)
class JobToDo:
    """One job with the clocks of its bay; *cautions* are of its house."""

    job: Job
    enter: str
    pick: str
    rows: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JobSheet:
    """The jobs of one person (empty: given to nobody yet) that are due by one day."""

    person: str
    day: date
    jobs: tuple[JobToDo, ...]
    hours: Figure


def build(snapshot: WeekSnapshot, people: Collection[str] | None = None) -> tuple[JobSheet, ...]:
    """Return the sheets by person, then by day; what is given to nobody comes last. Finished jobs are left out.

    *people* are the names wanted (empty: given to nobody); without it everybody's. What a person is late with stands
    on one sheet, under the newest of its days: each job says its own.
    """
    wanted = [job for job in snapshot.jobs if job.is_due and (people is None or job.assigned_to in people)]
    late = {job.key: job for job in wanted if job.due_on < snapshot.bay(job.bay_id).as_of}
    newest: dict[str, date] = {}
    for job in late.values():
        newest[job.assigned_to] = max(job.due_on, newest.get(job.assigned_to, job.due_on))
    groups: dict[tuple[bool, str, date], list[JobToDo]] = {}
    for job in wanted:
        day = newest[job.assigned_to] if job.key in late else job.due_on
        group = groups.setdefault((not job.assigned_to, job.assigned_to, day), [])
        group.append(_to_do(job, snapshot.bay(job.bay_id)))
    return tuple(
        JobSheet(person, day, tuple(jobs), hours.total([one.job.hours for one in jobs]))
        for (_nobody, person, day), jobs in sorted(groups.items(), key=lambda group: group[0])
    )


def _to_do(job: Job, seen: BayWeek) -> JobToDo:
    rows = _("{rows} rows, {plants} plants").format(
        rows=seen.bay.rows, plants=seen.planting.plants if seen.planting else 0
    )
    return JobToDo(
        job,
        intervals.enter_text(seen.clocks, seen.as_of),
        intervals.pick_text(seen.clocks, seen.as_of),
        rows,
        tuple(dict.fromkeys((*seen.house_closed, *seen.warnings))),
    )
