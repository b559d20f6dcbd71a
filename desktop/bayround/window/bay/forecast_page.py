"""Picks coming, week by week, and how earlier forecasts of this bay turned out."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from bayround.actions.insight import BayInsight, ForecastLine, ScoredForecast
from bayround.figures import forecast_record
from bayround.window.bay.page_parts import BayPage, text_label
from bayround.window.bay.rows_table import Row, RowsModel, RowsTable
from bayround.window.desk import Desk
from bayround.window.parts.figure_chips import FigureChips
from bayround.words import _, counted

COMING = ("Week", "Picks (kg)", "80 % interval", "Fruit", "80 % interval")
RECORD = (
    "Forecasts made",
    "Inside the interval",
    "Usual error",
    "Low (+) or high (−)",
    "Against last week",
    "Forecasts",
)
SCORED = ("Week", "Said", "Foreseen (kg)", "80 % interval", "Picked (kg)", "Inside")


class ForecastPage(BayPage):
    """Two tables and the record between them."""

    title = "Forecast"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.coming = RowsModel(COMING)
        self.record = RowsModel(RECORD)
        self.scored = RowsModel(SCORED, left=(0, 1, 5))
        self.record_words = text_label()
        self.none = text_label(name="quiet")
        self.chips = FigureChips()
        self.column.addWidget(text_label(_("Picks coming"), "heading"))
        self.column.addWidget(RowsTable(self.coming, _("Picks coming, week by week")))
        self.column.addWidget(self.none)
        self.column.addWidget(text_label(_("How good the forecasts were"), "heading"))
        self.column.addWidget(self.record_words)
        self.column.addWidget(RowsTable(self.record, _("How good the forecasts were")))
        self.column.addWidget(self.chips)
        self.column.addWidget(text_label(_("What was said, and what came"), "heading"))
        self.column.addWidget(RowsTable(self.scored, _("What was said, and what came")))
        self.column.addStretch(1)

    def show_insight(self, insight: BayInsight) -> None:
        """Show a bay's forecast and its record."""
        super().show_insight(insight)
        self.coming.show_rows([coming_row(line) for line in insight.forecast])
        self.none.setText(
            ""
            if insight.forecast
            else _("Nothing can be foreseen: fruit must be counted by stage on at least two marked plants.")
        )
        self.none.setVisible(not insight.forecast)
        self.record_words.setText(insight.record_sentence)
        self.record.show_rows(record_rows(insight))
        self.chips.show_figures([figure for figure in insight.record[1].values() if figure.value is not None])
        newest = sorted(insight.scored, key=lambda one: (one.week, -one.weeks_ahead), reverse=True)
        self.scored.show_rows([scored_row(one) for one in newest])


def coming_row(line: ForecastLine) -> Row:
    """Return one week to come; the first is what is left of the visit's own week."""
    week = str(line.week) if line.weeks_ahead else _("rest of {week}").format(week=line.week)
    return (week, line.kg.text, line.kg.interval_text, line.fruit.text, line.fruit.interval_text), (
        *[line.kg] * 3,
        *[line.fruit] * 2,
    )


def record_rows(insight: BayInsight) -> list[Row]:
    """Return the record by weeks ahead: this bay's, then the farm's."""
    rows: list[Row] = []
    for whose, record in ((_("this bay"), insight.record), (_("all bays"), insight.farm_record)):
        for weeks, figures in record.items():
            held = figures["forecast_coverage_percent"]
            if held.value is None:
                continue
            ahead = counted("{n} week ahead", "{n} weeks ahead", weeks)
            keys = (
                "forecast_coverage_percent",
                "forecast_wape_percent",
                "forecast_bias_percent",
                "forecast_mase",
            )
            shown = [figures[key] for key in keys]
            texts = [figure.text_with_unit for figure in shown]
            rows.append(((f"{ahead}, {whose}", *texts, str(held.n)), (held, *shown, held)))
    return rows


def scored_row(one: ScoredForecast) -> Row:
    """Return one kept forecast beside what was picked."""
    said, picked = forecast_record.said_figure(one), forecast_record.picked_figure(one)
    return (
        str(one.week),
        counted("{n} week ahead", "{n} weeks ahead", one.weeks_ahead),
        said.text,
        said.interval_text,
        picked.text,
        _("✓ yes") if one.inside else _("✕ no"),
    ), (said, said, said, said, picked, picked)
