"""What is due, why, by when: one rule a file, from figures and the crop's numbers to jobs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.figures.figure import Figure
from bayround.jobs import fruit_balance, intervals, ledger, pest_action, pick, round_overdue, trellis, weeding
from bayround.jobs.case import Case
from bayround.jobs.job import Job, in_order

RULES = (trellis.rule, fruit_balance.rule, weeding.rule, pest_action.rule, pick.rule)


def due_jobs(
    past: BayPast,
    figures: Mapping[str, Figure],
    crops: Crops,
    as_of: date,
    people: Mapping[str, str] | None = None,
) -> tuple[Job, ...]:
    """Return the jobs of one bay on *as_of*, in working order.

    *figures* rest on the newest visit in *past*; *people* maps ids to names.
    """
    if past.planting is None:
        return ()
    profile = crops.profile(past.planting.crop)
    found = round_overdue.rule(past, profile, figures, as_of)
    if past.latest is not None:
        case = Case(past, past.planting, past.latest, profile, crops, figures, as_of)
        for rule in RULES:
            found += rule(case)
    known = ledger.with_records(found, past, people or {})
    blocked = [
        replace(job, blocked_by=intervals.what_blocks(job.kind, past.treatments, job.due_on, as_of))
        for job in known
    ]
    return in_order(blocked)
