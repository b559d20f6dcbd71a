"""Four small charts over one time axis: height, fruit load with its band, incidence, weed cover."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.window.bay import chart_painting
from bayround.window.bay.chart_painting import Axes
from bayround.window.bay.season import BaySeason
from bayround.window.parts.spoken import CHART
from bayround.words import _

PANELS = ("height_cm", "fruit_per_m2", "incidence_percent", "weed_cover_percent")
_LEFT, _RIGHT, _TOP = 56, 224, 8


class SeasonChart(QWidget):
    """Left and Right walk through the weeks, Up and Down through the charts, F4 asks how a figure is known.

    Attributes:
        asked_why: the figure under the cursor.
    """

    spoken_role = CHART

    asked_why = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(240)
        self.setAccessibleName(_("Charts of the season"))
        self._season: BaySeason | None = None
        self._curve: tuple[tuple[date, float], ...] = ()
        self._week = 0
        self._panel = 0

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(900, 360)

    def show_curve(self, points: Sequence[tuple[date, float]]) -> None:
        """Draw a growth curve, (day, cm), through the heights; an empty one takes it away."""
        self._curve = tuple(points)
        self.update()

    def show_season(self, season: BaySeason) -> None:
        """Show a season with the cursor on its newest week; its growth curve comes later."""
        self._season = season
        self._curve = ()
        self._week = max(len(season.weeks) - 1, 0)
        self._say()

    @property
    def figure(self) -> Figure | None:
        """The figure under the cursor."""
        if self._season is None or not self._season.weeks:
            return None
        return self._season.weeks[self._week][1].get(PANELS[self._panel])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrow keys, F4 or Enter explains."""
        key = event.key()
        weeks = len(self._season.weeks) if self._season else 0
        if key in {Qt.Key.Key_Left, Qt.Key.Key_Right} and weeks:
            self._week = max(0, min(weeks - 1, self._week + (1 if key == Qt.Key.Key_Right else -1)))
        elif key in {Qt.Key.Key_Up, Qt.Key.Key_Down} and not event.modifiers():
            self._panel = max(0, min(len(PANELS) - 1, self._panel + (1 if key == Qt.Key.Key_Down else -1)))
        elif key in {Qt.Key.Key_F4, Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.figure is not None:
            self.asked_why.emit(self.figure)
            return
        else:
            super().keyPressEvent(event)
            return
        self._say()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the cursor on the week and chart under the mouse."""
        if self._season is None or not self._season.weeks:
            return
        days = self._days()
        x = event.position().x()
        self._week = min(range(len(days)), key=lambda place: abs(self._axes(0).x(days[place]) - x))
        self._panel = max(0, min(len(PANELS) - 1, int((event.position().y() - _TOP) // self._panel_height())))
        self._say()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the charts, the time axis, treatments and the cursor."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = theme.now()
        painter.fillRect(self.rect(), QColor(look.sheet))
        season = self._season
        if season is None or not season.weeks:
            painter.setPen(QColor(look.quiet))
            painter.drawText(
                self.rect(), Qt.AlignmentFlag.AlignCenter, _("No visit of this planting is finished yet.")
            )
            painter.end()
            return
        for number, figure_id in enumerate(PANELS):
            axes = self._axes(number)
            points = [
                (day, figures[figure_id]) for day, figures in zip(self._days(), self._figures(), strict=True)
            ]
            band = season.band() if figure_id == "fruit_per_m2" else ()
            chart_painting.panel(painter, axes, points, band, look)
            if figure_id == "height_cm":
                chart_painting.curve(painter, axes, self._curve, look)
            chart_painting.reading(painter, axes, points[self._week][1], number == self._panel, look, _RIGHT)
        marks = [(item.ended_at.date(), item.active_ingredient) for item in season.now.past.treatments]
        chart_painting.treatments(painter, self._axes(0), self._axes(len(PANELS) - 1), marks, look)
        chart_painting.time_axis(
            painter, self._axes(len(PANELS) - 1), [week for week, _f in season.weeks], look
        )
        chart_painting.key(painter, self._axes(len(PANELS) - 1), _("shaded: band   ✕ treatment"), look)
        cursor_x = self._axes(0).x(self._days()[self._week])
        painter.setPen(QPen(QColor(look.accent), 2, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(cursor_x, _TOP), QPointF(cursor_x, self._axes(len(PANELS) - 1).box.bottom()))
        if self.hasFocus():
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def _figures(self) -> list[dict[str, Figure]]:
        assert self._season is not None
        return [dict(figures) for _week, figures in self._season.weeks]

    def _days(self) -> list[date]:
        assert self._season is not None
        return [week.monday for week, _figures in self._season.weeks]

    def _line(self) -> float:
        return QFontMetricsF(self.font()).height()

    def _panel_height(self) -> float:
        return (self.height() - _TOP - self._line() * 1.6 - 4) / len(PANELS)

    def _axes(self, number: int) -> Axes:
        assert self._season is not None
        height = self._panel_height()
        box = QRectF(_LEFT, _TOP + height * number + 6, self.width() - _LEFT - _RIGHT, height - 14)
        days = self._days()
        tops = []
        for figures in self._figures():
            figure = figures[PANELS[number]]
            tops += [value for value in (figure.value, figure.high) if value is not None]
        if PANELS[number] == "fruit_per_m2":
            tops += [high for day, _low, high in self._season.band() if days[0] <= day <= days[-1]]
        return Axes(box, days[0], max(days[-1], days[0]), chart_painting.round_top(max(tops, default=1.0)))

    def _say(self) -> None:
        figure = self.figure
        if figure is not None and self._season is not None:
            week = self._season.weeks[self._week][0]
            value = figure.text_with_unit if figure.value is not None else figure.missing
            interval = f" ({figure.interval_text})" if figure.interval_text else ""
            self.setAccessibleDescription(f"{week}, {figure.label}: {value}{interval}")
        self.update()
