"""What is due, why, by when: one rule a file, from figures and the crop's numbers to jobs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobKind
from bayround.figures import families
from bayround.figures.figure import Figure
from bayround.figures.labour import OwnRate, Rates
from bayround.jobs import (
    fruit_balance,
    house_fault,
    intervals,
    ledger,
    looks,
    pest_action,
    pick,
    round_overdue,
    trellis,
    weeding,
)
from bayround.jobs.case import Case
from bayround.jobs.job import Job, in_order
from bayround.words import _, day

RULES = {
    JobKind.TRELLIS: trellis.rule,
    JobKind.BALANCE: fruit_balance.rule,
    JobKind.WEED: weeding.rule,
    JobKind.PEST: pest_action.rule,
    JobKind.PICK: pick.rule,
}
"""What one visit shows, rule by rule; each rests on the newest visit that looked at its subject."""


def due_jobs(
    past: BayPast,
    figures: Mapping[str, Figure],
    crops: Crops,
    as_of: date,
    people: Mapping[str, str] | None = None,
    rates: Rates | None = None,
) -> tuple[Job, ...]:
    """Return the jobs of one bay on *as_of*, in working order.

    *figures* rest on the newest visit in *past*; a rule whose subject it did not look at goes by the newest
    visit that did, and says so. *people* maps ids to names; *rates* are what
    the farm's finished jobs say beside the labour norms (without them the norms alone estimate hours).
    """
    own = (rates or {}).get(past.planting.crop, {}) if past.planting else {}
    found = house_fault.rule(past)
    days_between_rounds = 0
    if past.planting is not None:
        profile = crops.profile(past.planting.crop)
        days_between_rounds = int(profile.number("days_between_rounds").value)
        found += round_overdue.rule(past, profile, figures, as_of, own.get(JobKind.ROUND))
        found += _shown(past, figures, crops, as_of, own)
    known = ledger.with_records(
        found,
        past,
        people or {},
        lambda then, kind, target: shown_at_visit(then, crops, kind, target),
        as_of,
        days_between_rounds,
    )
    return with_blocks(known, past, as_of)


def with_blocks(jobs: Iterable[Job], past: BayPast, as_of: date) -> tuple[Job, ...]:
    """Return the jobs, in working order, with what stops them on *as_of* by the treatments and house checks in *past*."""
    return in_order(
        [
            replace(
                job,
                blocked_by=intervals.what_blocks(job.kind, past.treatments, as_of)
                + house_fault.blocks(job.kind, past.house_checks),
            )
            for job in jobs
        ]
    )


def _shown(
    past: BayPast,
    figures: Mapping[str, Figure],
    crops: Crops,
    as_of: date,
    own: Mapping[JobKind, OwnRate],
) -> list[Job]:
    """Return the jobs that each rule sees at the newest visit that looked at its subject."""
    if past.planting is None:
        return []
    profile = crops.profile(past.planting.crop)
    found = []
    for kind in RULES:
        for then, targets in looks.newest(kind, past, past.planting, profile):
            if then.latest is past.latest:
                jobs = _at_visit(kind, then, figures, crops, as_of, own)
            else:
                earlier = _at_visit(kind, then, families.behind(kind, then, crops), crops, as_of, own)
                jobs = [_not_looked_at_since(job) for job in earlier]
            found += [job for job in jobs if job.target in targets]
    return found


def _not_looked_at_since(job: Job) -> Job:
    return replace(
        job, reason=f"{job.reason} " + _("Not looked at since {day}.").format(day=day(job.raised_on))
    )


def _at_visit(
    kind: JobKind,
    past: BayPast,
    figures: Mapping[str, Figure],
    crops: Crops,
    as_of: date,
    own: Mapping[JobKind, OwnRate],
) -> list[Job]:
    """Return the jobs of one kind that the newest visit in *past* shows."""
    if past.planting is None or past.latest is None:
        return []
    profile = crops.profile(past.planting.crop)
    return RULES[kind](Case(past, past.planting, past.latest, profile, crops, figures, as_of, own))


def shown_at_visit(past: BayPast, crops: Crops, kind: JobKind, target: str) -> bool | None:
    """Tell whether the newest visit in *past* showed the need of a job on its own day; nothing if it did not look."""
    if past.latest is None or past.planting is None:
        return None
    if target not in looks.targets(kind, past.latest, past.planting, crops.profile(past.planting.crop)):
        return None
    shown = _at_visit(kind, past, families.behind(kind, past, crops), crops, past.latest.day, {})
    return any(job.target == target for job in shown)
