"""A small map for the job sheet: the houses as strips, their bays in walk order, the bays with jobs marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bayround.paper.pages.drawing import MARGIN_MM, Box, Item, Text
from bayround.paper.pages.paging import Part
from bayround.week.snapshot import WeekSnapshot

_STRIP_MM, _GAP_MM, _NAME_MM = 10.0, 1.5, 38.0
_NARROWEST_BAY_MM = 11.0


def parts(snapshot: WeekSnapshot, numbers: Mapping[str, Sequence[int]], width: float) -> tuple[Part, ...]:
    """Return a strip for every house with a job; a bay's box holds its name and the numbers of its jobs."""
    houses: dict[str, list[tuple[str, str, str]]] = {}
    for seen in snapshot.bays:
        houses.setdefault(seen.house.id, []).append((seen.house.name, seen.bay.id, seen.bay.name))
    found: list[Part] = []
    for bays in houses.values():
        if any(bay_id in numbers for _house, bay_id, _bay in bays):
            found += _strips(bays, numbers, width)
    return tuple(found)


def _strips(
    bays: list[tuple[str, str, str]], numbers: Mapping[str, Sequence[int]], width: float
) -> list[Part]:
    a_strip = int((width - _NAME_MM) / _NARROWEST_BAY_MM)
    wide = min(20.0, (width - _NAME_MM) / min(a_strip, len(bays)))
    strips = []
    for start in range(0, len(bays), a_strip):
        items: list[Item] = [Text(MARGIN_MM, 0, _NAME_MM - 2, _STRIP_MM, bays[0][0], 9, bold=True, wrap=True)]
        for place, (_house, bay_id, name) in enumerate(bays[start : start + a_strip]):
            x = MARGIN_MM + _NAME_MM + place * wide
            jobs = numbers.get(bay_id, ())
            items.append(Box(x, 0, wide, _STRIP_MM, 0.8 if jobs else 0.2, 0.85 if jobs else None))
            items.append(Text(x + 0.5, 0.5, wide - 1, 4.5, name, 7.5, align="center"))
            if jobs:
                marks = ", ".join(str(number) for number in jobs)
                items.append(Text(x + 0.5, 4.7, wide - 1, 5, marks, 9, bold=True, align="center"))
        strips.append(Part(_STRIP_MM + _GAP_MM, tuple(items)))
    return strips
