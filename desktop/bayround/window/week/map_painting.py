"""Painting of the farm map: every state is told by shape, hatch or number as well as by colour."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from bayround import words
from bayround.facts.farm import House, HouseKind
from bayround.week.snapshot import BayWeek
from bayround.window import theme
from bayround.window.colours import Colours
from bayround.window.week import interval_marks, since_marks
from bayround.window.week.map_layout import Box
from bayround.window.week.measures import Classes, Measure
from bayround.words import _

_HATCHES = (
    Qt.BrushStyle.NoBrush,
    Qt.BrushStyle.Dense7Pattern,
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.DiagCrossPattern,
    Qt.BrushStyle.Dense5Pattern,
)
_WALLS = {
    HouseKind.GREENHOUSE: Qt.PenStyle.SolidLine,
    HouseKind.NET_HOUSE: Qt.PenStyle.DashLine,
    HouseKind.TUNNEL: Qt.PenStyle.DashDotLine,
    HouseKind.OPEN_BED: Qt.PenStyle.DotLine,
}


@dataclass(frozen=True, slots=True)
class View:
    """From metres on the farm to pixels of the widget."""

    left: float
    top: float
    pixels_per_m: float

    @classmethod
    def fitting(cls, field: QRectF, width_m: float, height_m: float) -> View:
        """Return the largest view of so many metres that fits into a field, in its middle."""
        scale = max(min(field.width() / width_m, field.height() / height_m), 0.01)
        left = field.left() + (field.width() - width_m * scale) / 2
        return cls(left, field.top() + (field.height() - height_m * scale) / 2, scale)

    def box(self, box: Box) -> QRectF:
        """Return a box of the plan in pixels."""
        scale = self.pixels_per_m
        return QRectF(
            self.left + box.east * scale, self.top + box.south * scale, box.width * scale, box.height * scale
        )


def ground(painter: QPainter, field: QRectF, look: Colours, focused: bool) -> None:
    """Paint the sheet the map lies on, with the focus frame."""
    painter.fillRect(field, QColor(look.sheet))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(look.accent if focused else look.line), 2 if focused else 1))
    painter.drawRect(field.adjusted(1, 1, -1, -1))


def house(painter: QPainter, place: QRectF, seen: House, look: Colours, room: float) -> None:
    """Paint the walls (line style tells the kind) and the name above them."""
    pen = QPen(QColor(look.edge), 2, _WALLS[seen.kind])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(place.adjusted(-2, -2, 2, 2))
    painter.setPen(QColor(look.quiet))
    name = QFontMetricsF(painter.font()).elidedText(seen.name, Qt.TextElideMode.ElideRight, room)
    painter.drawText(QPointF(place.left() - 2, place.top() - 6), name)


def bay(
    painter: QPainter, place: QRectF, seen: BayWeek, measure: Measure, classes: Classes, look: Colours
) -> None:
    """Paint one bay: shade and hatch of its class, name, value, its jobs, and what changed since last week."""
    figure = measure.figure(seen)
    amount = measure.amount(figure)
    inner = place.adjusted(1, 1, -1, -1)
    if amount is None:
        ink = QColor(look.quiet)
        painter.setPen(QPen(QColor(look.edge), 1, Qt.PenStyle.DotLine))
        painter.setBrush(QBrush(QColor(look.sheet)))
        painter.drawRect(inner)
    else:
        step = classes.of(amount)
        ink = QColor(look.on_ramp[step])
        shade(painter, inner, step, look)
    value = figure.text if figure.value is not None else words.MISSING
    inner = interval_marks.paint(painter, inner, seen, look)
    inner = since_marks.paint(painter, inner, seen, measure.figure_id, look)
    if seen.jobs:
        inner = _jobs(painter, inner, seen, look)
    plate = None if amount is None else QColor(look.ramp[classes.of(amount)])
    _names(painter, inner, seen.bay.name, f"{value}{measure.sign(figure)}", ink, plate)


def shade(painter: QPainter, place: QRectF, step: int, look: Colours) -> None:
    """Fill a place with one class of the ramp: its colour, and its hatch for eyes and prints without colour."""
    painter.setPen(QPen(QColor(look.edge), 1))
    painter.setBrush(QColor(look.ramp[step]))
    painter.drawRect(place)
    if _HATCHES[step] is not Qt.BrushStyle.NoBrush:
        line = QColor(look.on_ramp[step])
        line.setAlpha(46)
        painter.fillRect(place, QBrush(line, _HATCHES[step]))


def cursor(painter: QPainter, place: QRectF, look: Colours) -> None:
    """Paint the cursor around the chosen bay."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(look.sheet), 5))
    painter.drawRect(place)
    painter.setPen(QPen(QColor(look.accent), 3))
    painter.drawRect(place)


def in_hand(painter: QPainter, place: QRectF, look: Colours, said: str) -> None:
    """Paint the frame of the house that is moved, with its place under it."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(look.accent), 3, Qt.PenStyle.DashLine))
    painter.drawRect(place.adjusted(-3, -3, 3, 3))
    font = QFontMetricsF(painter.font())
    box = QRectF(place.left(), place.bottom() + 8, font.horizontalAdvance(said) + 8, font.height())
    box.moveRight(min(box.right(), painter.window().width() - 4.0))
    box.moveLeft(max(box.left(), 4.0))
    painter.fillRect(box, QColor(look.sheet))
    painter.setPen(QColor(look.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, said)


def scale_and_north(painter: QPainter, field: QRectF, view: View, look: Colours) -> None:
    """Paint a scale bar of round metres and an arrow to the north at the foot of a field."""
    font = painter.font()
    line = QFontMetricsF(font).height()
    wanted = 90 / view.pixels_per_m
    size = 10.0 ** math.floor(math.log10(wanted))
    metres = max(step * size for step in (1, 2, 5) if step * size <= wanted)
    base = field.bottom()
    painter.setPen(QPen(QColor(look.quiet), 2))
    end = field.left() + 16 + metres * view.pixels_per_m
    painter.drawLine(QPointF(field.left() + 16, base), QPointF(end, base))
    for east in (field.left() + 16, end):
        painter.drawLine(QPointF(east, base - 4), QPointF(east, base + 4))
    painter.drawText(QPointF(end + 8, base + line / 3), f"{words.number(metres, 0 if metres >= 1 else 1)} m")
    middle = field.right() - 28
    painter.setBrush(QColor(look.quiet))
    painter.setPen(Qt.PenStyle.NoPen)
    top = base - line * 0.9
    arrow = [
        QPointF(middle, top),
        QPointF(middle - 6, top + 16),
        QPointF(middle, top + 12),
        QPointF(middle + 6, top + 16),
    ]
    painter.drawPolygon(QPolygonF(arrow))
    painter.setPen(QColor(look.quiet))
    painter.drawText(QPointF(middle - 24, top + 14), _("N"))


def _names(
    painter: QPainter, place: QRectF, name: str, value: str, ink: QColor, plate: QColor | None
) -> None:
    painter.save()
    for factor, rows in (
        (1.0, [name, value]),
        (1.0, [f"{name}  {value}"]),
        (0.85, [name, value]),
        (0.85, [value]),
    ):
        font = theme.scaled(painter.font(), factor)
        measure = QFontMetricsF(font)
        line = measure.height()
        widest = max(measure.horizontalAdvance(row) for row in rows)
        if widest <= place.width() - 2 and line * len(rows) <= place.height() + 2:
            break
    else:
        painter.restore()
        return
    painter.setFont(font)
    top = place.center().y() - line * len(rows) / 2
    if plate is not None:
        text_box = QRectF(place.center().x() - widest / 2 - 3, top, widest + 6, line * len(rows))
        painter.fillRect(text_box.intersected(place), plate)
    painter.setPen(ink)
    for number, row in enumerate(rows):
        box = QRectF(place.left(), top + line * number, place.width(), line)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, row)
    painter.restore()


def _jobs(painter: QPainter, place: QRectF, seen: BayWeek, look: Colours) -> QRectF:
    """Paint a mark with the number of jobs, a triangle when one is urgent, else a circle; return what is left."""
    size = min(16.0, place.height() * 0.9, place.width() * 0.9)
    if size < 7:
        return place
    urgent = any(job.priority == 1 for job in seen.jobs)
    mark = QRectF(place.right() - size - 1, place.top() + 1, size, size)
    painter.setPen(QPen(QColor(look.sheet), 1))
    painter.setBrush(QColor(look.urgent if urgent else look.accent))
    if urgent:
        corners = [QPointF(mark.center().x(), mark.top() - 1), mark.bottomLeft(), mark.bottomRight()]
        painter.drawPolygon(QPolygonF(corners))
    else:
        painter.drawEllipse(mark)
    if size >= 12:
        painter.setPen(QColor(look.sheet))
        painter.setFont(theme.scaled(painter.font(), 0.72, bold=True))
        shifted = mark.adjusted(0, size * 0.2, 0, size * 0.1) if urgent else mark
        painter.drawText(shifted, Qt.AlignmentFlag.AlignCenter, str(len(seen.jobs)))
        painter.setFont(theme.scaled(painter.font(), 1 / 0.72))
    if place.height() > place.width():
        return place.adjusted(0, size + 1, 0, 0)
    return place.adjusted(0, 0, -size - 1, 0)
