"""A part of the invented farm, small enough that a window on it opens in a blink."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date

from bayround.facts.farm import FarmInfo
from bayround.facts.season import SeasonFacts

BAYS = frozenset({"N1", "S1", "S3", "S4", "G4", "T1"})
"""A weedy bay, two to tie up, one with too much fruit, one visited late, one treated and closed to people."""

FIRST_DAY = date(2026, 10, 19)


def part_of(season: SeasonFacts) -> SeasonFacts:
    """Return the six bays with their rounds from W43 on."""
    bays = tuple(bay for bay in season.bays if bay.name in BAYS)
    in_part = {bay.id for bay in bays}
    plantings = tuple(item for item in season.plantings if item.bay_id in in_part)
    standing = {item.id for item in plantings}
    plants = tuple(item for item in season.marked_plants if item.planting_id in standing)
    rounds = tuple(item for item in season.rounds if item.held_on >= FIRST_DAY)
    walked = {item.id for item in rounds}
    visits = tuple(item for item in season.visits if item.bay_id in in_part and item.round_id in walked)
    seen = {item.id for item in visits}
    jobs = tuple(item for item in season.jobs if item.bay_id in in_part)
    raised = {item.id for item in jobs}
    links = tuple(item for item in season.treatment_bays if item.bay_id in in_part)
    treated = {item.treatment_id for item in links}
    return replace(
        season,
        bays=bays,
        plantings=plantings,
        marked_plants=plants,
        rounds=rounds,
        visits=visits,
        readings=tuple(item for item in season.readings if item.visit_id in seen),
        pest_checks=tuple(item for item in season.pest_checks if item.visit_id in seen),
        card_counts=tuple(item for item in season.card_counts if item.visit_id in seen),
        weed_notes=tuple(item for item in season.weed_notes if item.visit_id in seen),
        doubt_answers=tuple(item for item in season.doubt_answers if item.visit_id in seen),
        jobs=jobs,
        job_events=tuple(item for item in season.job_events if item.job_id in raised),
        treatments=tuple(item for item in season.treatments if item.id in treated),
        treatment_bays=links,
        picks=tuple(
            item for item in season.picks if item.planting_id in standing and item.picked_on >= FIRST_DAY
        ),
        explanations=tuple(item for item in season.explanations if item.treatment_id in treated),
        climate_days=(),
        trial_plots=tuple(item for item in season.trial_plots if item.bay_id in in_part),
        costs=tuple(item for item in season.costs if item.bay_id is None or item.bay_id in in_part),
    )


def facts_of(season: SeasonFacts) -> list[object]:
    """Return every fact but the farm itself, in an order in which they can be kept."""
    found: list[object] = []
    for field in fields(season):
        value = getattr(season, field.name)
        if not isinstance(value, FarmInfo):
            found += value
    return found
