"""Painting of what was done: treatments with their intervals on one track, jobs on another; a shape each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen

from bayround.week.season_events import Event, EventKind
from bayround.window.bay.chart_painting import Axes
from bayround.window.colours import Colours

_TREATED = {EventKind.TREATMENT, EventKind.RELEASE}


def paint(painter: QPainter, upper: Axes, lane: Axes, events: Sequence[Event], look: Colours) -> None:
    """Paint the events of the lane; a treatment's day goes up through all charts as a thin line."""
    painter.setPen(QPen(QColor(look.line), 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(lane.box)
    half = lane.box.height() / 2
    painter.save()
    painter.setClipRect(
        QRectF(lane.box.left(), upper.box.top(), lane.box.width(), lane.box.bottom() - upper.box.top())
    )
    for event in events:
        if event.last < lane.first or event.start > lane.last:
            continue
        if event.kind in _TREATED:
            _treatment(painter, upper, lane, event, lane.box.top() + half / 2, half, look)
        else:
            _job(painter, lane, event, lane.box.top() + half * 1.5, half, look)
    painter.restore()


def _treatment(
    painter: QPainter, upper: Axes, lane: Axes, event: Event, middle: float, height: float, look: Colours
) -> None:
    x = _x(lane, event.start)
    painter.setPen(QPen(QColor(look.chart_second), 1, Qt.PenStyle.DotLine))
    painter.drawLine(QPointF(x, upper.box.top()), QPointF(x, lane.box.bottom()))
    if event.pick_on is not None and event.pick_on > event.start:
        span = QRectF(x, middle - height * 0.28, max(_x(lane, event.pick_on) - x, 3), height * 0.56)
        painter.setPen(QPen(QColor(look.urgent), 1))
        painter.setBrush(QBrush(QColor(look.urgent), Qt.BrushStyle.BDiagPattern))
        painter.drawRect(span)
    if event.enter_on is not None and event.enter_on > event.start:
        painter.fillRect(
            QRectF(x, middle - height * 0.3, max(_x(lane, event.enter_on) - x, 3), 3), QColor(look.urgent)
        )
    painter.setPen(QPen(QColor(look.urgent if event.kind is EventKind.TREATMENT else look.good), 2))
    if event.kind is EventKind.RELEASE:
        painter.setBrush(QColor(look.sheet))
        painter.drawEllipse(QPointF(x, middle), 4, 4)
    else:
        for dy in (1, -1):
            painter.drawLine(QPointF(x - 4, middle - 4 * dy), QPointF(x + 4, middle + 4 * dy))
    if event.unknown:
        painter.drawText(QPointF(x + 6, middle + QFontMetricsF(painter.font()).ascent() / 2), "?")


def _job(painter: QPainter, lane: Axes, event: Event, middle: float, height: float, look: Colours) -> None:
    x, end = _x(lane, event.start), _x(lane, event.end or event.start)
    measure = QFontMetricsF(painter.font())
    named = event.kind is not EventKind.JOB_DONE and measure.horizontalAdvance(event.title) < end - x - 6
    high = min(max(measure.capHeight() + 6, height * 0.52), height * 0.96) if named else height * 0.52
    bar = QRectF(x, middle - high / 2, max(end - x, 5), high)
    painter.setPen(QPen(QColor(look.edge), 1.4))
    painter.setBrush(QColor(look.edge) if event.kind is EventKind.JOB_DONE else QColor(look.sheet))
    painter.drawRect(bar)
    if event.kind is EventKind.JOB_SKIPPED:
        painter.drawLine(bar.topLeft(), bar.bottomRight())
    if named:
        painter.setPen(QColor(look.ink))
        painter.drawText(bar, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip, event.title)


def _x(lane: Axes, day: date) -> float:
    """Return the place of a day, held at the ends of the axis."""
    return lane.x(min(max(day, lane.first), lane.last))
