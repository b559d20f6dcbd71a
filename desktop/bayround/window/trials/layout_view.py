"""The plots of a trial as they lie: blocks or bays as rows of boxes, each with its number and treatment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayround.window import theme
from bayround.window.parts.spoken import GRAPHIC
from bayround.words import _

_HATCHES = (
    Qt.BrushStyle.NoBrush,
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.Dense6Pattern,
    Qt.BrushStyle.HorPattern,
    Qt.BrushStyle.DiagCrossPattern,
    Qt.BrushStyle.VerPattern,
)


@dataclass(frozen=True, slots=True)
class Box:
    """One plot to draw: in which line it lies, its number, what it gets, where it is."""

    line: str
    number: str
    main: str
    sub: str = ""
    place: str = ""


class LayoutView(QWidget):
    """Draws the plots line by line; main treatments are told by hatch and by name."""

    spoken_role = GRAPHIC

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._boxes: Sequence[Box] = ()
        self.setAccessibleName(_("Layout of the trial"))

    def show_boxes(self, boxes: Sequence[Box]) -> None:
        """Show these plots."""
        self._boxes = tuple(boxes)
        told = (f"{box.number} {box.line}: {box.main} {box.sub} {box.place}".strip() for box in self._boxes)
        self.setAccessibleDescription("; ".join(told))
        self.setFixedHeight(self.sizeHint().height())
        self.setVisible(bool(self._boxes))
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        return QSize(480, len(self._lines()) * self._high() + 4)

    def _high(self) -> int:
        texts = 2 + any(box.sub for box in self._boxes) + any(box.place for box in self._boxes)
        return self.fontMetrics().height() * texts + 14

    def _lines(self) -> dict[str, list[Box]]:
        """Return line → its boxes; lines longer than twelve boxes are broken."""
        found: dict[str, list[Box]] = {}
        for box in self._boxes:
            found.setdefault(box.line, []).append(box)
        broken: dict[str, list[Box]] = {}
        for name, group in found.items():
            for start in range(0, len(group), 12):
                broken[name if start == 0 else f"{name} {' ' * start}"] = group[start : start + 12]
        return broken

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint every plot."""
        look, measure = theme.now(), QFontMetricsF(self.font())
        painter = QPainter(self)
        lines = self._lines()
        if not lines:
            return
        names = max(measure.horizontalAdvance(name.strip()) for name in lines) + 12
        most = max(len(group) for group in lines.values())
        wide = min((self.width() - names - 8) / max(most, 1), 180.0)
        mains = list(dict.fromkeys(box.main for box in self._boxes))
        high = self._high()
        for row, (name, group) in enumerate(lines.items()):
            top = row * high
            painter.setPen(QColor(look.quiet))
            field = QRectF(0, top, names - 8, high - 6)
            painter.drawText(field, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, name.strip())
            for place, box in enumerate(group):
                shape = QRectF(names + place * wide, top + 2, wide - 4, high - 6)
                self._box(painter, box, shape, mains.index(box.main))
        painter.end()

    def _box(self, painter: QPainter, box: Box, shape: QRectF, place: int) -> None:
        look, measure = theme.now(), QFontMetricsF(self.font())
        painter.setPen(QPen(QColor(look.edge), 1))
        painter.setBrush(QColor(look.sheet))
        painter.drawRect(shape)
        strip = QRectF(shape.left(), shape.top(), 8, shape.height())
        painter.fillRect(strip, QColor(look.ramp[(place * 2) % len(look.ramp)]))
        pattern = _HATCHES[place % len(_HATCHES)]
        painter.setBrush(QColor(look.ink))
        brush = painter.brush()
        brush.setStyle(pattern)
        painter.fillRect(strip, brush)
        painter.setPen(QColor(look.ink))
        inside = shape.adjusted(13, 3, -3, -2)
        texts = [box.number, box.main] + [text for text in (box.sub, box.place) if text]
        for line, text in enumerate(texts):
            field = QRectF(
                inside.left(), inside.top() + line * measure.height(), inside.width(), measure.height()
            )
            painter.setPen(QColor(look.quiet if line in {0, 3} else look.ink))
            shown = measure.elidedText(text, Qt.TextElideMode.ElideRight, field.width())
            painter.drawText(field, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
