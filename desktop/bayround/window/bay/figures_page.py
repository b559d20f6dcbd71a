"""Growth over the season, how many plants are enough, pests over time, and whether two bays differ."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from bayround.actions import insight as insight_actions
from bayround.actions.insight import BayComparison, BayInsight
from bayround.figures.figure import Figure
from bayround.window.bay.page_parts import BayPage, text_label
from bayround.window.desk import Desk
from bayround.window.parts.figure_chips import FigureChips
from bayround.words import _

_MEASURES = {
    "height_cm": "Height",
    "growth_cm_week": "Growth",
    "fruit_per_plant": "Fruit per plant",
    "fruit_per_m2": "Fruit load",
}


class FiguresPage(BayPage):
    """Chips that can be asked how they are known, sentences, and the comparison of two bays."""

    title = "More figures"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.growth, self.pests, self.all_bays = FigureChips(), FigureChips(), FigureChips()
        self.size_chips, self.difference = FigureChips(), FigureChips()
        self.sizes, self.compared, self.none = text_label(), text_label(), text_label(name="quiet")
        self.other, self.measure = QComboBox(), QComboBox()
        for choice in (self.other, self.measure):
            choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.other.setAccessibleName(_("Compare with"))
        self.measure.setAccessibleName(_("Compare in"))
        for key in insight_actions.COMPARED:
            self.measure.addItem(_(_MEASURES[key]), key)
        self.column.addWidget(text_label(_("Growth over the season"), "heading"))
        self.column.addWidget(self.growth)
        self.column.addWidget(self.none)
        self.column.addWidget(text_label(_("How many plants are enough?"), "heading"))
        self.column.addWidget(self.sizes)
        self.column.addWidget(self.size_chips)
        self.column.addWidget(text_label(_("Can two bays be told apart?"), "heading"))
        self.column.addLayout(self._comparison_row())
        self.column.addWidget(self.compared)
        self.column.addWidget(self.difference)
        self.column.addWidget(text_label(_("Heat, pests and disease over time"), "heading"))
        self.column.addWidget(self.pests)
        self.column.addWidget(text_label(_("All bays of this crop together"), "heading"))
        self.column.addWidget(self.all_bays)
        self.column.addStretch(1)
        self.other.activated.connect(lambda _place: self._compare())
        self.measure.activated.connect(lambda _place: self._compare())

    def show_insight(self, insight: BayInsight) -> None:
        """Show a bay's further figures; the comparison starts with the next bay of the walk."""
        super().show_insight(insight)
        growth = [insight.trend, *insight.curve.values()]
        known = [figure for figure in growth if figure.value is not None]
        self.growth.show_figures(known)
        missing = dict.fromkeys(
            f"{figure.label}: {figure.missing}" for figure in growth if figure.value is None
        )
        self.none.setText("\n".join(missing))
        self.none.setVisible(bool(missing))
        self.sizes.setText("\n".join(insight.size_sentences))
        self.size_chips.show_figures([figure for figure in insight.sizes if figure.value is not None])
        self.pests.show_figures([_with_word(one) for one in insight.over_time if one.value is not None])
        self.all_bays.show_figures([figure for figure in insight.all_bays if figure.value is not None])
        self._offer_bays(insight)
        self._compare()

    def _comparison_row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(8)
        for text, field in ((_("&With"), self.other), (_("&in"), self.measure)):
            label = QLabel(text)
            label.setBuddy(field)
            row.addWidget(label)
            row.addWidget(field)
        row.addStretch(1)
        return row

    def _offer_bays(self, insight: BayInsight) -> None:
        chosen = self.other.currentData()
        self.other.clear()
        own = insight.past.planting.crop if insight.past.planting else ""
        for past in insight.pasts:
            if past.planting is not None and past.planting.crop == own and past.bay.id != insight.past.bay.id:
                self.other.addItem(f"{past.house.name} · {past.bay.name}", past.bay.id)
        self.other.setCurrentIndex(max(self.other.findData(chosen), 0))

    def _compare(self) -> None:
        insight, other = self.insight, self.other.currentData()
        if insight is None or other is None:
            self.compared.setText(_("There is no other bay of this crop."))
            self.difference.show_figures([])
            return
        second = next(past for past in insight.pasts if past.bay.id == other)
        first, key = insight.past, str(self.measure.currentData())
        self.desk.tasks.ask(
            lambda: insight_actions.compare(first, second, key),
            self._show_comparison,
        )

    def _show_comparison(self, found: BayComparison) -> None:
        self.compared.setText(found.sentence)
        self.difference.show_figures([found.difference] if found.difference.value is not None else [])


def _with_word(figure: Figure) -> Figure:
    """Return a figure whose label says the word that goes with it (rising, falling, no clear trend)."""
    return replace(figure, label=f"{figure.label} ({figure.says})") if figure.says else figure
