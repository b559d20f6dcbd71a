"""Several groups over weeks after transplanting, told apart by mark and stroke as well as by colour."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from bayround import words
from bayround.figures.figure import Figure
from bayround.figures.season_curves import Curve
from bayround.window import theme
from bayround.window.bay.chart_painting import round_top
from bayround.window.parts.week_chart import LEFT, WeekChart
from bayround.words import _

_STROKES = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine, Qt.PenStyle.DashDotLine)
_SHAPES = "●■▲◆✚✕"
MOST_CURVES = 6


class CurvesChart(WeekChart):
    """Groups' lines; Up and Down choose the group whose figure is asked about."""

    foot_lines = 2.3
    inset = 14

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(_("Groups over weeks after transplanting"), 220, parent)
        self._curves: Sequence[Curve] = ()

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
        self.weeks = sorted(counts)
        most = max(counts.values(), default=0)
        last = max((week for week, count in counts.items() if count == most), default=0)
        self.at = self.weeks.index(last) if self.weeks else 0
        self.chosen = 0
        self.say()

    def here(self) -> list[Figure | None]:
        """Return each group's figure in the week under the cursor."""
        week = self.weeks[self.at] if self.weeks else 0
        return [dict(curve.points).get(week) for curve in self._curves]

    def said(self) -> str:
        """Return in words what the groups have in the week under the cursor."""
        if not self.weeks:
            return _("Nothing of this is written down yet.")
        told = [_("week {n} after transplanting").format(n=self.weeks[self.at])]
        for place, (curve, figure) in enumerate(zip(self._curves, self.here(), strict=True)):
            value = words.MISSING if figure is None else figure.text_with_unit
            interval = f" ({figure.interval_text})" if figure is not None and figure.interval_text else ""
            told.append(f"{_SHAPES[place]} {curve.label}: {value}{interval}")
        return "   ".join(told)

    def axis_top(self) -> float:
        """The axis ends at the highest mean, with room for its interval up to half as much again."""
        values = [figure.value or 0.0 for curve in self._curves for _week, figure in curve.points]
        highs = [figure.high or 0.0 for curve in self._curves for _week, figure in curve.points]
        top = max(values, default=1.0)
        return round_top(max(top, min(max(highs, default=top), top * 1.5)))

    def paint_axes(self, painter: QPainter) -> None:
        """Draw the frame in quarters with their values, and the weeks there is room for."""
        look, box, line = theme.now(), self.frame(), self.line_height()
        painter.setPen(QPen(QColor(look.line), 1))
        for part in range(5):
            y = box.top() + box.height() * part / 4
            painter.setPen(QPen(QColor(look.line), 1))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            value = self.axis_top() * (4 - part) / 4
            text = words.number(value, 0 if value == int(value) else (1 if self.axis_top() >= 2 else 2))
            painter.setPen(QColor(look.quiet))
            field = QRectF(0, y - line / 2, LEFT - 8, line)
            painter.drawText(field, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)
        free_from = box.left() - 24
        for week in self.weeks:
            text = str(week)
            width = QFontMetricsF(painter.font()).horizontalAdvance(text)
            x = self.place_of(week) - width / 2
            if x >= free_from:
                painter.drawText(QPointF(x, box.bottom() + line), text)
                free_from = x + width + 16
        foot = _("weeks after transplanting")
        right = QRectF(box.left(), box.bottom() + line * 1.15, box.width(), line)
        painter.drawText(right, Qt.AlignmentFlag.AlignRight, foot)

    def paint_lines(self, painter: QPainter) -> None:
        """Draw every group's line."""
        for place, curve in enumerate(self._curves):
            self._curve(painter, curve, place)

    def _curve(self, painter: QPainter, curve: Curve, place: int) -> None:
        look = theme.now()
        colour = QColor((look.chart_line, look.chart_second, look.ink)[place % 3])
        thick = 3 if place == self.chosen and self.hasFocus() else 2
        shift = (place - (len(self._curves) - 1) / 2) * 3
        before: QPointF | None = None
        for week, figure in curve.points:
            if figure.value is None:
                before = None
                continue
            at = QPointF(self.place_of(week) + shift, self.height_of(figure.value))
            painter.setPen(QPen(colour, 1))
            self.paint_interval(painter, at.x(), figure)
            painter.setPen(QPen(colour, thick, _STROKES[place % 4]))
            if before is not None:
                painter.drawLine(before, at)
            painter.setPen(QPen(colour, 1.5))
            painter.setBrush(colour if place < 3 else QColor(look.sheet))
            mark(painter, at, place)
            before = at


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
