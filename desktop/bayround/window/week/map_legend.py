"""The legend of the farm map: the classes of its shading with their bounds, and what the marks mean."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from bayround.window import theme
from bayround.window.colours import Colours
from bayround.window.week import map_painting
from bayround.window.week.measures import STEPS, Classes, Measure
from bayround.words import _

_SMALL = 0.85


def marks_of(measure: Measure, also: Sequence[str]) -> tuple[str, ...]:
    """Return what the marks on the map mean, a line each."""
    signs = (_("Value: ▲ above, ▼ below its band"),) if measure.signed else ()
    return (*signs, _("Jobs: ▲ one is urgent, ● none is"), *also)


def height(font: QFont, marks: Sequence[str]) -> float:
    """Return how many pixels the legend needs."""
    return QFontMetricsF(font).height() * (3.2 + 0.9 * len(marks))


def paint(
    painter: QPainter,
    place: QRectF,
    measure: Measure,
    classes: Classes,
    look: Colours,
    has_missing: bool,
    marks: Sequence[str],
) -> None:
    """Paint the measure's name, its classes with a number at each bound, and what the marks mean."""
    line = QFontMetricsF(painter.font()).height()
    painter.setPen(QColor(look.ink))
    painter.drawText(QPointF(place.left(), place.top() + line), _(measure.title))
    painter.save()
    painter.setFont(theme.scaled(painter.font(), _SMALL))
    _classes(painter, place, place.top() + line * 1.4, line, classes, look, has_missing)
    for number, mark in enumerate(marks):
        box = QRectF(place.left(), place.top() + line * (3.2 + 0.9 * number), place.width(), line)
        _text(painter, box, mark, look, Qt.AlignmentFlag.AlignLeft)
    painter.restore()


def _classes(
    painter: QPainter,
    place: QRectF,
    top: float,
    line: float,
    classes: Classes,
    look: Colours,
    has_missing: bool,
) -> None:
    missing = _("not known")
    measure, bounds = QFontMetricsF(painter.font()), classes.bounds()
    edge = measure.horizontalAdvance(bounds[-1]) / 2
    apart = measure.horizontalAdvance(missing) + edge + 12 if has_missing else edge
    width, left = (place.width() - apart - edge) / STEPS, place.left() + edge
    for step in range(STEPS):
        map_painting.shade(painter, QRectF(left + width * step, top, width - 2, line * 0.8), step, look)
    for number, bound in enumerate(bounds):
        box = QRectF(left + width * number - 1 - width / 2, top + line * 0.9, width, line * 0.8)
        _text(painter, box, bound, look)
    if has_missing:
        box = QRectF(place.right() - apart + edge + 12, top, apart - edge - 12, line * 0.8)
        painter.setPen(QPen(QColor(look.edge), 1, Qt.PenStyle.DotLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        _text(painter, box.translated(0, line * 0.9), missing, look)


def _text(
    painter: QPainter,
    box: QRectF,
    text: str,
    look: Colours,
    across: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignHCenter,
) -> None:
    painter.setPen(QColor(look.quiet))
    shown = QFontMetricsF(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, box.width() + 8)
    flags = across | Qt.AlignmentFlag.AlignVCenter
    painter.drawText(box if across == Qt.AlignmentFlag.AlignLeft else box.adjusted(-4, 0, 4, 0), flags, shown)
