"""Marks on the map for what changed since last week: rose, fell, or by less than its uncertainty; a shape each."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from bayround.week import changed
from bayround.week.snapshot import BayWeek
from bayround.window.colours import Colours
from bayround.words import _

_SMALLEST = 7.0


def legend_line(figure_id: str, last_week: str) -> str:
    """Return what the marks mean for a measure; for one that can't be compared, that and why."""
    if changed.can_be_compared(figure_id):
        return _("Since {week}: ⬆ rose, ⬇ fell, ≈ may be chance").format(week=last_week)
    return _("Since {week}: one reading, can't be compared").format(week=last_week)


def in_words(seen: BayWeek, figure_id: str) -> str:
    """Return how the measure of a bay moved since last week, in words; nothing where nothing was compared."""
    moved = changed.moved_of(seen, figure_id)
    if moved is None:
        return ""
    text = _("{what} since last week: {moved}").format(what=moved.now.label, moved=moved.text)
    return text if moved.is_clear else text + " " + _("(may be chance)")


def paint(painter: QPainter, place: QRectF, seen: BayWeek, figure_id: str, look: Colours) -> QRectF:
    """Paint the mark in the upper left corner of a bay; return what room is left beside or under it."""
    moved = changed.moved_of(seen, figure_id)
    size = min(14.0, place.height() * 0.6, place.width() * 0.6)
    if moved is None or size < _SMALLEST:
        return place
    box = QRectF(place.left() + 2, place.top() + 2, size, size)
    painter.save()
    painter.setPen(QPen(QColor(look.edge), 1))
    painter.setBrush(QColor(look.sheet))
    painter.drawRect(box)
    if moved.is_clear:
        _arrow(painter, box, moved.rose, look)
    else:
        painter.setPen(QPen(QColor(look.quiet), 1.6, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        for share in (0.36, 0.64):
            y = box.top() + size * share
            painter.drawLine(QPointF(box.left() + size * 0.22, y), QPointF(box.right() - size * 0.22, y))
    painter.restore()
    if place.height() > place.width():
        return place.adjusted(0, size + 3, 0, 0)
    return place.adjusted(size + 3, 0, 0, 0)


def _arrow(painter: QPainter, box: QRectF, up: bool, look: Colours) -> None:
    """Paint an arrow with a shaft, pointing up or down."""
    across = (0.5, 0.84, 0.62, 0.62, 0.38, 0.38, 0.16)
    down = (0.12, 0.48, 0.48, 0.88, 0.88, 0.48, 0.48)
    corners = [
        QPointF(box.left() + box.width() * x, box.top() + box.height() * (y if up else 1 - y))
        for x, y in zip(across, down, strict=True)
    ]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(look.ink))
    painter.drawPolygon(QPolygonF(corners))
