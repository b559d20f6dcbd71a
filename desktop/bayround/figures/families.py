"""The figures of one bay, family after family: what its newest visit says, and what only the past tells."""

from __future__ import annotations

from datetime import date

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobKind
from bayround.figures import climate, fruit, heat, heights, pests, pressure, stand, weeds
from bayround.figures.figure import Figure


def of_visit(past: BayPast, crops: Crops, as_of: date) -> dict[str, Figure]:
    """Return stand, heights, fruit, pests and weeds of the newest visit: all that jobs rest on."""
    profile = crops.profile(past.planting.crop) if past.planting else None
    found = stand.figures(past, as_of)
    found |= heights.figures(past, profile)
    found |= fruit.figures(past, profile)
    found |= pests.figures(past, profile, crops.organisms)
    found |= weeds.figures(past.latest)
    return found


def over_time(past: BayPast, crops: Crops, as_of: date, *, lately: bool = False) -> dict[str, Figure]:
    """Return heat, dryness of the air and light, and pests over time: what the whole season tells, or only of pests found *lately*."""
    profile = crops.profile(past.planting.crop) if past.planting else None
    found = heat.figures(past, profile, as_of)
    found |= climate.figures(past, as_of)
    return found | pressure.figures(past, profile, crops.organisms, lately=lately)


def behind(kind: JobKind, past: BayPast, crops: Crops) -> dict[str, Figure]:
    """Return the figures of the newest visit that the rule of one kind of job looks at."""
    profile = crops.profile(past.planting.crop) if past.planting else None
    if kind is JobKind.TRELLIS:
        return heights.figures(past, profile)
    if kind is JobKind.WEED:
        return weeds.figures(past.latest)
    if kind is JobKind.PEST:
        return pests.figures(past, profile, crops.organisms)
    return fruit.figures(past, profile)
