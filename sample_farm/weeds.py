"""Weeds: the ground cover the scout judged at every visit."""

from __future__ import annotations

from typing import Any

from bayround.facts.rounds import WeedNote
from bayround.facts.weeks import Week

from .chance import fact_id, half_up, stream
from .scenario import Scenario
from .walks import PlannedVisit


def notes(scenario: Scenario, seed: int, planned: tuple[PlannedVisit, ...]) -> tuple[WeedNote, ...]:
    """Return one weed note a visit, in whole percent."""
    found: list[WeedNote] = []
    for bay in scenario.bays:
        found += _of_bay(scenario, seed, [visit for visit in planned if visit.bay is bay])
    return tuple(found)


def _of_bay(scenario: Scenario, seed: int, planned: list[PlannedVisit]) -> list[WeedNote]:
    table = scenario.tables["weeds"]
    bay = planned[0].bay
    rng = stream(seed, bay.name, "weeds")
    weedy = next((entry for entry in scenario.tables["weedy"] if entry["bay"] == bay.name), None)
    weeded = _weeded_by_job(scenario, bay.name)
    cover = table["left_percent"] + 2.0 * rng.random()
    found = []
    for visit in planned:
        neglected = (
            weedy is not None and visit.week >= Week.parse(weedy["from_week"]) and not _past(weeded, visit)
        )
        if weeded and visit.week == weeded.plus(1):
            cover = float(table["left_percent"])
        found.append(_note(seed, visit, cover, weedy if neglected else None))
        if neglected and weedy is not None:
            cover = min(cover * weedy["grows_by"], 90.0)
        elif cover >= table["weeded_at_percent"]:
            cover = table["left_percent"] + rng.random()
        else:
            cover += table["gains_percent_per_week"] * 2.0 * rng.random()
    return found


def _note(seed: int, visit: PlannedVisit, cover: float, weedy: dict[str, Any] | None) -> WeedNote:
    seeding_from = weedy.get("seeding_from_week") if weedy else None
    return WeedNote(
        id=fact_id(seed, visit.day, "weeds", visit.day, visit.bay.name),
        visit_id=visit.id,
        cover_percent=half_up(cover, 1.0),
        seeding=seeding_from is not None and visit.week >= Week.parse(seeding_from),
        species=weedy["species"] if weedy else "",
        where=weedy["where"] if weedy else "",
    )


def _weeded_by_job(scenario: Scenario, bay: str) -> Week | None:
    """Return the week in which a weeding job of this bay was done."""
    for job in scenario.jobs:
        if job.bay == bay and job.kind == "weeding" and any(step["step"] == "done" for step in job.steps):
            return job.week
    return None


def _past(weeded: Week | None, visit: PlannedVisit) -> bool:
    return weeded is not None and visit.week > weeded
