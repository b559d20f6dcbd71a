"""More bays like one that is set up: the same size and crop, the name counted on."""

from __future__ import annotations

import re
from dataclasses import replace

from bayround.facts.farm import Bay, Planting
from bayround.facts.ids import new_id
from bayround.facts.season import SeasonFacts

_COUNTED = re.compile(r"^(.*?)([0-9]+)$")


def bays_like(
    bay: Bay, planting: Planting | None, count: int, known: SeasonFacts
) -> tuple[Bay | Planting, ...]:
    """Return *count* new bays behind the last one of the house, each with a planting like *planting*."""
    there = [item for item in known.bays if item.house_id == bay.house_id]
    taken = {item.name.casefold() for item in there}
    position = max((item.position for item in there), default=0)
    bays: list[Bay | Planting] = []
    plantings: list[Bay | Planting] = []
    name = bay.name
    for step in range(1, count + 1):
        name = _next_free(name, taken)
        taken.add(name.casefold())
        made = replace(bay, id=new_id(), name=name, position=position + step, retired_on=None)
        bays.append(made)
        if planting is not None:
            plantings.append(replace(planting, id=new_id(), bay_id=made.id, removed_on=None))
    return (*bays, *plantings)


def _next_free(name: str, taken: set[str]) -> str:
    """Return the next name that is not taken: ``B07`` → ``B08``, ``North`` → ``North 2``."""
    found = _COUNTED.match(name)
    stem, number, digits = (found[1], int(found[2]), len(found[2])) if found else (f"{name} ", 1, 1)
    while True:
        number += 1
        proposed = f"{stem}{number:0{digits}d}"
        if proposed.casefold() not in taken:
            return proposed
