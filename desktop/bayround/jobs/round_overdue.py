"""Round overdue: a bay with a crop that has not been visited for too long."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from bayround import words
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobKind
from bayround.figures.figure import Figure
from bayround.figures.labour import OwnRate
from bayround.jobs import hours
from bayround.jobs.job import Job
from bayround.words import _


def rule(
    past: BayPast,
    profile: CropProfile,
    figures: Mapping[str, Figure],
    as_of: date,
    own: OwnRate | None = None,
) -> list[Job]:
    """Return the round job when the last visit is *round_late_days* or longer ago (or never was)."""
    if past.planting is None:
        return []
    latest = past.latest.day if past.latest else past.planting.transplanted_on
    between = int(profile.number("days_between_rounds").value)
    late_after = int(profile.number("round_late_days").value)
    urgent_after = profile.number("round_urgent_times").value * between
    since = (as_of - latest).days
    if since < late_after:
        return []
    plants = len(past.plants_on(as_of))
    minutes = profile.number("labour_scout_minutes_per_plant")
    norm_text = words.counted("{n} marked plant", "{n} marked plants", plants)
    estimated = hours.by_norm(minutes, plants, 60, norm_text, own)
    return [
        Job(
            bay_id=past.bay.id,
            bay_name=f"{past.house.name} · {past.bay.name}",
            kind=JobKind.ROUND,
            target="",
            reason=_reason(past, since, between),
            due_on=latest + timedelta(days=between),
            priority=1 if since >= urgent_after else 2,
            hours=estimated,
            numbers=(figures["days_since_visit"],),
            raised_on=latest,
        )
    ]


def _reason(past: BayPast, since: int, between: int) -> str:
    if past.latest is None:
        return words.counted(
            "Never visited; planted {n} day ago.", "Never visited; planted {n} days ago.", since
        )
    reason = words.counted("Last visited {n} day ago", "Last visited {n} days ago", since)
    return f"{reason} " + _("({day}); a round is due every {days} days.").format(
        day=words.day(past.latest.day), days=between
    )
