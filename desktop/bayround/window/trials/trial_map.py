"""The houses in which a trial lies, drawn to scale: its plots as stripes of rows, told by shade, hatch and name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayround.facts.farm import Bay, House
from bayround.facts.season import SeasonFacts
from bayround.facts.trials import TrialPlot
from bayround.window import theme
from bayround.window.week import map_painting
from bayround.window.week.map_layout import FarmPlan, lay_out
from bayround.words import _

_HIGH = 300


@dataclass(frozen=True, slots=True)
class Placed:
    """A bay in its house."""

    house: House
    bay: Bay


class TrialMap(QWidget):
    """Shows where the plots of a trial lie; hidden when none has a place on the farm."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plots: Sequence[TrialPlot] = ()
        self._bays: tuple[Placed, ...] = ()
        self._plan = FarmPlan({}, {}, 1.0, 1.0)
        self.setFixedHeight(_HIGH)
        self.setAccessibleName(_("Where the plots lie on the farm"))

    def show_plots(self, plots: Sequence[TrialPlot], season: SeasonFacts) -> None:
        """Show the plots; of the farm only the houses with a plot are drawn."""
        self._plots = [plot for plot in plots if plot.bay_id is not None]
        used = {plot.bay_id for plot in self._plots}
        houses = {house.id: house for house in season.houses}
        wanted = {bay.house_id for bay in season.bays if bay.id in used}
        self._bays = tuple(Placed(houses[bay.house_id], bay) for bay in season.bays if bay.house_id in wanted)
        names = {one.bay.id: one.bay.name for one in self._bays}
        told = (f"{names.get(plot.bay_id or '', '')} {plot.name}: {treatment(plot)}" for plot in self._plots)
        self.setAccessibleDescription("; ".join(told))
        self.setVisible(bool(self._bays))
        self.update()

    def sizeHint(self) -> QSize:
        """Return a good size."""
        return QSize(640, _HIGH)

    def stripe(self, plot: TrialPlot) -> QRectF:
        """Return where a plot is painted: its rows across the bay, its part of them along it."""
        view, bays = self._view(), {one.bay.id: one.bay for one in self._bays}
        box, bay = view.box(self._plan.bays[plot.bay_id or ""]), bays[plot.bay_id or ""]
        rows = max(bay.rows, plot.last_row or plot.first_row or 1)
        first = ((plot.first_row or 1) - 1) / rows
        last = (plot.last_row or plot.first_row or rows) / rows
        beside = [
            one
            for one in self._plots
            if (one.bay_id, one.first_row, one.last_row) == (plot.bay_id, plot.first_row, plot.last_row)
        ]
        start, part = beside.index(plot) / len(beside), 1 / len(beside)
        if box.width() >= box.height():  # rows run along the longer side
            return QRectF(
                box.left() + box.width() * start,
                box.top() + box.height() * first,
                box.width() * part,
                box.height() * (last - first),
            )
        return QRectF(
            box.left() + box.width() * first,
            box.top() + box.height() * start,
            box.width() * (last - first),
            box.height() * part,
        )

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint houses, bays and plots."""
        if not self._bays:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look, view = theme.now(), self._view()
        map_painting.ground(painter, QRectF(self.rect()), look, False)
        houses = {one.house.id: one.house for one in self._bays}
        for house_id, place in self._plan.houses.items():
            map_painting.house(painter, view.box(place), houses[house_id], look, self.width())
        names = {one.bay.id: one.bay.name for one in self._bays}
        used = {plot.bay_id for plot in self._plots}
        for bay_id, place in self._plan.bays.items():
            box = view.box(place)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(look.edge), 1, Qt.PenStyle.DotLine))
            painter.drawRect(box)
            if bay_id not in used:
                _text(painter, box, [names[bay_id]], QColor(look.quiet), None)
        treatments = list(dict.fromkeys(plot.main_level for plot in self._plots))
        for plot in self._plots:
            step = treatments.index(plot.main_level) * 2 % len(look.ramp)
            stripe = self.stripe(plot).adjusted(0.5, 0.5, -0.5, -0.5)
            map_painting.shade(painter, stripe, step, look)
            full = f"{plot.name} {treatment(plot)}"
            whole = [f"{names[plot.bay_id or '']} · {full}", full, plot.name]
            _text(painter, stripe, whole, QColor(look.on_ramp[step]), QColor(look.ramp[step]))
        painter.end()

    def _view(self) -> map_painting.View:
        line = QFontMetricsF(self.font()).height()
        field = QRectF(self.rect()).adjusted(12, line + 10, -12, -8)
        aspect = field.width() / max(field.height(), 1.0)
        self._plan = lay_out(self._bays, aspect)
        scale = map_painting.View.fitting(field, self._plan.width, self._plan.height).pixels_per_m
        self._plan = lay_out(self._bays, aspect, line * 1.5 / scale)
        return map_painting.View.fitting(field, self._plan.width, self._plan.height)


def treatment(plot: TrialPlot) -> str:
    """Return what a plot gets, in words."""
    return f"{plot.main_level} {plot.sub_level}".strip()


def _text(painter: QPainter, place: QRectF, texts: Sequence[str], ink: QColor, plate: QColor | None) -> None:
    """Write the first text that fits, upright in a narrow stripe, on a plate so that no hatch runs through it."""
    upright = place.height() > place.width() * 2
    along, across = (place.height(), place.width()) if upright else (place.width(), place.height())
    for factor in (1.0, 0.85, 0.7):
        font = theme.scaled(painter.font(), factor)
        measure = QFontMetricsF(font)
        for text in texts:
            width, line = measure.horizontalAdvance(text) + 6, measure.height()
            if width > along - 4 or line > across + 3:
                continue
            painter.save()
            painter.setFont(font)
            painter.translate(place.center())
            if upright:
                painter.rotate(-90)
            box = QRectF(-width / 2, -line / 2, width, line)
            if plate is not None:
                painter.fillRect(box.intersected(QRectF(-along / 2, -across / 2, along, across)), plate)
            painter.setPen(ink)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
            painter.restore()
            return
