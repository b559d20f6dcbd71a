"""What the first visit after a finished job says about it: it worked, it did not, or it can't be told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from bayround import words
from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobEvent, JobKind, JobRecord
from bayround.figures import families
from bayround.figures.labour import finished
from bayround.jobs import needed_at_visit
from bayround.jobs.house_fault import standing
from bayround.words import _


class Verdict(StrEnum):
    """What is known of a finished job."""

    WORKED = "worked"
    DID_NOT = "did not work"
    CANT_TELL = "can't tell"
    WAITS = "not looked at since"


SHOWN_BY = {
    JobKind.TRELLIS: "head_above_tie_cm",
    JobKind.BALANCE: "fruit_per_m2",
    JobKind.WEED: "weed_cover_percent",
    JobKind.PICK: "ripe_per_m2",
}
"""Kind of job → the figure a visit must have for its need to be seen."""


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
        return _by_house_check(past, event)
    place = next((at for at, seen in enumerate(past.visits) if seen.day > event.happened_on), None)
    if record.kind is JobKind.ROUND:
        walked = any(seen.day >= event.happened_on for seen in past.visits)
        if walked:
            return Verdict.WORKED, _("The bay was visited.")
        return Verdict.DID_NOT, _("No visit of that day or later is kept.")
    if place is None:
        return Verdict.WAITS, _("The next visit will tell.")
    then = replace(past, visits=past.visits[: place + 1])
    day = words.day(past.visits[place].day)
    if (record.kind.value, record.target) in needed_at_visit(then, crops):
        return Verdict.DID_NOT, _("The visit of {day} still showed the need.").format(day=day)
    if not _was_looked_at(then, crops, record):
        return Verdict.CANT_TELL, _("The visit of {day} did not look at what the job was about.").format(
            day=day
        )
    return Verdict.WORKED, _("The visit of {day} no longer showed the need.").format(day=day)


def _was_looked_at(then: BayPast, crops: Crops, record: JobRecord) -> bool:
    visit = then.visits[-1]
    if record.kind is JobKind.PEST:
        checked = any(check.organism == record.target for check in visit.checks)
        return checked or any(card.organism == record.target for card in visit.cards)
    figure = families.of_visit(then, crops, visit.day).get(SHOWN_BY.get(record.kind, ""))
    return figure is not None and figure.value is not None


def _by_house_check(past: BayPast, event: JobEvent) -> tuple[Verdict, str]:
    later = [check for check in past.house_checks if check.checked_on >= event.happened_on]
    if not later:
        return Verdict.WAITS, _("The next check of the house will tell.")
    day = words.day(later[-1].checked_on)
    if standing(past.house_checks):
        return Verdict.DID_NOT, _("The check of {day} found a fault or did not look at it.").format(day=day)
    return Verdict.WORKED, _("The check of {day} found no fault.").format(day=day)
