"""Faults of a house: a job to have them looked at, and nobody sent in meanwhile.

The newest look at each part counts. Loaded wires, posts and a torn cover can hurt people: until a competent
person has looked and a new check finds the part good, other work in the house is stopped.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import HOUSE_PARTS, Condition, HouseCheck
from bayround.facts.work import JobKind
from bayround.jobs import hours
from bayround.jobs.job import Job
from bayround.words import _

KEEPS_PEOPLE_OUT = frozenset({"cover", "posts", "wires"})
DAYS_TO_LOOK = 3
"""Within so many days a fault that keeps nobody out is looked at (common practice, no source; no crop's number)."""
CAUTION = (
    "Keep people out and have a competent person look before anyone goes in. Crop wires are loaded: do not cut, "
    "loosen or climb them. Stay out of damaged houses and out of all of them in a storm."
)


def standing(checks: Sequence[HouseCheck]) -> tuple[HouseCheck, ...]:
    """Return the faults that stand: the newest look at a part found one; not looked at changes nothing."""
    newest: dict[str, HouseCheck] = {}
    for check in sorted(checks, key=lambda one: (one.checked_on, one.id)):
        if check.condition is not Condition.NOT_LOOKED_AT:
            newest[check.part] = check
    found = [check for check in newest.values() if check.condition is Condition.FAULT]
    order = {part: place for place, part in enumerate(HOUSE_PARTS)}
    return tuple(sorted(found, key=lambda one: (order.get(one.part, len(order)), one.part)))


def rule(past: BayPast) -> list[Job]:
    """Return the job of a house with a fault, on its first bay."""
    faults = standing(past.house_checks)
    if not faults or not past.leads_house:
        return []
    urgent = any(fault.part in KEEPS_PEOPLE_OUT for fault in faults)
    seen_on = max(fault.checked_on for fault in faults)
    reason = _("Fault found in {house}: {faults}.").format(
        house=past.house.name, faults="; ".join(_told(fault) for fault in faults)
    )
    return [
        Job(
            bay_id=past.bay.id,
            bay_name=f"{past.house.name} · {past.bay.name}",
            kind=JobKind.HOUSE,
            target="",
            reason=f"{reason} {_(CAUTION)}",
            due_on=seen_on + timedelta(days=0 if urgent else DAYS_TO_LOOK),
            priority=1 if urgent else 2,
            hours=hours.unknown(_("Depends on what a competent person finds.")),
            numbers=(),
            raised_on=seen_on,
        )
    ]


def blocks(kind: JobKind, checks: Sequence[HouseCheck]) -> tuple[str, ...]:
    """Return in words what faults of its house stop a job; the look at the house itself is not stopped."""
    if kind is JobKind.HOUSE:
        return ()
    return tuple(
        _("fault in the house ({fault}): nobody goes in until a competent person has looked").format(
            fault=_told(fault)
        )
        for fault in standing(checks)
        if fault.part in KEEPS_PEOPLE_OUT
    )


def warnings(past: BayPast) -> tuple[str, ...]:
    """Return the cautions of a bay in a house with faults."""
    return tuple(
        _("Fault in {house}, {fault}. {caution}").format(
            house=past.house.name, fault=_told(fault), caution=_(CAUTION)
        )
        for fault in standing(past.house_checks)
    )


def _told(fault: HouseCheck) -> str:
    note = f": {fault.note}" if fault.note else ""
    return f"{_(fault.part)}{note} ({words.day(fault.checked_on)})"
