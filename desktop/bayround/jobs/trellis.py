"""Trellis: the head stands too far above its last tie, or will before the next round."""

from __future__ import annotations

from datetime import timedelta

from bayround import words
from bayround.facts.work import JobKind
from bayround.jobs import hours
from bayround.jobs.case import Case
from bayround.jobs.job import Job
from bayround.words import _


def rule(case: Case) -> list[Job]:
    """Return the trellis job: urgent, due now, or due on the day the head is expected to pass the tie."""
    above = case.figures["head_above_tie_cm"]
    if above.value is None:
        return []
    every, urgent = case.number("tie_every_cm"), case.number("tie_urgent_cm")
    until_next_round = int(case.number("days_between_rounds"))
    days_left = case.figures["days_to_tie"].value
    if above.value >= urgent:
        due, priority = case.due_on("trellis_due_days_urgent"), 1
        reason = _("Heads stand {above} cm above the last tie; from {limit} cm it is urgent.")
        limit = urgent
    elif above.value >= every:
        due, priority = case.due_on("trellis_due_days"), 2
        reason = _("Heads stand {above} cm above the last tie; a tie is due every {limit} cm.")
        limit = every
    elif days_left is not None and days_left < until_next_round:
        due, priority = case.visit.day + timedelta(days=max(1, int(days_left))), 3
        reason = _(
            "Heads stand {above} cm above the last tie and will pass {limit} cm before the next round."
        )
        limit = every
    else:
        return []
    stems = case.planting.plants * case.planting.stems_per_plant
    norm = case.profile.number("labour_trellis_h_per_1000_stems")
    stems_text = words.counted("{n} stem", "{n} stems", stems)
    estimated = hours.by_norm(norm, stems, 1000, stems_text, case.own_rates.get(JobKind.TRELLIS))
    text = reason.format(above=above.text, limit=words.number(limit, 0))
    return [
        case.job(
            JobKind.TRELLIS,
            text,
            due,
            priority,
            estimated,
            ("head_above_tie_cm", "growth_cm_week", "days_to_tie"),
        )
    ]
