"""Marks on the map for bays that nobody may enter or pick: a shape each, told in the legend."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from bayround.week.columns import column
from bayround.week.snapshot import BayWeek
from bayround.window.colours import Colours
from bayround.words import _

_SMALLEST = 6.0


def no_entry(seen: BayWeek) -> bool:
    """Tell whether the bay may not be entered at some time of the day looked at (or nobody knows)."""
    return column("enter_from").text(seen) != _("no interval runs") or bool(seen.house_closed)


def no_pick(seen: BayWeek) -> bool:
    """Tell whether the bay may not be picked at some time of the day looked at (or nobody knows)."""
    return column("pick_from").text(seen) != _("no interval runs")


def paint(painter: QPainter, place: QRectF, seen: BayWeek, look: Colours) -> QRectF:
    """Paint the mark of a bay (a crossed square closes it, a halved one the picking); return what room is left."""
    size = min(12.0, place.height() * 0.6, place.width() * 0.6)
    if size < _SMALLEST or not (no_entry(seen) or no_pick(seen)):
        return place
    box = QRectF(place.left() + 2, place.bottom() - size - 2, size, size)
    painter.setBrush(QColor(look.sheet))
    stroke = 2.0 if size > 9 else 1.2
    painter.setPen(QPen(QColor(look.urgent), stroke, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    painter.drawRect(box)
    if no_entry(seen):
        painter.drawLine(box.topLeft(), box.bottomRight())
        painter.drawLine(box.topRight(), box.bottomLeft())
    else:
        middle = box.center()
        painter.drawLine(QPointF(box.left(), middle.y()), QPointF(box.right(), middle.y()))
    if place.height() > place.width():
        return place.adjusted(0, 0, 0, -size - 3)
    return place.adjusted(size + 3, 0, 0, 0)


def legend_lines(bays: Iterable[BayWeek]) -> tuple[str, ...]:
    """Return what the marks mean, as far as there are any: one line, or none."""
    shown = list(bays)
    parts = []
    if any(no_entry(seen) for seen in shown):
        parts.append(_("⊠ no entry yet"))
    if any(no_pick(seen) and not no_entry(seen) for seen in shown):
        parts.append(_("⊟ no picking yet"))
    return ("   ".join(parts),) if parts else ()


def lines(seen: BayWeek) -> list[str]:
    """Return the clocks of a bay in words, where one runs or is not known; and what its house is closed for."""
    found = []
    if column("enter_from").text(seen) != _("no interval runs"):
        found.append(_("⊠ Enter from: {text}").format(text=column("enter_from").text(seen)))
    if no_pick(seen):
        found.append(_("⊟ Pick from: {text}").format(text=column("pick_from").text(seen)))
    return found + [f"⊠ {text}" for text in seen.house_closed]
