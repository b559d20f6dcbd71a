"""The season of one bay on one line of time: five charts and a lane of jobs, treatments and intervals."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.week.season_line import FIGURES, SeasonLine
from bayround.window import theme
from bayround.window.bay import chart_painting, event_painting, season_words
from bayround.window.bay.chart_painting import Axes
from bayround.window.bay.season import BaySeason
from bayround.window.parts.spoken import CHART
from bayround.words import _

EVENTS = "events"
LANES = (*FIGURES, EVENTS)
_SHARES = (1.25, 1.0, 1.25, 0.7, 1.0, 0.8)
_LEFT, _RIGHT, _TOP = 56, 252, 6
_KEYS_ACROSS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Home: -9999, Qt.Key.Key_End: 9999}


class SeasonChart(QWidget):
    """Left and Right walk through the weeks, Up and Down through the charts; the mouse reads where it hovers.

    Attributes:
        asked_why: the figure under the cursor. week_read: the week whose values are read now.
    """

    spoken_role = CHART

    asked_why = Signal(object)
    week_read = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumHeight(250)
        self.setAccessibleName(_("Charts of the season"))
        self._season: BaySeason | None = None
        self._line = SeasonLine()
        self._weeks: tuple[Week, ...] = ()
        self._tops: dict[str, float] = {}
        self._curve: tuple[tuple[date, float], ...] = ()
        self._week = self._lane = 0
        self._hover: int | None = None

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(900, 400)

    def show_curve(self, points: Sequence[tuple[date, float]]) -> None:
        """Draw a growth curve, (day, cm), through the heights; an empty one takes it away."""
        self._curve = tuple(points)
        self.update()

    def show_season(self, season: BaySeason) -> None:
        """Show a season with the cursor on its newest visit; its growth curve comes later."""
        self._season, self._line = season, season.line
        self._curve, self._hover = (), None
        self._weeks = self._line.weeks() if self._line.visits else ()
        newest = self._line.visits[-1].week if self._line.visits else None
        self._week = self._weeks.index(newest) if newest is not None else 0
        self._tops = {key: self._top_of(key) for key in FIGURES}
        self._say()

    @property
    def week(self) -> Week | None:
        """The week that is read: under the mouse, else under the cursor."""
        if not self._weeks:
            return None
        return self._weeks[self._week if self._hover is None else self._hover]

    @property
    def figure(self) -> Figure | None:
        """The figure under the cursor."""
        return None if self.week is None else season_words.figure_of(self._line, LANES[self._lane], self.week)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrow keys, Home and End; F4 or Enter explains."""
        key = Qt.Key(event.key())
        self._hover = None
        if key in _KEYS_ACROSS and self._weeks and not event.modifiers():
            self._week = max(0, min(len(self._weeks) - 1, self._week + _KEYS_ACROSS[key]))
        elif key in {Qt.Key.Key_Up, Qt.Key.Key_Down} and not event.modifiers():
            self._lane = max(0, min(len(LANES) - 1, self._lane + (1 if key == Qt.Key.Key_Down else -1)))
        elif key in {Qt.Key.Key_F4, Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.figure is not None:
            self.asked_why.emit(self.figure)
            return
        else:
            super().keyPressEvent(event)
            return
        self._say()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the cursor on the week and chart under the mouse."""
        if self._weeks:
            self._week, self._lane, self._hover = *self._under(event.position()), None
            self._say()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read the values where the mouse is."""
        if self._weeks:
            self._hover, lane = self._under(event.position())
            self.setToolTip(season_words.spoken(self._line, LANES[lane], self._weeks[self._hover]))
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Read at the cursor again."""
        self._hover = None
        self.update()
        super().leaveEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the charts, the time axis, what was done, and the cursor."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = theme.now()
        painter.fillRect(self.rect(), QColor(look.sheet))
        if self._weeks:
            self._paint_lanes(painter)
        else:
            text = _("No visit of this planting is finished yet.")
            painter.setPen(QColor(look.quiet))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, text)
        if self.hasFocus():
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def _paint_lanes(self, painter: QPainter) -> None:
        look, week = theme.now(), self.week
        assert week is not None
        lanes = [self._axes(number) for number in range(len(LANES))]
        for key, axes in zip(FIGURES, lanes, strict=False):
            self._paint_figure(painter, key, axes, week)
        event_painting.paint(painter, lanes[0], lanes[-1], self._line.events, look)
        for number, (key, axes) in enumerate(zip(LANES, lanes, strict=True)):
            texts = season_words.reading(self._line, key, week)
            chart_painting.reading(painter, axes, texts, number == self._lane, look, _RIGHT)
        chart_painting.time_axis(painter, lanes[-1], self._weeks, look)
        chart_painting.key(painter, lanes[-1], str(week), season_words.legend(), look)
        x = lanes[0].x(self._day_of(week))
        painter.setPen(QPen(QColor(look.accent), 2, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(x, _TOP), QPointF(x, lanes[-1].box.bottom()))

    def _paint_figure(self, painter: QPainter, key: str, axes: Axes, week: Week) -> None:
        look, line = theme.now(), self._line
        if key == "picked_kg_week":
            chart_painting.frame(painter, axes, look)
            chart_painting.pick_bars(painter, axes, line.picks, look)
            return
        points = [(point.day, point.figures[key]) for point in line.visits]
        band = self._season.band() if key == "fruit_per_m2" and self._season else ()
        chart_painting.panel(painter, axes, points, band, look)
        if key == "height_cm":
            chart_painting.curve(painter, axes, self._curve, look)
            if line.tie is not None:
                days = (line.tie.first, line.tie.day, line.tie.last)
                text, cursor_x = season_words.tie_text(line.tie), axes.x(self._day_of(week))
                chart_painting.tie(painter, axes, days, text, look, cursor_x)
        if key == "incidence_percent":
            marks = [(point.day, point.decision) for point in line.visits]
            chart_painting.decisions(painter, axes, marks, look)

    def _under(self, at: QPointF) -> tuple[int, int]:
        """Return the week and the lane under a point."""
        axes = self._axes(0)
        week = min(
            range(len(self._weeks)), key=lambda place: abs(axes.x(self._day_of(self._weeks[place])) - at.x())
        )
        lane = sum(at.y() > self._axes(number).box.bottom() + 7 for number in range(len(LANES) - 1))
        return week, lane

    def _day_of(self, week: Week) -> date:
        """Return the day at which a week is read: its visit's, else its Thursday."""
        visit = self._line.visit_in(week)
        return visit.day if visit is not None else week.monday + timedelta(days=3)

    def _axes(self, number: int) -> Axes:
        line = QFontMetricsF(self.font()).height()
        room = self.height() - _TOP - line * 2.7 - 4
        edges = [_TOP + room * sum(_SHARES[:place]) / sum(_SHARES) for place in range(len(LANES) + 1)]
        top, bottom = tuple(pairwise(edges))[number]
        box = QRectF(_LEFT, top + 5, self.width() - _LEFT - _RIGHT, bottom - top - 10)
        first = min(self._weeks[0].monday, self._line.visits[0].day)
        return Axes(box, first, self._weeks[-1].sunday, self._tops.get(LANES[number], 1.0))

    def _top_of(self, key: str) -> float:
        if key == "picked_kg_week":
            found = [one for week in self._line.picks for one in (week.picked, week.said, week.coming)]
        else:
            found = [point.figures[key] for point in self._line.visits]
        figures = [one for one in found if one is not None]
        tops = [value for one in figures for value in (one.value, one.high) if value is not None]
        if key == "fruit_per_m2" and self._season is not None and self._weeks:
            first, last = self._weeks[0].monday, self._weeks[-1].sunday
            tops += [high for day, _low, high in self._season.band() if first <= day <= last]
        return chart_painting.round_top(max(tops, default=1.0))

    def _say(self) -> None:
        week = self.week
        if week is not None:
            self.setAccessibleDescription(season_words.spoken(self._line, LANES[self._lane], week))
            self.week_read.emit(week)
        self.update()
