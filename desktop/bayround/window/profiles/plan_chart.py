"""A stop plan drawn: chance of each answer, and plants inspected, at every true share infested."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from bayround.actions.profiles import PlanView, sentences
from bayround.window import theme
from bayround.window.colours import Colours
from bayround.window.parts.spoken import CHART
from bayround.words import _, number

_LEFT, _RIGHT, _TOP = 48, 16, 24
_SHARE_TICKS = (0.0, 0.5, 1.0)


class PlanChart(QWidget):
    """Two charts over one axis: what the plan says, and how many it takes. The words beside it say the same."""

    spoken_role = CHART

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMinimumHeight(260)
        self._view: PlanView | None = None
        self.setAccessibleName(_("Wrong calls and plants inspected"))

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(520, 320)

    def show_plan(self, view: PlanView) -> None:
        """Draw a plan."""
        self._view = view
        self.setAccessibleDescription(" ".join(sentences(view)))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw both charts, the two levels of the plan as dotted lines."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = theme.now()
        painter.fillRect(self.rect(), QColor(look.sheet))
        view = self._view
        if view is not None:
            line = QFontMetricsF(self.font()).height()
            height = (self.height() - 2 * _TOP - 3.2 * line) / 2
            upper = QRectF(_LEFT, _TOP, self.width() - _LEFT - _RIGHT, height)
            lower = QRectF(_LEFT, upper.bottom() + _TOP + 0.4 * line, upper.width(), height)
            self._draw_answers(painter, upper, view, look)
            self._draw_numbers(painter, lower, view, look)
            self._draw_levels(painter, upper, lower, view, look)
        painter.end()

    def _x(self, box: QRectF, view: PlanView, level: float) -> float:
        return box.left() + box.width() * level / view.curve[-1].true_level

    def _frame(self, painter: QPainter, box: QRectF, title: str, top: str, look: Colours) -> None:
        painter.setPen(QPen(QColor(look.line), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        painter.setPen(QColor(look.quiet))
        line = QFontMetricsF(painter.font()).height()
        for text, y in ((top, box.top()), ("0", box.bottom() - line)):
            painter.drawText(QRectF(0, y, _LEFT - 6, line), Qt.AlignmentFlag.AlignRight, text)
        painter.drawText(QPointF(box.left(), box.top() - 6), title)

    def _draw_answers(self, painter: QPainter, box: QRectF, view: PlanView, look: Colours) -> None:
        self._frame(
            painter,
            box,
            _("Rounds of 100 that end with: act ——   leave - - -   can't tell ·····"),
            "100",
            look,
        )
        for chances, colour, style in (
            ([point.act for point in view.curve], look.urgent, Qt.PenStyle.SolidLine),
            ([point.leave for point in view.curve], look.accent, Qt.PenStyle.DashLine),
            ([point.cannot_tell for point in view.curve], look.quiet, Qt.PenStyle.DotLine),
        ):
            places = zip(view.curve, chances, strict=True)
            line = [
                QPointF(self._x(box, view, one.true_level), _y(box, chance, 1.0)) for one, chance in places
            ]
            painter.setPen(QPen(QColor(colour), 2, style))
            painter.drawPolyline(QPolygonF(line))
        self._draw_wald(
            painter, box, view, look, [None if one is None else 1 - one.leave for one in view.wald], 1.0
        )

    def _draw_numbers(self, painter: QPainter, box: QRectF, view: PlanView, look: Colours) -> None:
        most = float(view.table[-1].inspected)
        title = _("Inspected on average (never more than {n})").format(n=view.table[-1].inspected)
        self._frame(painter, box, title, str(view.table[-1].inspected), look)
        line = [
            QPointF(self._x(box, view, point.true_level), _y(box, point.average_inspected, most))
            for point in view.curve
        ]
        painter.setPen(QPen(QColor(look.chart_line), 2))
        painter.drawPolyline(QPolygonF(line))
        numbers = [None if one is None else min(one.average_inspected, most) for one in view.wald]
        self._draw_wald(painter, box, view, look, numbers, most)

    def _draw_wald(
        self,
        painter: QPainter,
        box: QRectF,
        view: PlanView,
        look: Colours,
        values: Sequence[float | None],
        top: float,
    ) -> None:
        """Draw Wald's approximation beside the exact curve, as a thin line."""
        line = [
            QPointF(self._x(box, view, point.true_level), _y(box, value, top))
            for point, value in zip(view.curve, values, strict=True)
            if value is not None
        ]
        painter.setPen(QPen(QColor(look.ink), 1))
        painter.drawPolyline(QPolygonF(line))

    def _draw_levels(
        self, painter: QPainter, upper: QRectF, lower: QRectF, view: PlanView, look: Colours
    ) -> None:
        line = QFontMetricsF(painter.font()).height()
        for level, word in ((view.leave_level, _("leave")), (view.act_level, _("act"))):
            x = self._x(upper, view, level)
            painter.setPen(QPen(QColor(look.edge), 1, Qt.PenStyle.DotLine))
            painter.drawLine(QPointF(x, upper.top()), QPointF(x, lower.bottom()))
            painter.setPen(QColor(look.ink))
            text = f"{word} {number(level * 100, 0)} %"
            width = QFontMetricsF(painter.font()).horizontalAdvance(text)
            painter.drawText(QPointF(x - width / 2, lower.bottom() + line), text)
        painter.setPen(QColor(look.quiet))
        end = _("truly infested")
        width = QFontMetricsF(painter.font()).horizontalAdvance(end)
        painter.drawText(QPointF(lower.right() - width, lower.bottom() + line * 2), end)


def _y(box: QRectF, value: float, top: float) -> float:
    return box.bottom() - box.height() * value / top
