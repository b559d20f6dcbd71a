"""The farm drawn to scale: houses and bays in place, shaded by a measure, jobs marked on them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QToolTip, QWidget

from bayround.week.snapshot import BayWeek
from bayround.window import theme
from bayround.window.parts.spoken import GRAPHIC
from bayround.window.week import interval_marks, map_legend, map_painting, since_marks
from bayround.window.week.arranging import Arrangement
from bayround.window.week.map_hands import MapHands
from bayround.window.week.map_layout import FarmPlan, lay_out, nearest
from bayround.window.week.measures import MEASURES, Classes, Measure, classes_for
from bayround.words import _

_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class FarmMap(QWidget):
    """Arrow keys walk from bay to bay, Enter or a double click opens one. While houses are arranged, arrow keys
    move one and the mouse drags it.

    Attributes:
        opened: the id of a bay that a person opened.
        moved: the id of the bay that was chosen.
        arranged: Enter (true) or Escape (false) ends the arranging of houses.
    """

    spoken_role = GRAPHIC

    opened = Signal(str)
    moved = Signal(str)
    arranged = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(280, 240)
        self.setAccessibleName(_("Map of the farm"))
        self._bays: dict[str, BayWeek] = {}
        self._plan = FarmPlan({}, {}, 1.0, 1.0)
        self._measure = MEASURES[0]
        self._classes = Classes(0.0, 1.0)
        self._chosen = ""
        self._last_week = ""
        self.hands: MapHands | None = None

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(460, 480)

    @property
    def chosen(self) -> str:
        """Id of the chosen bay, or nothing."""
        return self._chosen

    @property
    def measure(self) -> Measure:
        """The measure by which the map is shaded."""
        return self._measure

    def show_bays(self, bays: tuple[BayWeek, ...], last_week: str = "") -> None:
        """Show the bays of a week; with *last_week* what changed since then is marked."""
        self._bays = {seen.bay.id: seen for seen in bays}
        self._last_week = last_week
        if self._chosen not in self._bays:
            self._chosen = next(iter(self._bays), "")
        self._arrange()
        self._reckon_classes()

    def shade_by(self, measure: Measure) -> None:
        """Shade by another measure."""
        self._measure = measure
        self._arrange()
        self._reckon_classes()

    def arrange(self) -> None:
        """Let houses be moved, until `rest`."""
        houses = {seen.house.id: seen.house for seen in self._bays.values()}
        plan = lay_out(tuple(self._bays.values()), 1.0)
        self.hands = MapHands(Arrangement(tuple(houses.values()), plan), houses)
        self._arrange()
        self._say_chosen()

    def rest(self) -> None:
        """Let the houses stand."""
        self.hands = None
        self._arrange()
        self._say_chosen()

    def take_back(self) -> None:
        """Undo the last step of arranging."""
        if self.hands is not None:
            self.hands.arrangement.undo()
            self._arrange()

    def choose(self, bay_id: str) -> None:
        """Put the cursor on a bay."""
        if bay_id in self._bays and bay_id != self._chosen:
            self._chosen = bay_id
            self._say_chosen()
            self.update()

    def bay_at(self, place: QPointF) -> str:
        """Return the id of the bay drawn at a place of this widget, or nothing."""
        view = self._view()
        return next((key for key, box in self._plan.bays.items() if view.box(box).contains(place)), "")

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw houses, bays, cursor, legend, scale and north arrow."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look, view = theme.now(), self._view()
        map_painting.ground(painter, QRectF(self.rect()), look, self.hasFocus())
        house_names = {seen.house.id: seen.house for seen in self._bays.values()}
        for house_id, box in self._plan.houses.items():
            map_painting.house(
                painter, view.box(box), house_names[house_id], look, self._name_room(view, house_id)
            )
        for bay_id, box in self._plan.bays.items():
            seen = self._bays[bay_id]
            map_painting.bay(painter, view.box(box), seen, self._measure, self._classes, look)
        if self.hands is not None and self.hands.house_id in self._plan.houses:
            place = view.box(self._plan.houses[self.hands.house_id])
            map_painting.in_hand(painter, place, look, self.hands.said())
        elif self._chosen in self._plan.bays:
            map_painting.cursor(painter, view.box(self._plan.bays[self._chosen]), look)
        has_missing = any(self._measure.figure(seen).shown is None for seen in self._bays.values())
        map_legend.paint(
            painter, self._legend_box(), self._measure, self._classes, look, has_missing, self._marks()
        )
        above = QRectF(self.rect()).adjusted(
            0, 0, 0, self._legend_box().top() - self.height() - self._line() * 0.4
        )
        map_painting.scale_and_north(painter, above, view, look)
        painter.end()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Place the houses anew for the new shape."""
        self._arrange()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrow keys; Enter opens."""
        key = Qt.Key(event.key())
        if self.hands is not None:
            self._key_of_arranging(event)
        elif key in _ARROWS and self._bays:
            self._take(nearest(self._plan.bays, self._chosen, *_ARROWS[key]))
        elif key in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self._chosen:
            self.opened.emit(self._chosen)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the bay under the mouse; take hold of its house while they are arranged."""
        if self.hands is None:
            self._take(self.bay_at(event.position()))
            return
        view, at = self._view(), event.position()
        for house_id, box in self._plan.houses.items():
            if view.box(box).adjusted(-4, -4, 4, 4).contains(at):
                self.hands.grip(house_id, at, view)
        self._arrange()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry a house along."""
        if self.hands is not None and self.hands.held_at is not None:
            self.hands.drag(event.position(), self._view())
            self._arrange()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let a house go."""
        if self.hands is not None:
            self.hands.drop()
            self._arrange()
            self._say_chosen()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the bay under the mouse."""
        bay_id = self.bay_at(event.position())
        if bay_id and self.hands is None:
            self.opened.emit(bay_id)

    def event(self, event: QEvent) -> bool:
        """Show what is known of the bay under the mouse."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            seen = self._bays.get(self.bay_at(QPointF(event.pos())))
            QToolTip.showText(event.globalPos(), self.describe(seen) if seen else "", self)
            return True
        return super().event(event)

    def describe(self, seen: BayWeek) -> str:
        """Return in words what the map shows of a bay."""
        figure = self._measure.figure(seen)
        value = figure.text_with_unit if figure.value is not None else figure.missing
        lines = [
            f"{seen.house.name} · {seen.bay.name}",
            f"{_(self._measure.title)}: {value} {figure.says}".strip(),
        ]
        lines += [text for text in (since_marks.in_words(seen, self._measure.figure_id),) if text]
        lines += interval_marks.lines(seen)
        lines += [f"{job.kind_text}: {job.due_text}" for job in seen.jobs]
        return "\n".join(lines)

    def _take(self, bay_id: str) -> None:
        if bay_id and bay_id != self._chosen:
            self.choose(bay_id)
            self.moved.emit(bay_id)

    def _key_of_arranging(self, event: QKeyEvent) -> None:
        if self.hands is not None and self.hands.key(event):
            self._arrange()
            self._say_chosen()
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape}:
            self.arranged.emit(event.key() != Qt.Key.Key_Escape)
        else:
            super().keyPressEvent(event)

    def _say_chosen(self) -> None:
        if self.hands is not None:
            self.setAccessibleDescription(self.hands.said())
        elif self._chosen in self._bays:
            self.setAccessibleDescription(self.describe(self._bays[self._chosen]))

    def _reckon_classes(self) -> None:
        figures = (self._measure.figure(seen) for seen in self._bays.values())
        amounts = [amount for figure in figures if (amount := self._measure.amount(figure)) is not None]
        self._classes = classes_for(amounts)
        if self._chosen:
            self._say_chosen()
        self.update()

    def _arrange(self) -> None:
        if self.hands is not None:
            hands, bays = self.hands, tuple(self._bays.values())
            self._plan = hands.arrangement.plan(bays, hands.house_id, hands.held_at)
            self.update()
            return
        field = self._field()
        aspect = field.width() / max(field.height(), 1.0)
        self._plan = lay_out(tuple(self._bays.values()), aspect)
        for _again in range(2):  # the gap has to hold a line of text, so it depends on the scale it leads to
            line_m = QFontMetricsF(self.font()).height() * 1.5 / self._view().pixels_per_m
            self._plan = lay_out(tuple(self._bays.values()), aspect, line_m)
        self.update()

    def _name_room(self, view: map_painting.View, house_id: str) -> float:
        """Return how wide a house's name may be: up to the next house beside it, or the edge of the map."""
        line_m = self._line() * 1.4 / view.pixels_per_m
        own = self._plan.houses[house_id]
        room = self.width() - 8 - view.box(own).left()
        for other in self._plan.houses.values():
            beside = other.south - line_m < own.south and other.south + other.height > own.south - line_m
            if other.east > own.east and beside:
                room = min(room, (other.east - own.east) * view.pixels_per_m - 8)
        return room

    def _line(self) -> float:
        return QFontMetricsF(self.font()).height()

    def _legend_box(self) -> QRectF:
        height = map_legend.height(self.font(), self._marks())
        return QRectF(16, self.height() - height - 8, self.width() - 32, height)

    def _field(self) -> QRectF:
        top = self._line() * 1.6 + 8
        return QRectF(16, top, self.width() - 32, self._legend_box().top() - top - self._line() * 1.6)

    def _marks(self) -> tuple[str, ...]:
        also = interval_marks.legend_lines(self._bays.values())
        if self._last_week:
            also = (*also, since_marks.legend_line(self._measure.figure_id, self._last_week))
        return map_legend.marks_of(self._measure, also)

    def _view(self) -> map_painting.View:
        return map_painting.View.fitting(self._field(), self._plan.width, self._plan.height)
