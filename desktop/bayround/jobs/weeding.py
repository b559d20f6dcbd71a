"""Weeding: weed cover at the farm's limit; weeds that set seed come first."""

from __future__ import annotations

from bayround import words
from bayround.facts.work import JobKind
from bayround.figures import weeds
from bayround.jobs import hours
from bayround.jobs.case import Case
from bayround.jobs.job import Job
from bayround.words import _


def rule(case: Case) -> list[Job]:
    """Return the weeding job when cover is at the limit, or when any weeds set seed."""
    cover = case.figures["weed_cover_percent"]
    if cover.value is None:
        return []
    act, urgent = case.number("weed_cover_percent_act"), case.number("weed_cover_percent_urgent")
    seeding = weeds.seeding(case.visit) and cover.value > 0
    if cover.value < act and not seeding:
        return []
    is_urgent = cover.value >= urgent or seeding
    due = case.due_on("weed_due_days_urgent" if is_urgent else "weed_due_days")
    area = case.past.bay.area_m2
    norm = case.profile.number("labour_weed_h_per_100_m2")
    estimated = hours.by_norm(
        norm,
        area * max(cover.value, 1) / 100,
        100,
        _("weedy part of {area} m²").format(area=words.number(area, 0)),
        case.own_rates.get(JobKind.WEED),
    )
    return [
        case.job(
            JobKind.WEED,
            _reason(case, act, seeding),
            due,
            1 if is_urgent else 2,
            estimated,
            ("weed_cover_percent",),
        )
    ]


def _reason(case: Case, limit: float, seeding: bool) -> str:
    cover = case.figures["weed_cover_percent"]
    where = next(
        (note.where for note in case.visit.weeds if note.where and note.cover_percent == cover.value), ""
    )
    parts = [
        _("Weeds cover {cover} % of the ground (limit {limit} %)").format(
            cover=cover.text, limit=words.number(limit, 0)
        )
    ]
    if where:
        parts.append(where)
    if seeding:
        parts.append(_("seeding: weed before the seed falls"))
    return "; ".join(parts) + "."
