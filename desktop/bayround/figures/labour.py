"""The farm's own labour rates: what its finished jobs say beside the norms.

The hours a job took are compared with what the norm gives for the amount that was really there. The factor is
the mean of the log ratios drawn towards 1 (no difference) while few jobs are finished; the same rule corrects
forecasts of picks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bayround.agronomy import forecast_score
from bayround.crops import Crops
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep


@dataclass(frozen=True, slots=True)
class OwnRate:
    """What hours by the norm are multiplied by, and on how many finished jobs it rests."""

    factor: float
    factor_error: float
    jobs: int


Rates = Mapping[str, Mapping[JobKind, OwnRate]]
"""Crop → kind of job → the farm's own rate."""


def learned(pasts: Sequence[BayPast], crops: Crops) -> Rates:
    """Return the farm's own rates from the finished jobs of the plantings that stand."""
    took: dict[tuple[str, JobKind], list[tuple[float, float]]] = defaultdict(list)
    for past in pasts:
        if past.planting is None:
            continue
        profile = crops.profile(past.planting.crop)
        for record, event in finished(past):
            by_norm = norm_hours(past, profile, record, event)
            if event.hours and by_norm:
                took[past.planting.crop, record.kind].append((event.hours, by_norm))
    rates: dict[str, dict[JobKind, OwnRate]] = defaultdict(dict)
    for (crop, kind), pairs in took.items():
        profile = crops.profile(crop)
        bias = forecast_score.ratio_bias(
            [hours for hours, _norm in pairs],
            [norm for _hours, norm in pairs],
            week_deviation=profile.number("labour_job_deviation").value,
            factor_deviation=profile.number("labour_farm_deviation").value,
        )
        rates[crop][kind] = OwnRate(bias.factor, bias.factor_error, len(pairs))
    return rates


def finished(past: BayPast) -> list[tuple[JobRecord, JobEvent]]:
    """Return the jobs of a bay that were done, each with its last such step."""
    steps: dict[str, list[JobEvent]] = defaultdict(list)
    for event in past.job_events:
        steps[event.job_id].append(event)
    found = []
    for record in past.jobs:
        ends = [event for event in steps[record.id] if event.step is JobStep.DONE]
        if ends:
            found.append((record, max(ends, key=lambda event: (event.recorded_at, event.id))))
    return found


def norm_hours(past: BayPast, profile: CropProfile, record: JobRecord, event: JobEvent) -> float | None:
    """Return the hours the norm gives for what was there to do; nothing where the amount is not known."""
    planting = past.planting
    if planting is None:
        return None
    if record.kind is JobKind.TRELLIS:
        stems = past.standing_on(event.happened_on) * planting.stems_per_plant
        return profile.number("labour_trellis_h_per_1000_stems").value * stems / 1000
    if record.kind is JobKind.BALANCE:
        plants = past.standing_on(event.happened_on)
        return profile.number("labour_balance_h_per_1000_plants").value * plants / 1000
    if record.kind is JobKind.ROUND:
        minutes = profile.number("labour_scout_minutes_per_plant").value
        return minutes * len(past.plants_on(event.happened_on)) / 60
    if record.kind is JobKind.PICK:
        kg = sum(pick.kg for pick in past.picks if pick.picked_on == event.happened_on)
        return kg / profile.number("labour_pick_kg_per_h").value or None
    if record.kind is JobKind.WEED:
        return _weeding_hours(past, profile, record)
    return None


def _weeding_hours(past: BayPast, profile: CropProfile, record: JobRecord) -> float | None:
    covers = [
        note.cover_percent for seen in past.visits if seen.day == record.raised_on for note in seen.weeds
    ]
    if not covers:
        return None
    norm = profile.number("labour_weed_h_per_100_m2").value
    return norm * past.bay.area_m2 * max(*covers, 1.0) / 100 / 100
