"""Arranging the farm's houses: what is said meanwhile, and keeping the new places in one transaction."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal

from bayround.actions import setup
from bayround.window.desk import Desk
from bayround.window.parts.notice import ASK, STOP, Notice
from bayround.window.week.farm_map import FarmMap
from bayround.words import _


class ArrangeHouses(QObject):
    """Between `start` and its end the map moves houses; nothing is written before the end.

    Attributes:
        ended: arranging is over. kept: new places are in the farm file.
    """

    ended = Signal()
    kept = Signal()

    def __init__(self, desk: Desk, farm_map: FarmMap, notice: Notice, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk, self._map, self._notice = desk, farm_map, notice
        farm_map.arranged.connect(lambda keep: self.keep() if keep else self.leave())

    @property
    def is_on(self) -> bool:
        """Whether houses are being moved."""
        return self._map.hands is not None

    def start(self) -> None:
        """Let the houses be moved and say how."""
        self._map.arrange()
        text = _(
            "Drag a house, or move it with the arrow keys by 1 m (with Shift by 10 m); Page Down takes the next "
            "one, Ctrl+Z takes a step back. Enter keeps the new places, Escape leaves everything as it was."
        )
        answers = (
            (_("&Keep"), lambda: self._map.arranged.emit(True)),
            (_("&Undo"), self._map.take_back),
            (_("Lea&ve"), self.leave),
        )
        self._notice.say(ASK, text, answers)
        self._map.setFocus(Qt.FocusReason.OtherFocusReason)

    def keep(self) -> bool:
        """Write the new places; false, and nothing is written, when houses lie on one another."""
        hands = self._map.hands
        if hands is None:
            return True
        overlaps = hands.arrangement.overlaps()
        if overlaps and hands.arrangement.can_undo:
            one, two = overlaps[0]
            text = _("{one} and {two} lie on one another. Move one of them, or leave it as it was.").format(
                one=one, two=two
            )
            answers = ((_("&Undo"), self._map.take_back), (_("Lea&ve"), self.leave))
            self._notice.say(STOP, text, answers)
            self._map.setFocus(Qt.FocusReason.OtherFocusReason)
            return False
        houses = hands.arrangement.changed()
        self._end()
        if houses:
            farm, who, now = self._desk.farm, self._desk.person_id, self._desk.now()
            self._desk.tasks.change(
                lambda: setup.place_houses(farm, houses, who, now),
                lambda _nothing: self.kept.emit(),
                self._notice.refuse,
            )
        return True

    def leave(self) -> None:
        """Leave every house where it was."""
        self._end()

    def _end(self) -> None:
        if self.is_on:
            self._map.rest()
            self._notice.clear()
            self.ended.emit()
