"""All figures that rest on one visit, family after family; picks come on top (they cost most)."""

from __future__ import annotations

from datetime import date

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.figures import fruit, heat, heights, pests, pressure, stand, weeds
from bayround.figures.figure import Figure


def of_visit(past: BayPast, crops: Crops, as_of: date) -> dict[str, Figure]:
    """Return stand, heat, heights, fruit, pests and weeds of the newest visit in *past*."""
    profile = crops.profile(past.planting.crop) if past.planting else None
    found = stand.figures(past, as_of)
    found |= heat.figures(past, profile, as_of)
    found |= heights.figures(past, profile)
    found |= fruit.figures(past, profile)
    found |= pests.figures(past, profile, crops.organisms)
    found |= pressure.figures(past, profile, crops.organisms)
    found |= weeds.figures(past.latest)
    return found
