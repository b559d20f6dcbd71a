"""Two bays on one axis: calendar weeks, or weeks after transplanting. Line and mark tell them apart, not colour alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayround import words
from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.window.bay.chart_painting import round_top
from bayround.window.parts.spoken import CHART
from bayround.words import _

_LEFT, _RIGHT, _TOP = 64, 16, 8


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


class CompareChart(QWidget):
    """Left and Right walk through the weeks, Up and Down between the bays; F4 asks how the figure there is known.

    Attributes:
        moved: the cursor stands on another week; carries what both bays have there, in words.
        asked_why: a figure under the cursor.
    """

    spoken_role = CHART

    moved = Signal(str)
    asked_why = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(160)
        self.setAccessibleName(_("Two bays on one axis"))
        self._series: tuple[Series, ...] = ()
        self._by_age = True
        self._weeks: list[int] = []
        self._at = self._bay = 0

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(900, 320)

    def show_series(self, series: tuple[Series, ...], by_age: bool) -> None:
        """Show these bays on one axis, the cursor on the last week both have."""
        self._series, self._by_age = series, by_age
        self._bay = min(self._bay, max(len(series) - 1, 0))
        have = [{week for week, _figure in one.places(by_age)} for one in series]
        self._weeks = sorted(set().union(*have)) if have else []
        shared = sorted(set.intersection(*have)) if have else []
        last = shared[-1] if shared else (self._weeks[-1] if self._weeks else 0)
        self._at = self._weeks.index(last) if self._weeks else 0
        self._say()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrow keys, F4 explains."""
        key = event.key()
        if key in {Qt.Key.Key_Left, Qt.Key.Key_Right} and self._weeks and not event.modifiers():
            step = 1 if key == Qt.Key.Key_Right else -1
            self._at = max(0, min(len(self._weeks) - 1, self._at + step))
            self._say()
        elif key in {Qt.Key.Key_Up, Qt.Key.Key_Down} and self._series and not event.modifiers():
            self._bay = max(0, min(len(self._series) - 1, self._bay + (1 if key == Qt.Key.Key_Down else -1)))
            self._say()
        elif key == Qt.Key.Key_F4 and (figure := self.figure) is not None:
            self.asked_why.emit(figure)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the cursor on the week under the mouse."""
        if self._weeks:
            x = event.position().x()
            self._at = min(range(len(self._weeks)), key=lambda at: abs(self._x(self._weeks[at]) - x))
            self._say()

    def here(self) -> list[Figure | None]:
        """Return each bay's figure in the week under the cursor, or nothing where it has none."""
        week = self._weeks[self._at] if self._weeks else 0
        return [dict(one.places(self._by_age)).get(week) for one in self._series]

    @property
    def figure(self) -> Figure | None:
        """The figure under the cursor: the chosen bay's in the chosen week, or nothing where it has none."""
        return self.here()[self._bay] if self._series else None

    def said(self) -> str:
        """Return in words what both bays have in the week under the cursor."""
        if not self._weeks:
            return _("No visit of these plantings is finished yet.")
        parts = [self._week_text(self._weeks[self._at])]
        for place, (one, figure) in enumerate(zip(self._series, self.here(), strict=True)):
            value = words.MISSING if figure is None or figure.value is None else figure.text_with_unit
            interval = f" ({figure.interval_text})" if figure is not None and figure.interval_text else ""
            mark = "▸ " if place == self._bay and len(self._series) > 1 else ""
            parts.append(f"{mark}{one.name}: {value}{interval}")
        return "   ".join(parts)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw frame, axis, both lines with their intervals, and the cursor."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = theme.now()
        painter.fillRect(self.rect(), QColor(look.sheet))
        if self._weeks:
            self._paint_axes(painter)
            for number, one in enumerate(self._series):
                self._paint_line(painter, one, number)
            painter.setPen(QPen(QColor(look.accent), 2))
            x, box = self._x(self._weeks[self._at]), self._box()
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(look.accent), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
        painter.end()

    def _paint_axes(self, painter: QPainter) -> None:
        look, box, line = theme.now(), self._box(), self._line()
        painter.setPen(QPen(QColor(look.line), 1))
        painter.drawRect(box)
        painter.setPen(QColor(look.quiet))
        top = self._top()
        text = words.number(top, 0 if top >= 10 or top == int(top) else 1)
        for label, y in ((text, box.top()), ("0", box.bottom() - line)):
            painter.drawText(QRectF(0, y, _LEFT - 8, line), Qt.AlignmentFlag.AlignRight, label)
        free_from = box.left() - 24
        for week in self._weeks:
            label = self._week_text(week)
            width = QFontMetricsF(painter.font()).horizontalAdvance(label)
            x = min(max(self._x(week) - width / 2, box.left() - 24), box.right() - width)
            if x >= free_from:
                painter.drawText(QPointF(x, box.bottom() + line), label)
                free_from = x + width + 16

    def _paint_line(self, painter: QPainter, one: Series, number: int) -> None:
        look = theme.now()
        colour = QColor(look.chart_line if number == 0 else look.chart_second)
        style = Qt.PenStyle.SolidLine if number == 0 else Qt.PenStyle.DashLine
        before: QPointF | None = None
        for week, figure in one.places(self._by_age):
            if figure.value is None:
                before = None
                continue
            at = QPointF(self._x(week), self._y(figure.value))
            painter.setPen(QPen(colour, 1))
            if figure.low is not None and figure.high is not None:
                painter.drawLine(
                    QPointF(at.x(), self._y(max(figure.low, 0.0))),
                    QPointF(at.x(), self._y(min(figure.high, self._top()))),
                )
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

    def _line(self) -> float:
        return QFontMetricsF(self.font()).height()

    def _box(self) -> QRectF:
        return QRectF(_LEFT, _TOP, self.width() - _LEFT - _RIGHT, self.height() - _TOP - self._line() * 1.5)

    def _top(self) -> float:
        figures = [figure for one in self._series for _day, figure in one.points]
        values = [value for figure in figures for value in (figure.value, figure.high) if value is not None]
        return round_top(max(values, default=1.0))

    def _x(self, week: int) -> float:
        inner = self._box().adjusted(8, 0, -8, 0)
        weeks = max(self._weeks[-1] - self._weeks[0], 1)
        return inner.left() + inner.width() * (week - self._weeks[0]) / weeks

    def _y(self, value: float) -> float:
        box = self._box()
        return box.bottom() - box.height() * value / self._top()

    def _say(self) -> None:
        text = self.said()
        self.setAccessibleDescription(text)
        self.moved.emit(text)
        self.update()
