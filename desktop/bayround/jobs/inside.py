"""Picks and work that lie inside an interval, as the facts now tell; also of treatments written down afterwards.

What is known of a pick is its day and perhaps when it began; of a finished job when it was started (if that was
noted) and ticked off. Where a moment is not known the whole day counts: not known is not safe. A person can keep an
explanation for each treatment; it counts until the times or intervals of that treatment are changed. The product
label, local rules and licensed or competent people decide what becomes of the fruit or the work, not this list.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo
from functools import partial
from typing import TypeVar

from bayround import words
from bayround.facts.moments import local_day, start_of_day
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Explanation, JobEvent, JobKind, JobRecord, JobStep, Pick, Treatment
from bayround.jobs.closed_days import ClosedDays, evening
from bayround.jobs.intervals import counts_from, moment_text, stops
from bayround.words import _

PICK, STEP = "pick", "job_event"
"""The tables an explanation may belong to."""


@dataclass(frozen=True, slots=True)
class Inside:
    """One pick, or one piece of work, and the treatments inside whose intervals it lies.

    *reasons*: (treatment, what it closes in words); *said*: explanations that still count, by treatment id.
    """

    table_name: str
    row_id: str
    bay_id: str
    day: date
    what: str
    reasons: tuple[tuple[Treatment, str], ...]
    said: Mapping[str, str] = field(default_factory=dict)
    note: str = ""

    @property
    def unexplained(self) -> tuple[Treatment, ...]:
        """The treatments for which no explanation counts."""
        return tuple(item for item, _why in self.reasons if item.id not in self.said)

    @property
    def why(self) -> str:
        """What it lies inside of, in words."""
        return "; ".join(dict.fromkeys(text for _item, text in self.reasons))

    @property
    def short(self) -> str:
        """What, when and inside of what, without what was said of it."""
        return _("{what} on {day} inside an interval: {reasons}.").format(
            what=self.what, day=words.day(self.day), reasons=self.why
        )

    @property
    def text(self) -> str:
        """The whole in one sentence, with the explanation or the lack of one."""
        told = self.short
        said = "; ".join(dict.fromkeys(self.said.values()))
        note = "" if self.note in said else self.note
        if self.unexplained:
            kept = _("Its note: {note}.").format(note=note.rstrip(".")) if note else ""
            lack = _(
                "Not explained: keep an explanation or put the record right; the label and local rules decide."
            )
            return " ".join(part for part in (told, kept, lack) if part)
        return f"{told} " + _("Explanation: {text}").format(text=said)


def pick_stops(pick: Pick, item: Treatment, zone: tzinfo | None = None) -> tuple[str, ...]:
    """Return in words what a treatment has against a pick; nothing where it has nothing."""
    first, last = start_of_day(pick.picked_on, zone), evening(pick.picked_on, zone)
    if pick.began_at is None:
        return stops(JobKind.PICK, [item], last, zone, since=first)
    found = stops(JobKind.PICK, [item], pick.began_at, zone)
    closes = counts_from(item, zone)
    if found or not pick.began_at < closes <= last or not stops(JobKind.PICK, [item], closes, zone):
        return found
    return (
        _("a treatment began at {moment}, and when picking was over is not kept").format(
            moment=moment_text(closes, zone)
        ),
    )


def of_picks(
    picks: Iterable[Pick],
    treatments: Sequence[Treatment],
    explanations: Sequence[Explanation] = (),
    zone: tzinfo | None = None,
) -> tuple[Inside, ...]:
    """Return the picks of one bay that lie inside an interval, newest first; 0 kg was no pick."""
    known = sorted((one for one in picks if one.kg > 0), key=lambda one: (one.picked_on, one.id))
    closed = ClosedDays(treatments, zone)
    found = []
    for pick in reversed(known):
        near = closed.on(pick.picked_on, pick.began_at)
        if near and (reasons := _reasons(near, partial(pick_stops, pick, zone=zone))):
            what = _("Picked ({kg} kg)").format(kg=words.number(pick.kg, 1))
            said = _said(reasons, PICK, {pick.id}, explanations)
            found.append(Inside(PICK, pick.id, pick.bay_id, pick.picked_on, what, reasons, said, pick.note))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Work:
    """One piece of work: its steps from the first start to the tick, and between which moments it was done."""

    steps: tuple[JobEvent, ...]
    since: datetime
    until: datetime


def of_work(
    jobs: Sequence[JobRecord],
    events: Sequence[JobEvent],
    treatments: Sequence[Treatment],
    explanations: Sequence[Explanation] = (),
    zone: tzinfo | None = None,
) -> tuple[Inside, ...]:
    """Return the finished and started work of one bay that lies inside an interval, newest first."""
    if not treatments:
        return ()
    kinds = {job.id: job for job in jobs}
    closed = ClosedDays(treatments, zone)
    found = []
    for work in _all_work(kinds, events, zone):
        near = closed.within(work.since, work.until)
        if near and (one := _worked(work, kinds, near, explanations, zone)) is not None:
            found.append(one)
    return tuple(sorted(found, key=lambda one: (one.day, one.row_id), reverse=True))


def _worked(
    work: _Work,
    jobs: Mapping[str, JobRecord],
    treatments: Sequence[Treatment],
    explanations: Sequence[Explanation],
    zone: tzinfo | None,
) -> Inside | None:
    last = work.steps[-1]
    job = jobs[last.job_id]
    reasons = _reasons(treatments, lambda item: stops(job.kind, [item], work.until, zone, since=work.since))
    if not reasons:
        return None
    said = _said(reasons, STEP, {step.id for step in work.steps}, explanations)
    what = (_("Worked ({kind})") if last.step is JobStep.DONE else _("Work begun ({kind})")).format(
        kind=_(job.kind.value)
    )
    note = "; ".join(dict.fromkeys(step.note for step in work.steps if step.note))
    return Inside(STEP, last.id, job.bay_id, last.happened_on, what, reasons, said, note)


def work_began(steps: Sequence[JobEvent], day: date, zone: tzinfo | None = None) -> datetime:
    """Return from when work ticked off on a day may have been done: its noted start, or the start of the day."""
    starts = [step.recorded_at for step in steps if step.step is JobStep.STARTED]
    return min(starts) if starts else start_of_day(day, zone)


def _all_work(jobs: Mapping[str, JobRecord], events: Sequence[JobEvent], zone: tzinfo | None) -> list[_Work]:
    steps: dict[str, list[JobEvent]] = {}
    for event in sorted(events, key=lambda one: (one.recorded_at, one.id)):
        steps.setdefault(event.job_id, []).append(event)
    return [work for job_id, kept in steps.items() if job_id in jobs for work in _work(kept, zone)]


def _work(steps: Sequence[JobEvent], zone: tzinfo | None) -> list[_Work]:
    found: list[_Work] = []
    run: list[JobEvent] = []
    for step in steps:
        if step.step is JobStep.STARTED:
            run.append(step)
        elif step.step is JobStep.DONE:
            same = local_day(step.recorded_at, zone) == step.happened_on
            began = work_began(run, step.happened_on, zone)
            ended = step.recorded_at if same else evening(step.happened_on, zone)
            found.append(_Work((*run, step), began, max(began, ended)))
            run = []
        elif step.step is JobStep.SKIPPED:
            found += _begun(run)
            run = []
    return found + _begun(run)


def _begun(run: Sequence[JobEvent]) -> list[_Work]:
    """Return work that was begun and not ticked off: judged from its first start to its last."""
    return [_Work(tuple(run), run[0].recorded_at, run[-1].recorded_at)] if run else []


def of_farm(
    season: SeasonFacts, until: date | None = None, zone: tzinfo | None = None
) -> dict[str, tuple[Inside, ...]]:
    """Return bay id → all that lies inside an interval there, picks first; of every crop that stood there."""
    done = {item.id: item for item in season.treatments}
    covering: dict[str, list[Treatment]] = {}
    for link in season.covered:
        item = done.get(link.treatment_id)
        if item is not None and (until is None or local_day(item.known_from, zone) <= until):
            covering.setdefault(link.bay_id, []).append(item)
    found = {}
    picks = _by_bay(one for one in season.picks if until is None or one.picked_on <= until)
    jobs = _by_bay(season.jobs)
    events: dict[str, list[JobEvent]] = {}
    for event in season.job_events:
        if until is None or event.happened_on <= until:
            events.setdefault(event.job_id, []).append(event)
    for bay_id, items in covering.items():
        items.sort(key=lambda one: (one.ended_at, one.id))
        own = jobs.get(bay_id, [])
        told = of_picks(picks.get(bay_id, []), items, season.explanations, zone)
        steps = [event for job in own for event in events.get(job.id, ())]
        told += of_work(own, steps, items, season.explanations, zone)
        if told:
            found[bay_id] = told
    return found


_InBay = TypeVar("_InBay", Pick, JobRecord)


def _by_bay(facts: Iterable[_InBay]) -> dict[str, list[_InBay]]:
    found: dict[str, list[_InBay]] = {}
    for fact in facts:
        found.setdefault(fact.bay_id, []).append(fact)
    return found


def _reasons(
    treatments: Sequence[Treatment], against: Callable[[Treatment], tuple[str, ...]]
) -> tuple[tuple[Treatment, str], ...]:
    found = ((item, "; ".join(against(item))) for item in treatments)
    return tuple((item, text) for item, text in found if text)


def _said(
    reasons: Sequence[tuple[Treatment, str]],
    table_name: str,
    rows: set[str],
    explanations: Sequence[Explanation],
) -> dict[str, str]:
    """Return treatment id → what was said, where the treatment is still as it was known then."""
    known = {item.id: item.known_as for item, _why in reasons}
    kept = [one for one in explanations if one.table_name == table_name and one.row_id in rows]
    return {
        one.treatment_id: one.said
        for one in sorted(kept, key=lambda one: (one.kept_at, one.id))
        if known.get(one.treatment_id) == one.known_as
    }
