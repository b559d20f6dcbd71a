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
    pest_action,
    pick,
    round_overdue,
    trellis,
    weeding,
)
from bayround.jobs.case import Case
from bayround.jobs.job import Job, in_order

RULES = {
    JobKind.TRELLIS: trellis.rule,
    JobKind.BALANCE: fruit_balance.rule,
    JobKind.WEED: weeding.rule,
    JobKind.PEST: pest_action.rule,
    JobKind.PICK: pick.rule,
}
"""What one visit shows, rule by rule."""


def due_jobs(
    past: BayPast,
    figures: Mapping[str, Figure],
    crops: Crops,
    as_of: date,
    people: Mapping[str, str] | None = None,
    rates: Rates | None = None,
) -> tuple[Job, ...]:
    """Return the jobs of one bay on *as_of*, in working order.

    *figures* rest on the newest visit in *past*; *people* maps ids to names; *rates* are what
    the farm's finished jobs say beside the labour norms (without them the norms alone estimate hours).
    """
    own = (rates or {}).get(past.planting.crop, {}) if past.planting else {}
    found = house_fault.rule(past)
    if past.planting is not None:
        found += round_overdue.rule(
            past, crops.profile(past.planting.crop), figures, as_of, own.get(JobKind.ROUND)
        )
        found += _shown_by_visit(past, figures, crops, as_of, own)
    known = ledger.with_records(
        found, past, people or {}, lambda then, kind: needed_at_visit(then, crops, kind)
    )
    blocked = [
        replace(
            job,
            blocked_by=intervals.what_blocks(job.kind, past.treatments, as_of)
            + house_fault.blocks(job.kind, past.house_checks),
        )
        for job in known
    ]
    return in_order(blocked)


def _shown_by_visit(
    past: BayPast,
    figures: Mapping[str, Figure],
    crops: Crops,
    as_of: date,
    own: Mapping[JobKind, OwnRate] | None = None,
    kinds: Iterable[JobKind] = tuple(RULES),
) -> list[Job]:
    """Return the jobs of these kinds that the newest visit shows."""
    if past.planting is None or past.latest is None:
        return []
    case = Case(
        past, past.planting, past.latest, crops.profile(past.planting.crop), crops, figures, as_of, own or {}
    )
    return [job for kind in kinds for job in RULES[kind](case)]


def needed_at_visit(past: BayPast, crops: Crops, kind: JobKind | None = None) -> frozenset[tuple[str, str]]:
    """Return (kind, target) of the jobs that the newest visit in *past* showed, on its own day.

    With *kind* only that rule is asked, and only what it looks at is reckoned.
    """
    if past.latest is None or past.planting is None:
        return frozenset()
    day = past.latest.day
    if kind is None:
        shown = _shown_by_visit(past, families.of_visit(past, crops, day), crops, day)
    elif kind in RULES:
        shown = _shown_by_visit(past, families.behind(kind, past, crops), crops, day, kinds=(kind,))
    else:
        shown = []
    return frozenset((job.kind.value, job.target) for job in shown)
