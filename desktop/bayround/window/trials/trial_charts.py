"""Pictures of a trial: differences with their intervals, residuals, and the plots as they were drawn."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from bayround import words
from bayround.figures.trial_report import EffectLine, PlotResidual, TrialReport
from bayround.window import theme
from bayround.window.parts.spoken import CHART
from bayround.words import _

_MOST_LINES = 15


class EffectChart(QWidget):
    """Every difference as a point with its interval, around a line at no difference."""

    spoken_role = CHART

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: Sequence[EffectLine] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(_("Differences with their intervals"))

    def show_lines(self, lines: Sequence[EffectLine]) -> None:
        """Show these differences (the first fifteen)."""
        self._lines = lines[:_MOST_LINES]
        told = (f"{line.difference.label}: {line.difference.interval_text}" for line in self._lines)
        self.setAccessibleDescription("; ".join(told))
        self.setFixedHeight(self.sizeHint().height())
        self.setVisible(bool(self._lines))
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        return QSize(480, round((len(self._lines) + 2) * (self.fontMetrics().height() + 8)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint labels, the line at 0, intervals and points; filled where told apart."""
        if not self._lines:
            return
        look, measure = theme.now(), QFontMetricsF(self.font())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        step = measure.height() + 8
        names = max(measure.horizontalAdvance(line.difference.label) for line in self._lines) + 16
        box = QRectF(names, 4, max(self.width() - names - 16, 50), step * len(self._lines))
        ends = [0.0]
        for line in self._lines:
            figure = line.difference
            ends += [end for end in (figure.value, figure.low, figure.high) if end is not None]
        low, high = min(ends), max(ends)
        room = (high - low) * 0.06 or 1.0
        low, high = low - room, high + room

        def across(value: float) -> float:
            return box.left() + box.width() * (value - low) / (high - low)

        painter.setPen(QPen(QColor(look.edge), 1, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(across(0), box.top()), QPointF(across(0), box.bottom() + 4))
        for place, line in enumerate(self._lines):
            self._line(painter, line, box.top() + step * (place + 0.5), names, across)
        painter.setPen(QColor(look.quiet))
        figure = self._lines[0].difference
        text = (
            _("0 = no difference · {unit}").format(unit=figure.unit)
            if figure.unit
            else _("0 = no difference")
        )
        width = measure.horizontalAdvance(text)
        left = min(max(across(0) - width / 2, box.left()), self.width() - width - 4)
        painter.drawText(QPointF(left, box.bottom() + step * 0.8), text)
        painter.end()

    def _line(self, painter: QPainter, line: EffectLine, at: float, names: float, across: object) -> None:
        look, figure = theme.now(), line.difference
        assert callable(across)
        colour = QColor(look.chart_line if line.told_apart else look.quiet)
        painter.setPen(QColor(look.ink))
        field = QRectF(0, at - 12, names - 10, 24)
        painter.drawText(field, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, figure.label)
        dashed = Qt.PenStyle.SolidLine if line.told_apart is not None else Qt.PenStyle.DotLine
        painter.setPen(QPen(colour, 2, dashed))
        if figure.low is not None and figure.high is not None:
            painter.drawLine(QPointF(across(figure.low), at), QPointF(across(figure.high), at))
            for end in (figure.low, figure.high):
                painter.drawLine(QPointF(across(end), at - 5), QPointF(across(end), at + 5))
        if figure.value is not None:
            painter.setPen(QPen(colour, 2))
            painter.setBrush(colour if line.told_apart else QColor(look.paper))
            painter.drawEllipse(QPointF(across(figure.value), at), 4.5, 4.5)


class ResidualChart(QWidget):
    """What is left of each plot over what was fitted: an even cloud around 0 is well."""

    spoken_role = CHART

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._points: Sequence[PlotResidual] = ()
        self._odd: str | None = None
        self.setFixedHeight(190)
        self.setMinimumWidth(240)
        self.setAccessibleName(_("Residual of each plot over its fitted value"))

    def show_report(self, report: TrialReport) -> None:
        """Show the residuals of a report; the plot farthest out is named."""
        self._points = report.residuals
        self._odd = report.tested.odd_plot if report.tested else None
        self.setVisible(bool(self._points))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the frame, the line at 0 and a point for each plot."""
        if not self._points:
            return
        look, measure = theme.now(), QFontMetricsF(self.font())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = measure.height()
        box = QRectF(8, line + 6, self.width() - 16, self.height() - 2 * line - 16)
        painter.setPen(QColor(look.quiet))
        painter.drawText(QPointF(box.left(), line), _("Residual of each plot, over its fitted value"))
        painter.setPen(QPen(QColor(look.line), 1))
        painter.drawRect(box)
        most = max(abs(point.residual) for point in self._points) * 1.1 or 1.0
        fitted = [point.fitted for point in self._points]
        low, width = min(fitted), (max(fitted) - min(fitted)) or 1.0
        painter.setPen(QPen(QColor(look.edge), 1, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()))
        colour = QColor(look.chart_line)
        for point in self._points:
            x = box.left() + 8 + (box.width() - 16) * (point.fitted - low) / width
            y = box.center().y() - box.height() / 2 * point.residual / most
            painter.setPen(QPen(colour, 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QPointF(x, y), 3.5, 3.5)
            if point.plot == self._odd:
                painter.setPen(QColor(look.ink))
                painter.drawText(QPointF(min(x + 6, box.right() - 60), y + 4), point.plot)
        painter.setPen(QColor(look.quiet))
        foot = _("fitted {low} to {high}").format(low=words.number(low, 2), high=words.number(low + width, 2))
        painter.drawText(QPointF(box.left(), box.bottom() + line), foot)
        painter.end()
