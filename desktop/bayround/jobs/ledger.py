"""From rules and records to the due list: one job for bay, kind and target stays open.

A job that was done waits for the next visit: where the rule is then silent the job worked; where it
still speaks the job comes back with a word about it. Only the first look after the work judges it; a need
that shows up after a look that saw none is a new one, and records of the old one say nothing of it. Skipped jobs
come back at the next look too. A round is closed by a visit alone: ticked off without one, it is open again the day
after; skipped, after the days between two rounds at most.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep
from bayround.jobs.house_fault import standing
from bayround.jobs.job import Job, JobState
from bayround.words import _

_CLOSING = {JobStep.DONE, JobStep.SKIPPED}

Shown = Callable[[BayPast, JobKind, str], bool | None]
"""Whether the newest visit of a past showed the need of a job (kind, target); nothing where it did not look."""


def with_records(
    jobs: Sequence[Job],
    past: BayPast,
    people: Mapping[str, str],
    shown: Shown,
    as_of: date,
    days_between_rounds: int,
) -> tuple[Job, ...]:
    """Return the jobs the rules raise, with the state their records give them on *as_of*.

    *people* maps person ids to names; *shown* is asked about the visits after work was taken up or done.
    """
    by_key: dict[tuple[str, str], list[JobRecord]] = {}
    for record in past.jobs:
        by_key.setdefault((record.kind.value, record.target), []).append(record)
    found = []
    for job in jobs:
        records = by_key.get((job.kind.value, job.target), [])
        newest = max((record.raised_on for record in records), default=None)
        same = [record for record in records if record.raised_on == newest]  # one from each laptop
        ids = {record.id for record in same}
        events = [event for event in past.job_events if event.job_id in ids]
        if not events:
            found.append(job)
            continue
        events.sort(key=lambda event: (event.recorded_at, event.id))
        last = events[-1]
        if last.step in _CLOSING and not _still_closed(job, last, same[0], as_of, days_between_rounds):
            found.append(replace(job, history=(_came_back(job, last, past, shown),)))
        elif _need_ended(job, same[0].raised_on, past, shown):
            found.append(job)
        else:
            found.append(_with_steps(job, same, events, people, as_of))
    return tuple(found)


def _still_closed(job: Job, last: JobEvent, record: JobRecord, as_of: date, days_between_rounds: int) -> bool:
    """Tell whether a job that was done or skipped needs nobody until the next visit."""
    if job.kind is not JobKind.ROUND:
        return last.happened_on >= job.raised_on
    if record.raised_on < job.raised_on:
        return False
    return last.step is JobStep.DONE or (as_of - last.happened_on).days < days_between_rounds


def _need_ended(job: Job, recorded_on: date, past: BayPast, shown: Shown) -> bool:
    """Tell whether a look between a record and the need of today saw no need."""
    if job.kind is JobKind.ROUND:
        return recorded_on < job.raised_on
    if job.kind is JobKind.HOUSE:
        days = {
            check.checked_on for check in past.house_checks if recorded_on < check.checked_on < job.raised_on
        }
        return any(not standing([one for one in past.house_checks if one.checked_on <= day]) for day in days)
    return any(
        shown(replace(past, visits=past.visits[: place + 1]), job.kind, job.target) is False
        for place, seen in enumerate(past.visits)
        if recorded_on < seen.day < job.raised_on
    )


def _with_steps(
    job: Job,
    records: Sequence[JobRecord],
    events: Sequence[JobEvent],
    people: Mapping[str, str],
    as_of: date,
) -> Job:
    last = events[-1]
    state = {
        JobStep.ASSIGNED: JobState.ASSIGNED,
        JobStep.STARTED: JobState.STARTED,
        JobStep.DONE: JobState.DONE,
        JobStep.SKIPPED: JobState.SKIPPED,
    }.get(last.step, JobState.OPEN)
    worker = next((event.person_id for event in reversed(events) if event.person_id), None)
    history = [_told(event, people) for event in events]
    if job.kind is JobKind.ROUND and last.step is JobStep.DONE and last.happened_on < as_of:
        state = JobState.OPEN
        history.append(_("No visit of that day or later is kept: key it in."))
    return replace(
        job,
        state=state,
        record_id=last.job_id,
        due_on=min(job.due_on, *(record.due_on for record in records)),
        assigned_to_id=worker,
        assigned_to=people.get(worker or "", ""),
        history=tuple(history),
    )


def _came_back(job: Job, last: JobEvent, past: BayPast, shown: Shown) -> str:
    done_on = words.day(last.happened_on)
    if last.step is not JobStep.DONE:
        return _("Skipped on {day}: {why}").format(day=done_on, why=last.note)
    if job.kind is JobKind.HOUSE:
        return _("Done on {day}; a later check of the house found a fault.").format(day=done_on)
    for place, seen in enumerate(past.visits):
        if job.kind is JobKind.ROUND or seen.day <= last.happened_on:
            continue
        needed = shown(replace(past, visits=past.visits[: place + 1]), job.kind, job.target)
        if needed is None:
            continue
        if seen.day == job.raised_on:
            text = _("Done on {day}, but the visit after it still shows the need.")
        elif needed:
            text = _("Done on {day}, but the visit after it ({visit}) still showed the need.")
        else:
            text = _("Done on {day}; the visit after it ({visit}) showed that it worked. It is due anew.")
        return text.format(day=done_on, visit=words.day(seen.day))
    return _("Done on {day}; due anew.").format(day=done_on)


def _told(event: JobEvent, people: Mapping[str, str]) -> str:
    parts = [words.day(event.happened_on), _(event.step.value)]
    if event.person_id in people:
        parts.append(people[event.person_id or ""])
    if event.hours is not None:
        parts.append(f"{words.number(event.hours, 1)} h")
    if event.note:
        parts.append(event.note)
    return " · ".join(parts)
