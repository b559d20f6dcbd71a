"""What was done in a bay, as marks and spans on a line of time: treatments with their intervals, and jobs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.facts.moments import local_day
from bayround.facts.work import JobEvent, JobRecord, JobStep, Treatment
from bayround.jobs import intervals
from bayround.words import _


class EventKind(StrEnum):
    """What an event is; each has a mark of its own."""

    TREATMENT = "treatment"
    RELEASE = "release"
    JOB_DONE = "job done"
    JOB_SKIPPED = "job skipped"
    JOB_OPEN = "job open"


@dataclass(frozen=True, slots=True)
class Event:
    """A treatment or a job. *end*: where its bar ends (a job's last step); without one it is a point.

    *enter_on*, *pick_on*: first days on which the label lets people in and fruit be picked (who picks has to enter
    too: the later of both intervals); *unknown*: a label's interval was not entered, so nothing is safe.
    """

    kind: EventKind
    start: date
    end: date | None
    title: str
    text: str
    enter_on: date | None = None
    pick_on: date | None = None
    unknown: bool = False

    @property
    def last(self) -> date:
        """The last day that belongs to it, intervals included."""
        return max(day for day in (self.start, self.end, self.enter_on, self.pick_on) if day is not None)


def events_of(past: BayPast, as_of: date) -> tuple[Event, ...]:
    """Return treatments and taken-up jobs of the standing planting, in order of time."""
    start = past.planting.transplanted_on if past.planting else date.min
    treated = [_treatment(one) for one in past.treatments if local_day(one.ended_at) >= start]
    steps: dict[str, list[JobEvent]] = {}
    for step in past.job_events:
        steps.setdefault(step.job_id, []).append(step)
    jobs = [_job(job, steps.get(job.id, []), as_of) for job in past.jobs]
    return tuple(sorted((*treated, *jobs), key=lambda event: (event.start, event.title)))


def _treatment(one: Treatment) -> Event:
    day = local_day(one.ended_at)
    enter, harvest = intervals.re_entry_end(one), intervals.pre_harvest_end(one)
    ends = [end for end in (enter, harvest) if end is not None]
    pick = max(ends, default=None) if one.biological or harvest is not None else None
    unknown = not one.biological and (one.re_entry_hours is None or one.pre_harvest_days is None)
    kind = EventKind.RELEASE if one.biological else EventKind.TREATMENT
    parts = [one.active_ingredient, _("against {target}").format(target=one.target) if one.target else ""]
    if enter is not None:
        parts.append(_("enter from {moment}").format(moment=intervals.moment_text(enter)))
    if pick is not None and not unknown:
        parts.append(_("pick from {moment}").format(moment=intervals.moment_text(pick)))
    if unknown:
        parts.append(_("an interval is not known: not safe"))
    return Event(
        kind,
        day,
        None,
        one.active_ingredient,
        ", ".join(part for part in parts if part),
        enter_on=local_day(enter) if enter is not None else None,
        pick_on=local_day(pick) if pick is not None else None,
        unknown=unknown,
    )


def _job(job: JobRecord, steps: list[JobEvent], as_of: date) -> Event:
    last = max(steps, key=lambda step: (step.happened_on, step.recorded_at), default=None)
    kind_text = _(job.kind.value.capitalize())
    title = f"{kind_text}, {job.target}" if job.target else kind_text
    if last is not None and last.step in {JobStep.DONE, JobStep.CONFIRMED}:
        done = next((step for step in reversed(steps) if step.step is JobStep.DONE), last)
        return _job_event(EventKind.JOB_DONE, job, done.happened_on, title, _("done {day}"))
    if last is not None and last.step is JobStep.SKIPPED:
        return _job_event(EventKind.JOB_SKIPPED, job, last.happened_on, title, _("skipped {day}"))
    return _job_event(EventKind.JOB_OPEN, job, as_of, title, _("open on {day}"))


def _job_event(kind: EventKind, job: JobRecord, end: date, title: str, said: str) -> Event:
    text = _("{job}: raised {raised}, due {due}, {state}").format(
        job=title,
        raised=words.day(job.raised_on),
        due=words.day(job.due_on),
        state=said.format(day=words.day(end)),
    )
    return Event(kind, job.raised_on, max(end, job.raised_on), title, text)
