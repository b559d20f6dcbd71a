"""Where houses and bays stand on the map, in metres. Plain geometry, north up, no screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from bayround.facts.farm import Bay, House

GAP_M = 4.0


class InHouse(Protocol):
    """A bay with the house it lies in."""

    @property
    def house(self) -> House:
        """Its house."""

    @property
    def bay(self) -> Bay:
        """The bay."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in metres: *east* and *south* of the map's north-west corner."""

    east: float
    south: float
    width: float
    height: float

    @property
    def middle(self) -> tuple[float, float]:
        """Its centre."""
        return self.east + self.width / 2, self.south + self.height / 2


@dataclass(frozen=True, slots=True)
class FarmPlan:
    """The whole farm: a box a house and a box a bay, by id, and the size of the map in metres."""

    houses: dict[str, Box]
    bays: dict[str, Box]
    width: float
    height: float


def lay_out(bays: Sequence[InHouse], aspect: float, gap_m: float = GAP_M) -> FarmPlan:
    """Place every house at its map place, the others in rows that fill a field of *aspect* (width ÷ height).

    Bays lie inside their house in walk order.
    """
    houses = {seen.house.id: seen.house for seen in bays}
    placed = [house for house in houses.values() if _has_place(house)]
    unplaced = [house for house in houses.values() if not _has_place(house)]
    boxes = _at_their_places(placed)
    below = max((box.south + box.height for box in boxes.values()), default=0.0) + (gap_m if boxes else 0.0)
    for house_id, box in _in_best_rows(unplaced, aspect, gap_m).items():
        boxes[house_id] = replace(box, south=box.south + below)
    return FarmPlan(
        boxes,
        bays_inside(boxes, bays),
        max((box.east + box.width for box in boxes.values()), default=1.0),
        max((box.south + box.height for box in boxes.values()), default=1.0),
    )


def bays_inside(houses: Mapping[str, Box], bays: Sequence[InHouse]) -> dict[str, Box]:
    """Return a box for every bay, inside the box of its house."""
    inside: dict[str, Box] = {}
    for house_id, box in houses.items():
        inside |= _bays_in(box, [seen.bay for seen in bays if seen.house.id == house_id])
    return inside


def nearest(boxes: dict[str, Box], start: str, east: int, south: int) -> str:
    """Return the bay next to *start* in one direction (±1, 0), or *start* when there is none."""
    if start not in boxes:
        return next(iter(boxes), "")
    x, y = boxes[start].middle
    best, best_cost = start, float("inf")
    for bay_id, box in boxes.items():
        along = (box.middle[0] - x) * east + (box.middle[1] - y) * south
        across = abs((box.middle[0] - x) * south) + abs((box.middle[1] - y) * east)
        if bay_id == start or along <= 0.01:
            continue
        cost = along + 3 * across
        if cost < best_cost:
            best, best_cost = bay_id, cost
    return best


def _has_place(house: House) -> bool:
    return house.map_east_m is not None and house.map_north_m is not None


def _at_their_places(houses: Sequence[House]) -> dict[str, Box]:
    """Turn metres east and north of a corner into metres from the north-west corner."""
    if not houses:
        return {}
    west = min(house.map_east_m or 0.0 for house in houses)
    north = max((house.map_north_m or 0.0) + house.width_m for house in houses)
    return {
        house.id: Box(
            (house.map_east_m or 0.0) - west,
            north - (house.map_north_m or 0.0) - house.width_m,
            house.length_m,
            house.width_m,
        )
        for house in houses
    }


def _in_best_rows(houses: Sequence[House], aspect: float, gap_m: float) -> dict[str, Box]:
    if not houses:
        return {}
    best: dict[str, Box] = {}
    best_scale = 0.0
    for columns in range(1, len(houses) + 1):
        boxes = _in_rows(houses, columns, gap_m)
        width = max(box.east + box.width for box in boxes.values())
        height = max(box.south + box.height for box in boxes.values())
        scale = min(aspect / width, 1 / height)
        if scale > best_scale:
            best, best_scale = boxes, scale
    return best


def _in_rows(houses: Sequence[House], columns: int, gap_m: float) -> dict[str, Box]:
    boxes: dict[str, Box] = {}
    south = 0.0
    for first in range(0, len(houses), columns):
        row = houses[first : first + columns]
        east = 0.0
        for house in row:
            boxes[house.id] = Box(east, south, house.length_m, house.width_m)
            east += house.length_m + gap_m
        south += max(house.width_m for house in row) + gap_m
    return boxes


def _bays_in(house: Box, bays: Sequence[Bay]) -> dict[str, Box]:
    """Fill the house with its bays row by row, lengthwise or crosswise, whichever fits; shrink what does not."""
    along = _filled(house, [(bay.id, bay.length_m, bay.width_m) for bay in bays])
    across = _filled(house, [(bay.id, bay.width_m, bay.length_m) for bay in bays])
    return (across if across[1] > along[1] + 0.01 else along)[0]


def _filled(house: Box, sizes: Sequence[tuple[str, float, float]]) -> tuple[dict[str, Box], float]:
    """Return a box a bay and how much of its size is left after shrinking (1: all of it)."""
    rows: list[list[tuple[str, float, float]]] = []
    used = float("inf")
    for size in sizes:
        if used + size[1] > house.width * 1.01:
            rows.append([])
            used = 0.0
        rows[-1].append(size)
        used += size[1]
    wide = max((sum(width for _id, width, _height in row) for row in rows), default=1.0)
    high = sum(max(height for _id, _width, height in row) for row in rows)
    shrink_across = min(1.0, house.width / wide)
    shrink_down = min(1.0, house.height / high) if high else 1.0
    boxes: dict[str, Box] = {}
    south = house.south
    for row in rows:
        east = house.east
        for bay_id, width, height in row:
            boxes[bay_id] = Box(east, south, width * shrink_across, height * shrink_down)
            east += width * shrink_across
        south += max(height for _id, _width, height in row) * shrink_down
    return boxes, shrink_across * shrink_down
