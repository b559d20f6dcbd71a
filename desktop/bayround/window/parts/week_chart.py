"""What two charts over weeks share: frame, scale, cursor and keys; each paints its own lines."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.window.parts.spoken import CHART

LEFT, _RIGHT, _TOP = 64, 16, 8


class WeekChart(QWidget):
    """Left and Right walk through the weeks, Up and Down through the lines; F4 asks how the figure there is known.

    Attributes:
        moved: the cursor stands elsewhere; carries what all lines have there, in words.
        asked_why: the figure under the cursor.
    """

    spoken_role = CHART
    foot_lines = 1.5  # height of the axis' labels below the frame, in lines of type
    inset = 8

    moved = Signal(str)
    asked_why = Signal(object)

    def __init__(self, name: str, least_height: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(least_height)
        self.setAccessibleName(name)
        self.weeks: list[int] = []
        self.at = self.chosen = 0

    def here(self) -> list[Figure | None]:
        """Return each line's figure in the week under the cursor, or nothing where it has none."""
        raise NotImplementedError

    def said(self) -> str:
        """Return in words what the lines have in the week under the cursor."""
        raise NotImplementedError

    def axis_top(self) -> float:
        """Return the value at the top of the frame."""
        raise NotImplementedError

    def paint_axes(self, painter: QPainter) -> None:
        """Draw the frame with its labels."""
        raise NotImplementedError

    def paint_lines(self, painter: QPainter) -> None:
        """Draw every line with its marks and intervals."""
        raise NotImplementedError

    @property
    def figure(self) -> Figure | None:
        """The figure under the cursor: the chosen line's in the chosen week, or nothing where it has none."""
        have = self.here()
        return have[self.chosen] if have else None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrow keys, F4 explains."""
        key, lines = event.key(), len(self.here())
        if key in {Qt.Key.Key_Left, Qt.Key.Key_Right} and self.weeks and not event.modifiers():
            step = 1 if key == Qt.Key.Key_Right else -1
            self.at = max(0, min(len(self.weeks) - 1, self.at + step))
            self.say()
        elif key in {Qt.Key.Key_Up, Qt.Key.Key_Down} and lines and not event.modifiers():
            self.chosen = (self.chosen + (1 if key == Qt.Key.Key_Down else -1)) % lines
            self.say()
        elif key == Qt.Key.Key_F4 and (figure := self.figure) is not None:
            self.asked_why.emit(figure)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the cursor on the week under the mouse."""
        if self.weeks:
            x = event.position().x()
            self.at = min(range(len(self.weeks)), key=lambda at: abs(self.place_of(self.weeks[at]) - x))
            self.say()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw frame, axis, cursor, lines with their intervals, and the focus."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = theme.now()
        painter.fillRect(self.rect(), QColor(look.sheet))
        if self.weeks:
            self.paint_axes(painter)
            x, box = self.place_of(self.weeks[self.at]), self.frame()
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
            self.paint_lines(painter)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
        painter.end()

    def paint_interval(self, painter: QPainter, x: float, figure: Figure) -> None:
        """Draw a figure's interval as an upright line, as far as the frame reaches."""
        if figure.low is not None and figure.high is not None:
            low, high = (
                self.height_of(max(figure.low, 0.0)),
                self.height_of(min(figure.high, self.axis_top())),
            )
            painter.drawLine(QPointF(x, low), QPointF(x, high))

    def line_height(self) -> float:
        """Return the height of a line of type."""
        return QFontMetricsF(self.font()).height()

    def frame(self) -> QRectF:
        """Return the frame."""
        below = self.line_height() * self.foot_lines
        return QRectF(LEFT, _TOP, self.width() - LEFT - _RIGHT, self.height() - _TOP - below)

    def place_of(self, week: int) -> float:
        """Return where a week stands."""
        inner = self.frame().adjusted(self.inset, 0, -self.inset, 0)
        weeks = max(self.weeks[-1] - self.weeks[0], 1)
        return inner.left() + inner.width() * (week - self.weeks[0]) / weeks

    def height_of(self, value: float) -> float:
        """Return where a value stands."""
        box = self.frame()
        return box.bottom() - box.height() * value / self.axis_top()

    def say(self) -> None:
        """Tell what stands under the cursor, to eyes and to screen readers."""
        text = self.said()
        self.setAccessibleDescription(text)
        self.moved.emit(text)
        self.update()
