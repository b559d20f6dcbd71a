"""Hand out jobs, tick them off, skip them with a reason. Every step is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bayround.actions.farm import OpenFarm
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.work import JobEvent, JobRecord, JobStep
from bayround.jobs import house_fault, intervals, verification
from bayround.jobs.job import Job as Job
from bayround.jobs.verification import Verdict, Verified
from bayround.records import read_work, write_setup
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

__all__ = [
    "Job",
    "Moment",
    "Verdict",
    "Verified",
    "assign",
    "done",
    "skip",
    "start",
    "stopped_by",
    "verified",
]


@dataclass(frozen=True, slots=True)
class Moment:
    """When something was done and by whom it was recorded."""

    today: date
    now: datetime
    person_id: str | None = None


def assign(farm: OpenFarm, job: Job, worker_id: str, moment: Moment) -> str:
    """Give a job to a person; return the job's record id."""
    return _step(farm, job, JobStep.ASSIGNED, moment, person_id=worker_id)


def start(farm: OpenFarm, job: Job, moment: Moment, explanation: str = "") -> str:
    """Note that work on a job began.

    Raises:
        Refused: when something stops the job at this minute and no explanation is given.
    """
    _refuse_stopped(stopped_by(farm, job, moment.now), explanation)
    return _step(farm, job, JobStep.STARTED, moment, person_id=job.assigned_to_id, note=explanation.strip())


def done(farm: OpenFarm, job: Job, moment: Moment, hours: float | None, explanation: str = "") -> str:
    """Tick a job off with the hours it took; the next visit confirms it.

    What stops a job is judged, to the minute, at the moment its start was noted; without one, now.

    Raises:
        Refused: when something stopped the job and no explanation is given, or hours are impossible.
    """
    if hours is not None and not 0 <= hours <= 1000:
        raise Refused(_("Hours of work are between 0 and 1000."))
    _refuse_stopped(stopped_by(farm, job, _began(farm, job, moment)), explanation)
    return _step(
        farm,
        job,
        JobStep.DONE,
        moment,
        person_id=job.assigned_to_id,
        hours=hours,
        note=explanation.strip(),
    )


def verified(farm: OpenFarm, snapshot: WeekSnapshot, days: int = 42) -> tuple[Verified, ...]:
    """Return the jobs done in the last *days* and what the first visit after each said, newest first."""
    people = {person.id: person.name for person in snapshot.people}
    since = snapshot.as_of - timedelta(days=days)
    found = [
        one for seen in snapshot.bays for one in verification.of_bay(seen.past, farm.crops, since, people)
    ]
    return tuple(sorted(found, key=lambda one: (one.done_on, one.bay_name), reverse=True))


def stopped_by(farm: OpenFarm, job: Job, at: datetime) -> tuple[str, ...]:
    """Return in words what stops a job at one moment: intervals of treatments, faults of its house."""
    found = intervals.stops(job.kind, read_work.read_bay_treatments(farm.store, job.bay_id), at)
    return found + house_fault.blocks(job.kind, read_work.read_checks_of_bay(farm.store, job.bay_id))


def _began(farm: OpenFarm, job: Job, moment: Moment) -> datetime:
    if job.record_id is None:
        return moment.now
    steps = read_work.read_job_events(farm.store, job.record_id)
    started = [step.recorded_at for step in steps if step.step is JobStep.STARTED and not step.note]
    return min(started[-1], moment.now) if started else moment.now


def _refuse_stopped(reasons: tuple[str, ...], explanation: str) -> None:
    if reasons and not explanation.strip():
        raise Refused(
            _("This job is stopped: {why}.").format(why="; ".join(reasons)),
            to_do=_("Wait until it is safe. If the work was done all the same, write why; that is kept."),
        )


def skip(farm: OpenFarm, job: Job, moment: Moment, reason: str) -> str:
    """Leave a job undone, with a reason.

    Raises:
        Refused: when no reason is given.
    """
    if not reason.strip():
        raise Refused(_("A skipped job needs a reason."))
    return _step(farm, job, JobStep.SKIPPED, moment, person_id=job.assigned_to_id, note=reason)


def _step(
    farm: OpenFarm,
    job: Job,
    step: JobStep,
    moment: Moment,
    *,
    person_id: str | None,
    hours: float | None = None,
    note: str = "",
) -> str:
    record_id = job.record_id or new_id()
    event = JobEvent(
        id=new_id(),
        job_id=record_id,
        step=step,
        happened_on=moment.today,
        recorded_at=moment.now,
        person_id=person_id,
        hours=hours,
        note=note,
    )
    if job.record_id is not None:
        write_setup.add(farm.store, event)
        return record_id
    record = JobRecord(
        id=record_id,
        bay_id=job.bay_id,
        kind=job.kind,
        target=job.target,
        raised_on=job.raised_on,
        due_on=job.due_on,
        reason=job.reason,
        hours_estimated=job.hours.value,
    )
    write_setup.add(farm.store, record, event)
    return record_id
