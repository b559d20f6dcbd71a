"""Hand out jobs, tick them off, skip them with a reason. Every step is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bayround import words
from bayround.actions import explaining
from bayround.actions.farm import OpenFarm
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused, Stopped
from bayround.facts.work import Explanation, JobEvent, JobRecord, JobStep
from bayround.jobs import house_fault, intervals, verification
from bayround.jobs.job import Job as Job
from bayround.jobs.verification import Verdict, Verified
from bayround.records import read_parts, read_work, write_setup
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

    What stops a job is judged, to the minute, from the moment its start was noted until now.

    Raises:
        Refused: when it is ticked off already, when something stopped it and no explanation is given, or hours
            are impossible.
    """
    steps = _steps(farm, job)
    if steps and steps[-1].step is JobStep.DONE:
        raise Refused(
            _("This job was ticked off on {day} already; its hours are kept.").format(
                day=words.day(steps[-1].happened_on)
            ),
            to_do=_("The next visit confirms it. If more was done, start it again first."),
        )
    if hours is not None and not 0 <= hours <= 1000:
        raise Refused(_("Hours of work are between 0 and 1000."), _("Nothing was written down."))
    _refuse_stopped(_stopped_since_start(farm, job, steps, moment.now), explanation)
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


def _steps(farm: OpenFarm, job: Job) -> list[JobEvent]:
    """Return the steps kept of a job, oldest first; also those of a record that another laptop or an older picture made."""
    season = read_parts.read_bay(farm.store, job.bay_id)
    need = (job.kind, job.target, job.raised_on)
    ids = {record.id for record in season.jobs if (record.kind, record.target, record.raised_on) == need}
    steps = [event for event in season.job_events if event.job_id in ids | {job.record_id}]
    return sorted(steps, key=lambda event: (event.recorded_at, event.id))


def _stopped_since_start(
    farm: OpenFarm, job: Job, steps: Sequence[JobEvent], now: datetime
) -> tuple[str, ...]:
    """Return what stops a job now, and what stopped it since its start, but for what was explained then."""
    run = _since_last_closing(steps)
    treatments = read_work.read_bay_treatments(farm.store, job.bay_id)
    kept = read_work.read_explanations(farm.store, [step.id for step in run])
    explained = {(one.treatment_id, one.known_as) for one in kept}
    unexplained = [item for item in treatments if (item.id, item.known_as) not in explained]
    since = min((step.recorded_at for step in run if step.step is JobStep.STARTED), default=now)
    found = intervals.stops(job.kind, unexplained, now, since=since) + stopped_by(farm, job, now)
    return tuple(dict.fromkeys(found))


def _since_last_closing(steps: Sequence[JobEvent]) -> Sequence[JobEvent]:
    closed = [place for place, step in enumerate(steps, 1) if step.step in {JobStep.DONE, JobStep.SKIPPED}]
    return steps[max(closed, default=0) :]


def _refuse_stopped(reasons: tuple[str, ...], explanation: str) -> None:
    if reasons and not explanation.strip():
        raise Stopped(
            _("This job is stopped: {why}.").format(why="; ".join(reasons)),
            _("Nothing was written down."),
            _(
                "Wait until nothing stops it any more. If the work was done all the same, write why; that is kept."
            ),
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
    said = _explanations(farm, record, event) if step in {JobStep.STARTED, JobStep.DONE} else []
    write_setup.add(farm.store, *([record] if job.record_id is None else []), event, *said)
    return record_id


def _explanations(farm: OpenFarm, record: JobRecord, event: JobEvent) -> list[Explanation]:
    """Return what is kept of the intervals that a step lies inside: its own words, or that they were over by then."""
    kept = [
        step for step in read_parts.read_bay(farm.store, record.bay_id).job_events if step.job_id == record.id
    ]
    run = _since_last_closing(sorted(kept, key=lambda one: (one.recorded_at, one.id)))
    treatments = read_work.read_bay_treatments(farm.store, record.bay_id)
    earlier = read_work.read_explanations(farm.store, [step.id for step in run])
    return explaining.of_new_steps(record, [*run, event], treatments, earlier)
