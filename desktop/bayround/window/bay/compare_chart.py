"""Two bays on one axis: calendar weeks, or weeks after transplanting. Line and mark tell them apart, not colour alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from bayround import words
from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.window.bay.chart_painting import round_top
from bayround.window.parts.week_chart import LEFT, WeekChart
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Series:
    """One bay's figure week by week: its name, transplanting day, and (day of the week's Monday, figure)."""

    name: str
    transplanted_on: date
    points: tuple[tuple[date, Figure], ...]

    def places(self, by_age: bool) -> list[tuple[int, Figure]]:
        """Return (week on the axis, figure): whole weeks after transplanting, or weeks of the calendar."""
        found = []
        for day, figure in self.points:
            days = (day - self.transplanted_on).days + 6 if by_age else day.toordinal()
            found.append((days // 7, figure))
        return found


class CompareChart(WeekChart):
    """Two bays' lines; Up and Down choose the bay whose figure is asked about."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(_("Two bays on one axis"), 160, parent)
        self._series: tuple[Series, ...] = ()
        self._by_age = True

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(900, 320)

    def show_series(self, series: tuple[Series, ...], by_age: bool) -> None:
        """Show these bays on one axis, the cursor on the last week both have."""
        self._series, self._by_age = series, by_age
        self.chosen = min(self.chosen, max(len(series) - 1, 0))
        have = [{week for week, _figure in one.places(by_age)} for one in series]
        self.weeks = sorted(set().union(*have)) if have else []
        shared = sorted(set.intersection(*have)) if have else []
        last = shared[-1] if shared else (self.weeks[-1] if self.weeks else 0)
        self.at = self.weeks.index(last) if self.weeks else 0
        self.say()

    def here(self) -> list[Figure | None]:
        """Return each bay's figure in the week under the cursor, or nothing where it has none."""
        week = self.weeks[self.at] if self.weeks else 0
        return [dict(one.places(self._by_age)).get(week) for one in self._series]

    def said(self) -> str:
        """Return in words what both bays have in the week under the cursor."""
        if not self.weeks:
            return _("No visit of these plantings is finished yet.")
        parts = [self._week_text(self.weeks[self.at])]
        for place, (one, figure) in enumerate(zip(self._series, self.here(), strict=True)):
            value = words.MISSING if figure is None or figure.value is None else figure.text_with_unit
            interval = f" ({figure.interval_text})" if figure is not None and figure.interval_text else ""
            mark = "▸ " if place == self.chosen and len(self._series) > 1 else ""
            parts.append(f"{mark}{one.name}: {value}{interval}")
        return "   ".join(parts)

    def axis_top(self) -> float:
        """Return a round value above every mean and interval."""
        figures = [figure for one in self._series for _day, figure in one.points]
        values = [value for figure in figures for value in (figure.value, figure.high) if value is not None]
        return round_top(max(values, default=1.0))

    def paint_axes(self, painter: QPainter) -> None:
        """Draw the frame, its highest and lowest value, and the weeks there is room for."""
        look, box, line = theme.now(), self.frame(), self.line_height()
        painter.setPen(QPen(QColor(look.line), 1))
        painter.drawRect(box)
        painter.setPen(QColor(look.quiet))
        top = self.axis_top()
        text = words.number(top, 0 if top >= 10 or top == int(top) else 1)
        for label, y in ((text, box.top()), ("0", box.bottom() - line)):
            painter.drawText(QRectF(0, y, LEFT - 8, line), Qt.AlignmentFlag.AlignRight, label)
        free_from = box.left() - 24
        for week in self.weeks:
            label = self._week_text(week)
            width = QFontMetricsF(painter.font()).horizontalAdvance(label)
            x = min(max(self.place_of(week) - width / 2, box.left() - 24), box.right() - width)
            if x >= free_from:
                painter.drawText(QPointF(x, box.bottom() + line), label)
                free_from = x + width + 16

    def paint_lines(self, painter: QPainter) -> None:
        """Draw both bays' lines."""
        for number, one in enumerate(self._series):
            self._paint_line(painter, one, number)

    def _paint_line(self, painter: QPainter, one: Series, number: int) -> None:
        look = theme.now()
        colour = QColor(look.chart_line if number == 0 else look.chart_second)
        style = Qt.PenStyle.SolidLine if number == 0 else Qt.PenStyle.DashLine
        before: QPointF | None = None
        for week, figure in one.places(self._by_age):
            if figure.value is None:
                before = None
                continue
            at = QPointF(self.place_of(week), self.height_of(figure.value))
            painter.setPen(QPen(colour, 1))
            self.paint_interval(painter, at.x(), figure)
            painter.setPen(QPen(colour, 2, style))
            if before is not None:
                painter.drawLine(before, at)
            painter.setPen(QPen(colour, 2))
            painter.setBrush(colour if number == 0 else QColor(look.sheet))
            if number == 0:
                painter.drawEllipse(at, 3, 3)
            else:
                painter.drawRect(QRectF(at.x() - 3, at.y() - 3, 6, 6))
            before = at

    def _week_text(self, week: int) -> str:
        if self._by_age:
            return _("week {n}").format(n=week)
        year, number, _day = date.fromordinal(week * 7 + 1).isocalendar()
        return f"{year}-W{number:02d}"
