"""Compare with another bay on the same axis: the same measure, by the calendar or by weeks after transplanting."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from bayround.actions import week as week_actions
from bayround.actions.insight import BayInsight
from bayround.facts.bay_past import BayPast
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.window.bay.compare_chart import CompareChart, Series
from bayround.window.bay.page_parts import BayPage, text_label
from bayround.window.desk import Desk
from bayround.window.parts.explain import explain
from bayround.words import _

MEASURES = (
    ("height_cm", "Height"),
    ("growth_cm_week", "Growth"),
    ("fruit_per_m2", "Fruit load"),
    ("fruit_per_plant", "Fruit per plant"),
    ("incidence_percent", "Worst incidence"),
    ("weed_cover_percent", "Weed cover"),
    ("picked_kg_m2", "Picked to date"),
)
Weeks = tuple[tuple[Week, Mapping[str, Figure]], ...]


class ComparePage(BayPage):
    """Two bays, one chart; what both have in the week under the cursor stands above it in words."""

    title = "Compare"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.other, self.axis, self.measure = QComboBox(), QComboBox(), QComboBox()
        self.axis.addItem(_("Weeks after transplanting"), True)
        self.axis.addItem(_("Calendar"), False)
        for key, title in MEASURES:
            self.measure.addItem(_(title), key)
        self.chart = CompareChart()
        self.said = text_label(name="heading")
        self.key = text_label(name="quiet")
        self._weeks: dict[str, Weeks] = {}
        line = QHBoxLayout()
        line.setSpacing(8)
        for text, choice in (
            (_("Compare &with"), self.other),
            (_("A&xis"), self.axis),
            (_("&Measure"), self.measure),
        ):
            label = QLabel(text)
            label.setBuddy(choice)
            choice.setAccessibleName(text.replace("&", ""))
            line.addWidget(label)
            line.addWidget(choice, 1)
        self.column.addLayout(line)
        self.column.addWidget(self.said)
        self.column.addWidget(self.chart, 1)
        self.column.addWidget(self.key)
        self.other.currentIndexChanged.connect(lambda _place: self._read())
        self.axis.currentIndexChanged.connect(lambda _place: self._draw())
        self.measure.currentIndexChanged.connect(lambda _place: self._draw())
        self.chart.moved.connect(self.said.setText)
        self.chart.asked_why.connect(lambda figure: explain(figure, self))

    def show_insight(self, insight: BayInsight) -> None:
        """Show a bay beside the one chosen before, or beside another one of its crop."""
        super().show_insight(insight)
        here = insight.past
        chosen = str(self.other.currentData() or "")
        others = [past for past in insight.pasts if past.bay.id != here.bay.id and past.planting is not None]
        self.other.blockSignals(True)
        self.other.clear()
        for past in others:
            self.other.addItem(_named(past), past.bay.id)
        place = self.other.findData(chosen)
        same_crop = [
            at
            for at, past in enumerate(others)
            if here.planting and past.planting and past.planting.crop == here.planting.crop
        ]
        self.other.setCurrentIndex(place if place >= 0 else (same_crop[0] if same_crop else 0))
        self.other.blockSignals(False)
        self._weeks = {}
        self._read()

    def _read(self) -> None:
        if self.insight is None:
            return
        farm, today = self.desk.farm, self.desk.today()
        wanted = [self.insight.past.bay.id, str(self.other.currentData() or "")]
        missing = [bay_id for bay_id in wanted if bay_id and bay_id not in self._weeks]
        self.desk.tasks.ask(
            lambda: {bay_id: week_actions.bay_season(farm, bay_id, today) for bay_id in missing},
            self._arrived,
        )

    def _arrived(self, weeks: dict[str, Weeks]) -> None:
        self._weeks |= weeks
        self._draw()

    def _draw(self) -> None:
        if self.insight is None:
            return
        key = str(self.measure.currentData())
        wanted = (self.insight.past.bay.id, str(self.other.currentData() or ""))
        pasts = {past.bay.id: past for past in self.insight.pasts}
        series = []
        for bay_id in wanted:
            past = pasts.get(bay_id)
            if past is None or past.planting is None or bay_id not in self._weeks:
                continue
            points = tuple(
                (week.monday, figures[key]) for week, figures in self._weeks[bay_id] if key in figures
            )
            series.append(Series(_named(past), past.planting.transplanted_on, points))
        self.chart.show_series(tuple(series), bool(self.axis.currentData()))
        texts = [f"{sign} {one.name}" for sign, one in zip(("●──", "□╌╌"), series, strict=False)]
        unit = next((figure.unit for one in series for _day, figure in one.points), "")
        hint = _(
            "Left and Right walk through the weeks, Up and Down between the bays, F4 explains; upright strokes are 95 % intervals."
        )
        self.key.setText("     ".join([*texts, unit, hint]))


def _named(past: BayPast) -> str:
    variety = f", {past.planting.variety}" if past.planting else ""
    return f"{past.house.name} · {past.bay.name}{variety}"
