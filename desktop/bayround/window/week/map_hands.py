"""Hands that arrange the map: a house is dragged, or moved with the arrow keys; Ctrl+Z takes a step back."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

from bayround import words
from bayround.facts.farm import House
from bayround.window.week.arranging import Arrangement, Place
from bayround.window.week.map_painting import View
from bayround.words import _

_STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
_FAR = 10


class MapHands:
    """One house is in hand at a time; *held_at* is where it hangs while the mouse drags it."""

    def __init__(self, arrangement: Arrangement, houses: dict[str, House]) -> None:
        self.arrangement = arrangement
        self.houses = houses
        self.house_id = next(iter(houses), "")
        self.held_at: Place | None = None
        self._grip = QPointF()

    def key(self, event: QKeyEvent) -> bool:
        """Take a key; false when it is none of the map's."""
        key = Qt.Key(event.key())
        if event.matches(QKeySequence.StandardKey.Undo):
            self.arrangement.undo()
        elif event.matches(QKeySequence.StandardKey.Redo):
            self.arrangement.redo()
        elif key in _STEPS and self.house_id:
            times = _FAR if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            east, north = _STEPS[key]
            self.arrangement.move(self.house_id, east * times, north * times)
        elif key in {Qt.Key.Key_PageDown, Qt.Key.Key_PageUp} and self.houses:
            ids = list(self.houses)
            step = 1 if key == Qt.Key.Key_PageDown else -1
            self.house_id = ids[(ids.index(self.house_id) + step) % len(ids)]
        else:
            return False
        return True

    def grip(self, house_id: str, at: QPointF, view: View) -> None:
        """Take hold of a house at a point of the widget."""
        self.house_id = house_id
        corner = self._corner(view)
        self._grip = QPointF(at.x() - corner.x(), at.y() - corner.y())
        self.held_at = self.arrangement.places[house_id]

    def drag(self, at: QPointF, view: View) -> None:
        """Carry the house along, snapped."""
        if self.held_at is not None:
            east = (at.x() - self._grip.x() - view.left) / view.pixels_per_m
            south = (at.y() - self._grip.y() - view.top) / view.pixels_per_m
            self.held_at = self.arrangement.snapped(self.house_id, self.arrangement.at(east, south))

    def drop(self) -> None:
        """Let the house go where it hangs."""
        if self.held_at is not None:
            self.arrangement.put(self.house_id, self.held_at)
            self.held_at = None

    def said(self) -> str:
        """Return in words which house is in hand and where it stands."""
        if self.house_id not in self.houses:
            return ""
        here = self.held_at or self.arrangement.places[self.house_id]
        return _("{house}: {east} m east, {north} m north").format(
            house=self.houses[self.house_id].name,
            east=words.number(here.east_m, 1),
            north=words.number(here.north_m, 1),
        )

    def _corner(self, view: View) -> QPointF:
        """Return the south-west corner of the house in hand, on the widget."""
        box = self.arrangement.plan(()).houses[self.house_id]
        place = view.box(box)
        return QPointF(place.left(), place.bottom())
