"""From rules and records to the due list: one job for bay, kind and target stays open.

A job that was done waits for the next visit: where the rule is then silent the job worked; where it
still speaks the job comes back with a word about it. Only the first visit after the work judges it; a need
that shows up later is a new one. Skipped jobs come back at the next visit too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep
from bayround.jobs.job import Job, JobState
from bayround.words import _

_CLOSING = {JobStep.DONE, JobStep.SKIPPED}

NeededAt = Callable[[BayPast, JobKind], frozenset[tuple[str, str]]]
"""Which jobs of a kind, as (kind, target), the newest visit of a past showed."""


def with_records(
    jobs: Sequence[Job], past: BayPast, people: Mapping[str, str], needed_at: NeededAt
) -> tuple[Job, ...]:
    """Return the jobs the rules raise, with the state their records give them.

    *people* maps person ids to names; *needed_at* is asked about the first visit after work was done.
    """
    by_key: dict[tuple[str, str], list[JobRecord]] = {}
    for record in past.jobs:
        by_key.setdefault((record.kind.value, record.target), []).append(record)
    return tuple(
        _with_records(job, by_key.get((job.kind.value, job.target), []), past, people, needed_at)
        for job in jobs
    )


def _with_records(
    job: Job, records: list[JobRecord], past: BayPast, people: Mapping[str, str], needed_at: NeededAt
) -> Job:
    if not records:
        return job
    record = max(records, key=lambda item: (item.raised_on, item.id))
    events = sorted(
        (event for event in past.job_events if event.job_id == record.id),
        key=lambda event: (event.recorded_at, event.id),
    )
    if not events:
        return job
    last = events[-1]
    if last.step in _CLOSING and last.happened_on < job.raised_on:
        return replace(job, history=(_came_back(job, last, past, needed_at),))
    state = {
        JobStep.ASSIGNED: JobState.ASSIGNED,
        JobStep.STARTED: JobState.STARTED,
        JobStep.DONE: JobState.DONE,
        JobStep.SKIPPED: JobState.SKIPPED,
    }.get(last.step, JobState.OPEN)
    worker = next((event.person_id for event in reversed(events) if event.person_id), None)
    return replace(
        job,
        state=state,
        record_id=record.id,
        due_on=min(job.due_on, record.due_on),
        assigned_to_id=worker,
        assigned_to=people.get(worker or "", ""),
        history=tuple(_told(event, people) for event in events),
    )


def _came_back(job: Job, last: JobEvent, past: BayPast, needed_at: NeededAt) -> str:
    if last.step is not JobStep.DONE:
        return _("Skipped on {day}: {why}").format(day=words.day(last.happened_on), why=last.note)
    if job.kind is JobKind.HOUSE:
        return _("Done on {day}; a later check of the house found a fault.").format(
            day=words.day(last.happened_on)
        )
    first = next((place for place, seen in enumerate(past.visits) if seen.day > last.happened_on), None)
    if first is None:
        return _("Done on {day}; due anew.").format(day=words.day(last.happened_on))
    visit = past.visits[first]
    if job.kind is JobKind.ROUND:
        text = _("Done on {day}; due anew.")
    elif first == len(past.visits) - 1:
        text = _("Done on {day}, but the visit after it still shows the need.")
    elif (job.kind.value, job.target) in needed_at(replace(past, visits=past.visits[: first + 1]), job.kind):
        text = _("Done on {day}, but the visit after it ({visit}) still showed the need.")
    else:
        text = _("Done on {day}; the visit after it ({visit}) showed that it worked. It is due anew.")
    return text.format(day=words.day(last.happened_on), visit=words.day(visit.day))


def _told(event: JobEvent, people: Mapping[str, str]) -> str:
    parts = [words.day(event.happened_on), _(event.step.value)]
    if event.person_id in people:
        parts.append(people[event.person_id or ""])
    if event.hours is not None:
        parts.append(f"{words.number(event.hours, 1)} h")
    if event.note:
        parts.append(event.note)
    return " · ".join(parts)
