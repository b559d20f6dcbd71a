"""Painting of the season charts: line, interval, band, time axis, treatments."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from bayround import words
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.figures.pest_verdicts import Decision
from bayround.week.season_line import PickWeek
from bayround.window import theme
from bayround.window.colours import Colours

Point = tuple[date, Figure]
Band = Sequence[tuple[date, float, float]]
Reading = tuple[str, str, Sequence[str]]
"""A name, a value and further lines."""


@dataclass(frozen=True, slots=True)
class Axes:
    """From days and values to pixels: the box of one chart, its first and last day, its top value (bottom is 0)."""

    box: QRectF
    first: date
    last: date
    top: float

    def x(self, day: date) -> float:
        """Return the place of a day across."""
        days = max((self.last - self.first).days, 1)
        inner = self.box.adjusted(8, 0, -8, 0)
        return inner.left() + inner.width() * (day - self.first).days / days

    def y(self, value: float) -> float:
        """Return the place of a value down."""
        return self.box.bottom() - self.box.height() * value / self.top


def round_top(value: float) -> float:
    """Return a round number at or above a value, for the top of an axis."""
    if value <= 0:
        return 1.0
    size = 10.0 ** math.floor(math.log10(value))
    return next(step * size for step in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10) if step * size >= value - 1e-9)


def panel(painter: QPainter, axes: Axes, points: Sequence[Point], band: Band, look: Colours) -> None:
    """Paint one chart: frame, band, intervals, line and points; a gap where nothing was measured."""
    frame(painter, axes, look)
    if band:
        _band(painter, axes, band, look)
    _intervals(painter, axes, points, look)
    colour = QColor(look.chart_line)
    before: QPointF | None = None
    for day, figure in points:
        if figure.value is None:
            before = None
            continue
        at = QPointF(axes.x(day), axes.y(figure.value))
        painter.setPen(QPen(colour, 2))
        if before is not None:
            painter.drawLine(before, at)
        painter.setBrush(colour)
        painter.drawEllipse(at, 2.5, 2.5)
        before = at


def frame(painter: QPainter, axes: Axes, look: Colours) -> None:
    """Paint the frame of a chart with its highest and lowest value."""
    painter.setPen(QPen(QColor(look.line), 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(axes.box)
    painter.setPen(QColor(look.quiet))
    line = QFontMetricsF(painter.font()).height()
    places = 0 if axes.top >= 10 or axes.top == int(axes.top) else 1
    left = QRectF(axes.box.left() - 52, axes.box.top() - line * 0.3, 46, line)
    painter.drawText(left, Qt.AlignmentFlag.AlignRight, words.number(axes.top, places))
    low = QRectF(axes.box.left() - 52, axes.box.bottom() - line * 0.7, 46, line)
    painter.drawText(low, Qt.AlignmentFlag.AlignRight, "0")


def curve(painter: QPainter, axes: Axes, points: Sequence[tuple[date, float]], look: Colours) -> None:
    """Paint a fitted curve, (day, value), as a thin dashed line within the chart's box."""
    inside = [QPointF(axes.x(day), axes.y(value)) for day, value in points if axes.first <= day <= axes.last]
    painter.setPen(QPen(QColor(look.chart_second), 1.5, Qt.PenStyle.DashLine))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(QPolygonF(inside))


def reading(painter: QPainter, axes: Axes, texts: Reading, chosen: bool, look: Colours, room: float) -> None:
    """Paint what is read at the cursor beside its chart: a name, a value, and as many further lines as find room."""
    font = painter.font()
    line = QFontMetricsF(font).height()
    left = axes.box.right() + 16
    if chosen:
        painter.fillRect(QRectF(left - 8, axes.box.top(), 3, axes.box.height()), QColor(look.accent))
    name, value, extra = texts
    rows = [(f"{name}  {value}" if line * 2 > axes.box.height() else name, look.quiet, False)]
    if line * 2 <= axes.box.height():
        rows.append((value, look.ink, True))
    rows += [(text, look.quiet, False) for text in extra]
    rows = rows[: max(1, int((axes.box.height() + 8) // line))]
    top = axes.box.top() + (axes.box.height() - line * len(rows)) / 2
    for number, (text, colour, bold) in enumerate(rows):
        painter.setFont(theme.scaled(font, 1.0, bold))
        painter.setPen(QColor(colour))
        box = QRectF(left, top + line * number, room - 24, line)
        shown = QFontMetricsF(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft, shown)
    painter.setFont(font)


def decisions(painter: QPainter, axes: Axes, marks: Sequence[tuple[date, str]], look: Colours) -> None:
    """Paint over each visit what its checks said: a filled triangle to act, a ring to keep looking; leave it, nothing."""
    for day, decision in marks:
        at = QPointF(axes.x(day), axes.box.top() + 6)
        if decision == Decision.ACT:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(look.urgent))
            corners = [at + QPointF(0, -5), at + QPointF(5, 4), at + QPointF(-5, 4)]
            painter.drawPolygon(QPolygonF(corners))
        elif decision in (Decision.LOOK_MORE, Decision.CANNOT_TELL):
            painter.setPen(QPen(QColor(look.ink), 1.4))
            painter.setBrush(QColor(look.sheet))
            painter.drawEllipse(at, 3.6, 3.6)


def tie(
    painter: QPainter, axes: Axes, days: tuple[date, date, date], text: str, look: Colours, cursor_x: float
) -> None:
    """Paint the day of the next tie as an upright line, with a bar from its earliest to its latest day.

    Its text keeps clear of the upright line of the cursor at *cursor_x*.
    """
    first, day, last = (axes.x(min(max(one, axes.first), axes.last)) for one in days)
    foot = axes.box.bottom() - 6
    painter.setPen(QPen(QColor(look.chart_second), 2))
    painter.drawLine(QPointF(day, axes.box.top() + 2), QPointF(day, axes.box.bottom()))
    painter.drawLine(QPointF(first, foot), QPointF(last, foot))
    for end in (first, last):
        painter.drawLine(QPointF(end, foot - 4), QPointF(end, foot + 4))
    measure = QFontMetricsF(painter.font())
    width = measure.horizontalAdvance(text)
    left = tie_text_left(axes.box, day, width, cursor_x)
    behind = QRectF(left - 2, axes.box.top() + 2, width + 4, measure.height() - 2)
    painter.fillRect(behind, QColor(look.sheet))  # the fitted curve may run through here
    painter.drawText(QPointF(left, axes.box.top() + measure.ascent() + 1), text)


def tie_text_left(box: QRectF, day: float, width: float, cursor_x: float) -> float:
    """Return where the text beside the tie's line begins: in the box, with no line through it where that can be."""
    places = (day + 6, day - width - 6, max(day, cursor_x) + 6, min(day, cursor_x) - width - 6)
    inside = [left for left in places if box.left() <= left and left + width <= box.right()]
    clear = [left for left in inside if not any(left - 3 < x < left + width + 3 for x in (cursor_x, day))]
    return next(iter(clear or inside), places[0])


def pick_bars(painter: QPainter, axes: Axes, weeks: Sequence[PickWeek], look: Colours) -> None:
    """Paint what was picked as bars, what was foreseen as a box around its interval with a line at its middle."""
    for one in weeks:
        left, right = axes.x(one.week.monday) + 1, axes.x(one.week.monday + timedelta(days=6))
        if one.picked is not None and one.picked.value is not None:
            top = axes.y(one.picked.value)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(look.chart_line))
            painter.drawRect(QRectF(left, top, right - left, axes.box.bottom() - top))
        for figure, style in ((one.said, Qt.PenStyle.SolidLine), (one.coming, Qt.PenStyle.DashLine)):
            if figure is None or figure.value is None or figure.low is None or figure.high is None:
                continue
            high, low = axes.y(min(figure.high, axes.top)), axes.y(max(figure.low, 0.0))
            painter.setPen(QPen(QColor(look.chart_second), 1.4, style))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(left, high, right - left, low - high))
            middle = axes.y(min(figure.value, axes.top))
            painter.setPen(QPen(QColor(look.chart_second), 2))
            painter.drawLine(QPointF(left, middle), QPointF(right, middle))


def time_axis(painter: QPainter, axes: Axes, weeks: Sequence[Week], look: Colours) -> None:
    """Paint the ISO weeks under the lowest chart, as many as find room."""
    measure = QFontMetricsF(painter.font())
    painter.setPen(QColor(look.quiet))
    free_from = axes.box.left() - 48
    for week in weeks:
        text = str(week) if week.number == 1 or week is weeks[0] else f"W{week.number:02d}"
        width = measure.horizontalAdvance(text)
        x = axes.x(week.monday)
        if x - width / 2 < free_from:
            continue
        painter.drawText(QPointF(x - width / 2, axes.box.bottom() + measure.height()), text)
        free_from = x + width / 2 + 12


def key(painter: QPainter, axes: Axes, week: str, text: str, look: Colours) -> None:
    """Paint the week that is read beside the time axis, and what the signs mean under it."""
    painter.setPen(QColor(look.quiet))
    font = painter.font()
    painter.setFont(theme.scaled(font, 0.9))
    line = QFontMetricsF(font).height()
    painter.drawText(QPointF(axes.box.right() + 16, axes.box.bottom() + line), week)
    room = axes.box.right() + 220
    shown = QFontMetricsF(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, room)
    painter.drawText(QPointF(8, axes.box.bottom() + line * 2.1), shown)
    painter.setFont(font)


def _intervals(painter: QPainter, axes: Axes, points: Sequence[Point], look: Colours) -> None:
    painter.setPen(QPen(QColor(look.chart_line), 1))
    for day, figure in points:
        if figure.low is None or figure.high is None:
            continue
        x, low, high = axes.x(day), axes.y(max(figure.low, 0.0)), axes.y(min(figure.high, axes.top))
        painter.drawLine(QPointF(x, low), QPointF(x, high))
        for end in (low, high):
            painter.drawLine(QPointF(x - 3, end), QPointF(x + 3, end))


def _band(painter: QPainter, axes: Axes, band: Band, look: Colours) -> None:
    lows = [QPointF(axes.x(day), axes.y(low)) for day, low, _high in band]
    highs = [QPointF(axes.x(day), axes.y(high)) for day, _low, high in band]
    if len(lows) == 1 or band[-1][0] < axes.last:
        lows.append(QPointF(axes.box.right(), lows[-1].y()))
        highs.append(QPointF(axes.box.right(), highs[-1].y()))
    painter.save()
    painter.setClipRect(axes.box)
    painter.setPen(QPen(QColor(look.edge), 1))
    painter.setBrush(QColor(look.chart_band))
    painter.drawPolygon(QPolygonF([*lows, *reversed(highs)]))
    painter.restore()
