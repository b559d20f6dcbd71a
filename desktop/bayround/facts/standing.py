"""How many plants stand: as planted, or as counted since."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from bayround.facts.farm import Planting
from bayround.facts.kept import StandCount


def up_to(counts: Iterable[StandCount], day: date) -> list[StandCount]:
    """Return the counts up to a day, oldest first; of several on one day the last one written is the last."""
    return sorted((one for one in counts if one.counted_on <= day), key=lambda one: (one.counted_on, one.id))


def as_counted(planting: Planting | None, planted: int, counts: Sequence[StandCount]) -> Planting | None:
    """Return a planting with the plants of the newest count, or with *planted* where none was counted."""
    if planting is None:
        return None
    plants = counts[-1].plants if counts else planted or planting.plants
    return planting if plants == planting.plants else replace(planting, plants=plants)
