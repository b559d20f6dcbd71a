"""The season report as a workbook: all sheets in order, then the file. Nothing is reckoned here."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bayround import __version__
from bayround.figures.season import GroupBy
from bayround.figures.season_report import SeasonReport
from bayround.paper.season_report import figure_sheets, money_sheets, text_sheets
from bayround.paper.workbook import charts, page, saving, tables
from bayround.paper.workbook.book import Stopped
from bayround.paper.workbook.cells import Pen, letter, safe_text
from bayround.paper.workbook.contents import sheet_name
from bayround.paper.workbook.styles import Look
from bayround.paper.workbook.table import Table
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

REPLANT, VARIETY, KIND, BAY = "What to replant", "By variety", "By kind of house", "By bay"
YEARS, WEEKS, MONEY, PARTS = "Year against year", "Over weeks", "Money", "Income and costs"
MONEY_KIND, MONEY_BAY = "Money by kind of house", "Money by bay"
BREAK_EVEN, WHAT_IF, TRIALS = "Break-even", "What if", "Trials"
WRITTEN, ABOUT = "Costs and prices", "About these numbers"
_CHARTED = "season_kg_m2"
_ROWS_OF_A_CHART = 16


def write(report: SeasonReport, path: Path, cancelled: Callable[[], bool] | None = None) -> Path:
    """Write the workbook of a season to *path* and return it; the same season gives the same bytes.

    Raises:
        Stopped: *cancelled* said yes; what stood at *path* is as it was.
        Problem: the file can't be written; what stood at *path* is as it was.
    """

    def watch() -> None:
        if cancelled is not None and cancelled():
            raise Stopped(
                _("Writing the workbook was stopped."),
                _("Nothing was written; an earlier file is as it was."),
            )

    saving.save(_fill(report, watch), path, report.as_of, watch)
    return path


def _fill(report: SeasonReport, watch: Callable[[], None]) -> Workbook:
    from openpyxl import Workbook

    workbook = Workbook()
    looks: dict[Look, Any] = {}
    first = workbook.active
    assert first is not None
    _replant(Pen(first, looks), report, watch)
    for title, note, table in _sheets(report):
        pen = Pen(workbook.create_sheet(sheet_name(title)), looks)
        pen.title(f"{_(title)} · {text_sheets.footer(report)}", note)
        last = tables.write(pen, table, text_sheets.footer(report), watch)
        if title in {VARIETY, KIND}:
            _chart(pen, report, table, last)
    _describe(workbook, report)
    return workbook


def _sheets(report: SeasonReport) -> list[tuple[str, str, Table]]:
    between = _("Low and high: how much the bays of a group differ (95 %). No test: not drawn by lot.")
    lines, cash = report.lines, report.money
    season = figure_sheets.season_table
    found = [
        (VARIETY, between, season("by_variety", report, lines[GroupBy.VARIETY], _CHARTED)),
        (KIND, between, season("by_kind", report, lines[GroupBy.HOUSE_KIND], _CHARTED)),
        (BAY, "", season("by_bay", report, lines[GroupBy.BAY])),
        (YEARS, _ages(report), season("by_year", report, report.years)),
    ]
    for title, name, by in (
        (MONEY, "money", GroupBy.VARIETY),
        (MONEY_KIND, "money_by_kind", GroupBy.HOUSE_KIND),
        (MONEY_BAY, "money_by_bay", GroupBy.BAY),
    ):
        found.append((title, "", figure_sheets.money_table(name, report, cash[by])))
    return [
        *found,
        (PARTS, "", money_sheets.parts_table(report)),
        (BREAK_EVEN, "", money_sheets.break_even_table(report)),
        (WHAT_IF, _("Partial budgets."), money_sheets.budget_table(report)),
        (TRIALS, _("Plots, not plants, are the replicates."), text_sheets.effects_table(report)),
        (WEEKS, "", figure_sheets.curve_table(report)),
        (WRITTEN, "", money_sheets.written_table(report)),
        (ABOUT, "", text_sheets.about_table(report)),
    ]


def _ages(report: SeasonReport) -> str:
    ages = ", ".join(f"{report.crops[crop]} {days}" for crop, days in report.ages.items())
    return _("Every year up to the same days after transplanting: {ages}.").format(ages=ages)


def _replant(pen: Pen, report: SeasonReport, watch: Callable[[], None]) -> None:
    pen.sheet.title = sheet_name(REPLANT)
    note = _(
        "Varieties of a crop, the one that earned most per m² first. What it rests on says how sure that is."
    )
    pen.title(f"{_(REPLANT)} · {text_sheets.footer(report)}", note)
    table = text_sheets.replant_table(report)
    last = tables.write(pen, table, text_sheets.footer(report), watch)
    columns = page.columns(pen.sheet)
    last = text_sheets.write_findings(pen, report, last + 2)
    text_sheets.fit_findings(pen, report, last, columns)


def _chart(pen: Pen, report: SeasonReport, table: Table, last: int) -> None:
    column = figure_sheets.place_of(_CHARTED)
    if not charts.has_values(table, column):
        return
    sheet, width = pen.sheet, page.columns(pen.sheet)
    title = _("Picked per m², with the interval across bays")
    chart = charts.intervals(sheet, table, column, title, "kg/m²")
    end = last + 2 + _ROWS_OF_A_CHART
    shown = [n for n in range(1, width + 1) if not sheet.column_dimensions[letter(n)].hidden]
    charts.put(sheet, chart, charts.Area(last + 2, end, 1, shown[min(len(shown) - 1, 11)]))
    page.set_up(sheet, text_sheets.footer(report), letter(width), end)


def _describe(workbook: Workbook, report: SeasonReport) -> None:
    about_it = workbook.properties
    about_it.title = safe_text(text_sheets.footer(report))
    about_it.creator = "Bayround"
    about_it.version = __version__
    about_it.created = about_it.modified = datetime.combine(report.as_of, time())
