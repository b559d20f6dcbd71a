"""Hand out jobs, tick them off, skip them with a reason. Every step is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from bayround.actions.farm import OpenFarm
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.work import JobEvent, JobRecord, JobStep
from bayround.jobs.job import Job
from bayround.records import write_setup
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Moment:
    """When something was done and by whom it was recorded."""

    today: date
    now: datetime
    person_id: str | None = None


def assign(farm: OpenFarm, job: Job, worker_id: str, moment: Moment) -> str:
    """Give a job to a person; return the job's record id."""
    return _step(farm, job, JobStep.ASSIGNED, moment, person_id=worker_id)


def start(farm: OpenFarm, job: Job, moment: Moment) -> str:
    """Note that work on a job began."""
    return _step(farm, job, JobStep.STARTED, moment, person_id=job.assigned_to_id)


def done(farm: OpenFarm, job: Job, moment: Moment, hours: float | None, explanation: str = "") -> str:
    """Tick a job off with the hours it took; the next visit confirms it.

    Raises:
        Refused: when an interval blocks the job and no explanation is given, or hours are impossible.
    """
    if hours is not None and not 0 <= hours <= 1000:
        raise Refused(_("Hours of work are between 0 and 1000."))
    if job.blocked_by and not explanation.strip():
        raise Refused(
            _("This job is stopped: {why}.").format(why=job.blocked_text),
            to_do=_("Wait until it is safe. If the work was done all the same, write why; that is kept."),
        )
    return _step(farm, job, JobStep.DONE, moment, person_id=job.assigned_to_id, hours=hours, note=explanation)


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
