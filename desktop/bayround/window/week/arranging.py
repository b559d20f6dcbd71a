"""Houses moved about on the map: snapped to whole metres and to each other's walls, undone step by step. No screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from bayround.facts.farm import House
from bayround.week.snapshot import BayWeek
from bayround.window.week.map_layout import Box, FarmPlan, bays_inside

SNAP_M = 1.0
"""One step of the arrow keys, and the grid that a dragged house falls into."""

WALL_M = 2.5
"""From so near a dragged house jumps to the wall of another one, or in line with it."""

_TOUCH_M = 0.01


@dataclass(frozen=True, slots=True)
class Place:
    """Where the south-west corner of a house is, in metres east and north."""

    east_m: float
    north_m: float


Places = Mapping[str, Place]


class Arrangement:
    """The houses of a farm, each at a place; what was moved can be taken back."""

    def __init__(self, houses: Sequence[House], plan: FarmPlan) -> None:
        self._houses = {house.id: house for house in houses}
        self.places: dict[str, Place] = _starting_places(houses, plan)
        self._kept: dict[str, Place] = {
            house.id: Place(house.map_east_m, house.map_north_m)
            for house in houses
            if house.map_east_m is not None and house.map_north_m is not None
        }
        self._before: list[dict[str, Place]] = []
        self._after: list[dict[str, Place]] = []
        self._frame = self._whole()

    @property
    def can_undo(self) -> bool:
        """Whether something was moved."""
        return bool(self._before)

    def move(self, house_id: str, east_steps: int, north_steps: int) -> None:
        """Move a house by whole steps."""
        here = self.places[house_id]
        east = round(here.east_m / SNAP_M + east_steps) * SNAP_M
        north = round(here.north_m / SNAP_M + north_steps) * SNAP_M
        self.put(house_id, Place(east, north))

    def put(self, house_id: str, place: Place) -> None:
        """Put a house at a place, as one step that can be undone; the same place is no step."""
        if self.places[house_id] == place:
            return
        self._before.append(dict(self.places))
        self._after.clear()
        self.places[house_id] = place
        self.refit()

    def undo(self) -> bool:
        """Take the last step back; false when there is none."""
        return self._step(self._before, self._after)

    def redo(self) -> bool:
        """Take the last step that was taken back again; false when there is none."""
        return self._step(self._after, self._before)

    def snapped(self, house_id: str, place: Place) -> Place:
        """Return the place a dragged house falls into: at or in line with a near wall, else on whole metres."""
        house = self._houses[house_id]
        others = [(self._houses[key], here) for key, here in self.places.items() if key != house_id]
        east_walls = [here.east_m + edge for other, here in others for edge in (0.0, other.length_m)]
        north_walls = [here.north_m + edge for other, here in others for edge in (0.0, other.width_m)]
        return Place(
            _snap(place.east_m, house.length_m, east_walls),
            _snap(place.north_m, house.width_m, north_walls),
        )

    def overlaps(self) -> tuple[tuple[str, str], ...]:
        """Return the names of houses that lie on one another, pair by pair."""
        return tuple(
            (one.name, two.name)
            for one, two in combinations(self._houses.values(), 2)
            if _overlap(one, self.places[one.id], two, self.places[two.id])
        )

    def changed(self) -> tuple[House, ...]:
        """Return the houses that stand elsewhere than before, with their new places; none moved, none."""
        if not self._before:
            return ()
        return tuple(
            replace(
                house,
                map_east_m=round(self.places[house.id].east_m, 2),
                map_north_m=round(self.places[house.id].north_m, 2),
            )
            for house in self._houses.values()
            if self._kept.get(house.id) != self.places[house.id]
        )

    def refit(self) -> None:
        """Let the map show all houses again, with some room around them to move into."""
        self._frame = self._whole()

    def plan(self, bays: Sequence[BayWeek], held: str = "", at: Place | None = None) -> FarmPlan:
        """Return the farm as arranged so far; *held* is drawn at *at* while it is dragged."""
        west, north, width, height = self._frame
        boxes = {}
        for house in self._houses.values():
            here = at if at is not None and house.id == held else self.places[house.id]
            south = north - here.north_m - house.width_m
            boxes[house.id] = Box(here.east_m - west, south, house.length_m, house.width_m)
        return FarmPlan(boxes, bays_inside(boxes, bays), width, height)

    def at(self, east: float, south: float) -> Place:
        """Return the place whose house would be drawn from a point of the plan (its south-west corner)."""
        west, north, _width, _height = self._frame
        return Place(east + west, north - south)

    def _step(self, source: list[dict[str, Place]], target: list[dict[str, Place]]) -> bool:
        if not source:
            return False
        target.append(dict(self.places))
        self.places = source.pop()
        self.refit()
        return True

    def _whole(self) -> tuple[float, float, float, float]:
        """Return the west edge, the north edge, width and height of the map, with room around the houses."""
        sides = [(house, self.places[house.id]) for house in self._houses.values()]
        west = min((here.east_m for _house, here in sides), default=0.0)
        east = max((here.east_m + house.length_m for house, here in sides), default=1.0)
        south = min((here.north_m for _house, here in sides), default=0.0)
        north = max((here.north_m + house.width_m for house, here in sides), default=1.0)
        room = max(5.0, 0.1 * max(east - west, north - south))
        return west - room, north + room, east - west + 2 * room, north - south + 2 * room


def _starting_places(houses: Sequence[House], plan: FarmPlan) -> dict[str, Place]:
    """Take every house where the map draws it; those with a place of their own keep exactly that."""
    placed = [house for house in houses if house.map_east_m is not None and house.map_north_m is not None]
    west = min((house.map_east_m or 0.0 for house in placed), default=0.0)
    north = max(((house.map_north_m or 0.0) + house.width_m for house in placed), default=plan.height)
    found = {}
    for house in houses:
        if house.map_east_m is not None and house.map_north_m is not None:
            found[house.id] = Place(house.map_east_m, house.map_north_m)
        else:
            box = plan.houses[house.id]
            east, corner = west + box.east, north - box.south - house.width_m
            found[house.id] = Place(round(east / SNAP_M) * SNAP_M, round(corner / SNAP_M) * SNAP_M)
    return found


def _snap(start: float, size: float, walls: Sequence[float]) -> float:
    """Return the nearest start at which one of both ends meets a wall, if near; else whole metres."""
    meeting = [wall - offset for wall in walls for offset in (0.0, size)]
    nearest = min(meeting, key=lambda found: abs(found - start), default=None)
    if nearest is not None and abs(nearest - start) <= WALL_M:
        return nearest
    return round(start / SNAP_M) * SNAP_M


def _overlap(one: House, first: Place, two: House, second: Place) -> bool:
    across = min(first.east_m + one.length_m, second.east_m + two.length_m) - max(first.east_m, second.east_m)
    down = min(first.north_m + one.width_m, second.north_m + two.width_m) - max(first.north_m, second.north_m)
    return across > _TOUCH_M and down > _TOUCH_M
