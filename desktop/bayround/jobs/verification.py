"""What the first visit after a finished job says about it: it worked, it did not, or it can't be told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from bayround import words
from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Condition
from bayround.facts.work import JobEvent, JobKind, JobRecord
from bayround.figures.labour import finished
from bayround.jobs import shown_at_visit
from bayround.jobs.house_fault import standing
from bayround.words import _


class Verdict(StrEnum):
    """What is known of a finished job."""

    WORKED = "worked"
    DID_NOT = "did not work"
    CANT_TELL = "can't tell"
    WAITS = "not looked at since"


@dataclass(frozen=True, slots=True)
class Verified:
    """A finished job: when, by whom, how long, and the verdict in words."""

    bay_id: str
    bay_name: str
    kind: JobKind
    target: str
    done_on: date
    done_by: str
    hours: float | None
    verdict: Verdict
    text: str

    @property
    def kind_text(self) -> str:
        """The kind as a person reads it."""
        return _(self.kind.value.capitalize())


def of_bay(past: BayPast, crops: Crops, since: date, people: Mapping[str, str]) -> tuple[Verified, ...]:
    """Return the verdicts on the jobs of a bay that were done on or after *since*."""
    return tuple(
        _verified(past, crops, record, event, people)
        for record, event in finished(past)
        if event.happened_on >= since
    )


def _verified(
    past: BayPast, crops: Crops, record: JobRecord, event: JobEvent, people: Mapping[str, str]
) -> Verified:
    verdict, text = _judged(past, crops, record, event)
    return Verified(
        bay_id=past.bay.id,
        bay_name=f"{past.house.name} · {past.bay.name}",
        kind=record.kind,
        target=record.target,
        done_on=event.happened_on,
        done_by=people.get(event.person_id or "", ""),
        hours=event.hours,
        verdict=verdict,
        text=text,
    )


def _judged(past: BayPast, crops: Crops, record: JobRecord, event: JobEvent) -> tuple[Verdict, str]:
    if record.kind is JobKind.HOUSE:
        return _by_house_check(past, record, event)
    place = next((at for at, seen in enumerate(past.visits) if seen.day > event.happened_on), None)
    if record.kind is JobKind.ROUND:
        walked = any(seen.day >= event.happened_on for seen in past.visits)
        if walked:
            return Verdict.WORKED, _("The bay was visited.")
        return Verdict.DID_NOT, _("No visit of that day or later is kept.")
    if place is None:
        return Verdict.WAITS, _("The next visit will tell.")
    needed = shown_at_visit(replace(past, visits=past.visits[: place + 1]), crops, record.kind, record.target)
    day = words.day(past.visits[place].day)
    if needed is None:
        return Verdict.CANT_TELL, _("The visit of {day} did not look at what the job was about.").format(
            day=day
        )
    if needed:
        return Verdict.DID_NOT, _("The visit of {day} still showed the need.").format(day=day)
    return Verdict.WORKED, _("The visit of {day} no longer showed the need.").format(day=day)


def _by_house_check(past: BayPast, record: JobRecord, event: JobEvent) -> tuple[Verdict, str]:
    """Judge by the first look after the work at each part that had a fault then (or when the job was raised)."""

    def faulty(day: date) -> set[str]:
        return {one.part for one in standing([one for one in past.house_checks if one.checked_on <= day])}

    first = {}
    for check in sorted(past.house_checks, key=lambda one: (one.checked_on, one.id), reverse=True):
        if check.checked_on > event.happened_on and check.condition is not Condition.NOT_LOOKED_AT:
            first[check.part] = check
    parts = faulty(event.happened_on) or faulty(record.raised_on)
    looks = [first[part] for part in sorted(parts) if part in first]
    faults = [look.checked_on for look in looks if look.condition is Condition.FAULT]
    if faults:
        return Verdict.DID_NOT, _("The check of {day} still found a fault.").format(
            day=words.day(min(faults))
        )
    if len(looks) < len(parts) or not parts:
        return Verdict.WAITS, _("The next check of the house will tell.")
    day = words.day(max(look.checked_on for look in looks))
    return Verdict.WORKED, _("The check of {day} found no fault.").format(day=day)
