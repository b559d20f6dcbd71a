"""One figure of every group: a point with its interval, on an axis from 0."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from bayround import words
from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.window.bay.chart_painting import round_top
from bayround.words import _

Named = Sequence[tuple[str, Figure]]
_MOST = 40


class GroupChart(QWidget):
    """A line a group: name, bar from the axis to the point, interval where there is one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: Named = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(_("The chosen figure by group, with intervals"))

    def show_lines(self, lines: Named) -> None:
        """Show these figures; those without a value keep their line."""
        self._lines = lines[:_MOST]
        told = (f"{name}: {figure.text_with_unit} {figure.interval_text}".strip() for name, figure in lines)
        self.setAccessibleDescription("; ".join(told))
        self.setFixedHeight(self.sizeHint().height())
        self.setVisible(bool(self._lines))
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        return QSize(480, round((len(self._lines) + 2.6) * self._step()))

    def _step(self) -> float:
        return QFontMetricsF(self.font()).height() + 4

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint heading, names, axis, bars, points and intervals."""
        if not self._lines:
            return
        look, measure, step = theme.now(), QFontMetricsF(self.font()), self._step()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        first = self._lines[0][1]
        painter.setPen(QColor(look.ink))
        unit = f" ({first.unit})" if first.unit else ""
        painter.drawText(QPointF(0, measure.ascent() + 2), f"{first.label}{unit}")
        names = min(max(measure.horizontalAdvance(name) for name, _f in self._lines), self.width() * 0.4) + 12
        box = QRectF(names, step * 1.3, max(self.width() - names - 130, 60), step * len(self._lines))
        ends = [end for _n, one in self._lines for end in (one.value, one.low, one.high) if end is not None]
        low, high = min([0.0, *ends]), round_top(max([0.0, *ends])) if max([0.0, *ends]) > 0 else 0.0
        span = (high - low) or 1.0

        def across(value: float) -> float:
            return box.left() + box.width() * (value - low) / span

        painter.setPen(QPen(QColor(look.edge), 1))
        painter.drawLine(QPointF(across(0), box.top()), QPointF(across(0), box.bottom()))
        for place, (name, figure) in enumerate(self._lines):
            self._line(painter, name, figure, QRectF(0, box.top() + step * place, names, step), across)
        painter.setPen(QColor(look.quiet))
        for value in (low, high) if low else (0.0, high):
            text = words.number(value, 0 if value == int(value) else 2)
            x = across(value) - measure.horizontalAdvance(text) / 2
            painter.drawText(QPointF(x, box.bottom() + measure.ascent() + 2), text)
        painter.end()

    def _line(self, painter: QPainter, name: str, figure: Figure, field: QRectF, across: object) -> None:
        assert callable(across)
        look, measure = theme.now(), QFontMetricsF(self.font())
        at = field.center().y()
        painter.setPen(QColor(look.ink))
        shown = measure.elidedText(name, Qt.TextElideMode.ElideRight, field.width() - 10)
        side = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        painter.drawText(field.adjusted(0, 0, -8, 0), side, shown)
        if figure.value is None:
            painter.setPen(QColor(look.quiet))
            painter.drawText(QPointF(across(0) + 8, at + measure.ascent() / 2 - 2), words.MISSING)
            return
        colour = QColor(look.chart_line)
        painter.setPen(QPen(colour, 1, Qt.PenStyle.DotLine))
        painter.drawLine(QPointF(across(0), at), QPointF(across(figure.value), at))
        painter.setPen(QPen(colour, 2))
        right = figure.value
        if figure.low is not None and figure.high is not None:
            right = max(right, figure.high)
            painter.drawLine(QPointF(across(figure.low), at), QPointF(across(figure.high), at))
            for end in (figure.low, figure.high):
                painter.drawLine(QPointF(across(end), at - 4), QPointF(across(end), at + 4))
        painter.setBrush(colour)
        painter.drawEllipse(QPointF(across(figure.value), at), 4, 4)
        painter.setPen(QColor(look.ink))
        text = figure.text + ("" if figure.interval_text or figure.n != 1 else f"  {_('one bay')}")
        painter.drawText(QPointF(across(right) + 8, at + measure.ascent() / 2 - 2), text)
