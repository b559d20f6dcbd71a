"""A measure over weeks after transplanting, a curve a group of one crop, with intervals across bays."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from bayround.actions import season
from bayround.actions.season import SeasonBook
from bayround.figures.season import GroupBy
from bayround.figures.season_curves import MEASURES, PEST, Curve
from bayround.window.bay.page_parts import text_label
from bayround.window.desk import Desk
from bayround.window.parts.explain import explain
from bayround.window.season.curves_chart import MOST_CURVES, CurvesChart
from bayround.words import _


class CurvesPage(QWidget):
    """Crop and measure above, the chart, and in words what stands under its cursor."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.book: SeasonBook | None = None
        self.by = GroupBy.VARIETY
        self.crop, self.measure = QComboBox(), QComboBox()
        self.crop.setAccessibleName(_("Crop"))
        self.measure.setAccessibleName(_("What is drawn"))
        self.measure.setMinimumWidth(220)
        self.chart = CurvesChart()
        self.said, self.notes = text_label(), text_label(name="quiet")
        top = QHBoxLayout()
        top.setSpacing(8)
        for text, box in ((_("C&rop"), self.crop), (_("Draw&n"), self.measure)):
            label = QLabel(text)
            label.setBuddy(box)
            top.addWidget(label)
            top.addWidget(box)
        top.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 8, 8, 8)
        column.setSpacing(8)
        column.addLayout(top)
        column.addWidget(self.said)
        column.addWidget(self.chart, 1)
        column.addWidget(self.notes)
        self.crop.activated.connect(lambda _place: self._read())
        self.measure.activated.connect(lambda _place: self._read())
        self.chart.moved.connect(self.said.setText)
        self.chart.asked_why.connect(lambda figure: explain(figure, self))

    def show_book(self, book: SeasonBook, by: GroupBy) -> None:
        """Show a season put together in another way, the measure staying what it was."""
        self.book, self.by = book, by
        choices = [(key, _(measure.label)) for key, measure in MEASURES.items()]
        choices += [(PEST + key, _("Infested: {name}").format(name=name)) for key, name in book.pests.items()]
        _refill(self.measure, choices)
        _refill(self.crop, list(book.crops.items()))
        self._read()

    def _read(self) -> None:
        book, by, measure = self.book, self.by, str(self.measure.currentData())
        if book is not None:
            self.desk.tasks.ask(lambda: season.curves(book, measure, by), self._show)

    def _show(self, curves: tuple[Curve, ...]) -> None:
        crop = str(self.crop.currentData())
        own = [curve for curve in curves if curve.crop == crop]
        self.chart.show_curves(own)
        text = _(
            "Mean of the bays of a group, a bay's own mean being one value; interval across bays (95 %)."
        )
        if len(own) > MOST_CURVES:
            rest = _("The first {n} of {all} groups are drawn.").format(n=MOST_CURVES, all=len(own))
            text = f"{text} {rest}"
        self.notes.setText(text)


def _refill(box: QComboBox, choices: list[tuple[str, str]]) -> None:
    chosen = box.currentData()
    box.clear()
    for key, text in choices:
        box.addItem(text, key)
    box.setCurrentIndex(max(box.findData(chosen), 0))
