"""Several groups over weeks after transplanting, told apart by mark and stroke as well as by colour."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QWidget

from bayround import words
from bayround.figures.figure import Figure
from bayround.figures.season_curves import Curve
from bayround.window import theme
from bayround.window.bay.chart_painting import round_top
from bayround.window.parts.explain import explain
from bayround.words import _

_LEFT, _RIGHT, _TOP = 64, 16, 8
_STROKES = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine, Qt.PenStyle.DashDotLine)
_SHAPES = "●■▲◆✚✕"
MOST_CURVES = 6


class CurvesChart(QWidget):
    """Left and Right walk through the weeks, Up and Down through the groups; F4 explains the figure there.

    Attributes:
        moved: the cursor stands elsewhere; carries what all groups have there, in words.
    """

    moved = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(220)
        self.setAccessibleName(_("Groups over weeks after transplanting"))
        self._curves: Sequence[Curve] = ()
        self._weeks: list[int] = []
        self._at = self._group = 0

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(900, 360)

    def show_curves(self, curves: Sequence[Curve]) -> None:
        """Show the curves of one crop (the first six), the cursor on the last week most of them have."""
        self._curves = curves[:MOST_CURVES]
        counts: dict[int, int] = {}
        for curve in self._curves:
            for week, _figure in curve.points:
                counts[week] = counts.get(week, 0) + 1
        self._weeks = sorted(counts)
        most = max(counts.values(), default=0)
        last = max((week for week, count in counts.items() if count == most), default=0)
        self._at = self._weeks.index(last) if self._weeks else 0
        self._group = 0
        self._say()

    def here(self) -> list[Figure | None]:
        """Return each group's figure in the week under the cursor."""
        week = self._weeks[self._at] if self._weeks else 0
        return [dict(curve.points).get(week) for curve in self._curves]

    def said(self) -> str:
        """Return in words what the groups have in the week under the cursor."""
        if not self._weeks:
            return _("Nothing of this is written down yet.")
        told = [_("week {n} after transplanting").format(n=self._weeks[self._at])]
        for place, (curve, figure) in enumerate(zip(self._curves, self.here(), strict=True)):
            value = words.MISSING if figure is None else figure.text_with_unit
            interval = f" ({figure.interval_text})" if figure is not None and figure.interval_text else ""
            told.append(f"{_SHAPES[place]} {curve.label}: {value}{interval}")
        return "   ".join(told)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrow keys, F4 explains."""
        key = event.key()
        if key in {Qt.Key.Key_Left, Qt.Key.Key_Right} and self._weeks and not event.modifiers():
            step = 1 if key == Qt.Key.Key_Right else -1
            self._at = max(0, min(len(self._weeks) - 1, self._at + step))
            self._say()
        elif key in {Qt.Key.Key_Up, Qt.Key.Key_Down} and self._curves and not event.modifiers():
            step = 1 if key == Qt.Key.Key_Down else -1
            self._group = (self._group + step) % len(self._curves)
            self._say()
        elif key == Qt.Key.Key_F4:
            figure = self.here()[self._group] if self._curves else None
            if figure is not None:
                explain(figure, self)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the cursor on the week under the mouse."""
        if self._weeks:
            x = event.position().x()
            self._at = min(range(len(self._weeks)), key=lambda at: abs(self._x(self._weeks[at]) - x))
            self._say()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw frame, axis, every curve with its intervals, the key and the cursor."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = theme.now()
        painter.fillRect(self.rect(), QColor(look.sheet))
        if self._weeks:
            self._axes(painter)
            x, box = self._x(self._weeks[self._at]), self._box()
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
            for place, curve in enumerate(self._curves):
                self._curve(painter, curve, place)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
        painter.end()

    def _axes(self, painter: QPainter) -> None:
        look, box, line = theme.now(), self._box(), self._line()
        painter.setPen(QPen(QColor(look.line), 1))
        for part in range(5):
            y = box.top() + box.height() * part / 4
            painter.setPen(QPen(QColor(look.line), 1))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            value = self._top() * (4 - part) / 4
            text = words.number(value, 0 if value == int(value) else (1 if self._top() >= 2 else 2))
            painter.setPen(QColor(look.quiet))
            field = QRectF(0, y - line / 2, _LEFT - 8, line)
            painter.drawText(field, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)
        free_from = box.left() - 24
        for week in self._weeks:
            text = str(week)
            width = QFontMetricsF(painter.font()).horizontalAdvance(text)
            x = self._x(week) - width / 2
            if x >= free_from:
                painter.drawText(QPointF(x, box.bottom() + line), text)
                free_from = x + width + 16
        foot = _("weeks after transplanting")
        right = QRectF(box.left(), box.bottom() + line * 1.15, box.width(), line)
        painter.drawText(right, Qt.AlignmentFlag.AlignRight, foot)

    def _curve(self, painter: QPainter, curve: Curve, place: int) -> None:
        look = theme.now()
        colour = QColor((look.chart_line, look.chart_second, look.ink)[place % 3])
        thick = 3 if place == self._group and self.hasFocus() else 2
        shift = (place - (len(self._curves) - 1) / 2) * 3
        before: QPointF | None = None
        for week, figure in curve.points:
            if figure.value is None:
                before = None
                continue
            at = QPointF(self._x(week) + shift, self._y(figure.value))
            if figure.low is not None and figure.high is not None:
                painter.setPen(QPen(colour, 1))
                ends = (self._y(max(figure.low, 0.0)), self._y(min(figure.high, self._top())))
                painter.drawLine(QPointF(at.x(), ends[0]), QPointF(at.x(), ends[1]))
            painter.setPen(QPen(colour, thick, _STROKES[place % 4]))
            if before is not None:
                painter.drawLine(before, at)
            painter.setPen(QPen(colour, 1.5))
            painter.setBrush(colour if place < 3 else QColor(look.sheet))
            mark(painter, at, place)
            before = at

    def _line(self) -> float:
        return QFontMetricsF(self.font()).height()

    def _box(self) -> QRectF:
        return QRectF(_LEFT, _TOP, self.width() - _LEFT - _RIGHT, self.height() - _TOP - self._line() * 2.3)

    def _top(self) -> float:
        """The axis ends at the highest mean, with room for its interval up to half as much again."""
        values = [figure.value or 0.0 for curve in self._curves for _week, figure in curve.points]
        highs = [figure.high or 0.0 for curve in self._curves for _week, figure in curve.points]
        top = max(values, default=1.0)
        return round_top(max(top, min(max(highs, default=top), top * 1.5)))

    def _x(self, week: int) -> float:
        inner = self._box().adjusted(14, 0, -14, 0)
        weeks = max(self._weeks[-1] - self._weeks[0], 1)
        return inner.left() + inner.width() * (week - self._weeks[0]) / weeks

    def _y(self, value: float) -> float:
        box = self._box()
        return box.bottom() - box.height() * value / self._top()

    def _say(self) -> None:
        text = self.said()
        self.setAccessibleDescription(text)
        self.moved.emit(text)
        self.update()


def mark(painter: QPainter, at: QPointF, place: int) -> None:
    """Draw the mark of a group: circle, square, triangle, diamond, plus, cross."""
    x, y, size = at.x(), at.y(), 4.0
    if place % 6 == 0:
        painter.drawEllipse(at, size - 0.5, size - 0.5)
    elif place % 6 == 1:
        painter.drawRect(QRectF(x - 3, y - 3, 6, 6))
    elif place % 6 == 2:
        painter.drawPolygon(QPolygonF([QPointF(x, y - 4), QPointF(x + 4, y + 3), QPointF(x - 4, y + 3)]))
    elif place % 6 == 3:
        corners = [QPointF(x, y - 5), QPointF(x + 4, y), QPointF(x, y + 5), QPointF(x - 4, y)]
        painter.drawPolygon(QPolygonF(corners))
    else:
        turn = size if place % 6 == 5 else 0.0
        painter.drawLine(QPointF(x - size, y - turn), QPointF(x + size, y + turn))
        painter.drawLine(QPointF(x + turn, y - size), QPointF(x - turn, y + size))
