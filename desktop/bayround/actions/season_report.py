"""The season report for the owner: what to replant, what is known, what is only suspected; workbook and pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

from bayround.actions import file_names, money, money_entries, season, trials
from bayround.actions.farm import OpenFarm
from bayround.actions.money_entries import MoneyEntry
from bayround.actions.season import SeasonBook
from bayround.facts.problems import Refused
from bayround.figures import season_findings
from bayround.figures import trials as trial_figures
from bayround.figures.money import BreakEven, BudgetReport, MoneyLineOfGroup
from bayround.figures.season import AREA_BASIS, GroupBy
from bayround.figures.season_curves import MEASURES
from bayround.figures.season_report import SeasonReport, WrittenDown
from bayround.figures.trial_report import TrialReport
from bayround.paper.pages.drawing import A4, Document, Paper
from bayround.paper.season_report import book as workbook
from bayround.paper.season_report import pages as season_pages
from bayround.paper.workbook import saving
from bayround.words import _

_GROUPS = (GroupBy.VARIETY, GroupBy.HOUSE_KIND, GroupBy.BAY)
_CURVES_BY = (GroupBy.VARIETY, GroupBy.HOUSE_KIND)


def read(farm: OpenFarm, today: date, year: int | None = None) -> SeasonReport:
    """Return the report of a year of transplanting (without one: the newest).

    Raises:
        Refused: as `season.read`.
    """
    return build(season.read(farm, today, year), farm)


def build(
    book: SeasonBook,
    farm: OpenFarm,
    budgets: Sequence[BudgetReport] | None = None,
    also: Sequence[BudgetReport] = (),
) -> SeasonReport:
    """Return the report of a season; without *budgets* every variety is set beside the one that earned most.

    *also* are further budgets, put first.
    """
    lines = {by: season.lines(book, by) for by in _GROUPS}
    cash = {by: season.money_lines(book, by) for by in _GROUPS}
    years, ages = season.year_lines(book)
    tried = _trials(book)
    found = season_findings.findings(
        lines[GroupBy.VARIETY], lines[GroupBy.HOUSE_KIND], cash[GroupBy.VARIETY], tried, book.crops
    )
    return SeasonReport(
        farm=book.facts.farm,
        year=book.year,
        as_of=book.today,
        crops=book.crops,
        findings=found,
        lines=lines,
        money=cash,
        years=years,
        ages=ages,
        curves={(measure, by): season.curves(book, measure, by) for measure in MEASURES for by in _CURVES_BY},
        break_evens=_break_evens(cash[GroupBy.VARIETY], book.currency),
        budgets=(*also, *(_budgets(book, cash[GroupBy.VARIETY]) if budgets is None else budgets)),
        trials=tried,
        written_down=tuple(_written(one) for one in money_entries.of_facts(book.facts, farm).entries),
        notes=(_(AREA_BASIS), *(_(text) for text in money.LEFT_OUT)),
    )


def write_workbook(report: SeasonReport, path: Path, cancelled: Callable[[], bool] | None = None) -> Path:
    """Write the workbook of a season and return its path; the same season, the same bytes.

    Raises:
        Problem: folder missing or read-only, disk full, file open elsewhere; an earlier file is as it was.
        Stopped: *cancelled* said yes.
    """
    return workbook.write(report, path, cancelled)


def pages(report: SeasonReport, paper: Paper = A4) -> Document:
    """Return the report as pages to print."""
    return season_pages.document(report, paper)


def write_pages(document: Document, path: Path, paint: Callable[[Document], bytes]) -> Path:
    """Write pages as a PDF, whole or not at all.

    Raises:
        Problem: as `write_workbook`.
    """
    saving.refuse_bad_place(path)
    saving.write_whole(path, paint(document))
    return path


def default_name(report: SeasonReport, suffix: str) -> str:
    """Return ``<farm> season 2026.xlsx``, without signs that a system refuses in a name."""
    return file_names.safe(_("{farm} season {year}").format(farm=report.farm.name, year=report.year), suffix)


def _written(one: MoneyEntry) -> WrittenDown:
    amount = money.amount_of(one.entry) / 100
    return WrittenDown(one.day, one.kind, one.what, amount, one.concerns, "; ".join(one.history))


def _trials(book: SeasonBook) -> tuple[TrialReport, ...]:
    """Return the trials of the year that have a value; those of other years stay in theirs."""
    found = []
    for view in trials.of_season(book.facts, book.today).trials:
        if view.trial.started_on.year != book.year:
            continue
        try:
            found.append(trial_figures.report(view.trial, view.plots, book.today))
        except Refused:
            continue
    return tuple(found)


def _break_evens(lines: Sequence[MoneyLineOfGroup], currency: str) -> dict[tuple[str, str], BreakEven]:
    return {
        (line.crop, line.label): money.break_even_of(line, currency)
        for line in lines
        if line.margin.yield_kg and line.margin.income
    }


def _budgets(book: SeasonBook, lines: Sequence[MoneyLineOfGroup]) -> list[BudgetReport]:
    """Return, crop by crop, what changing each variety into the one that earned most per m² would have brought."""
    found = []
    for crop in dict.fromkeys(line.crop for line in lines):
        own = [line for line in lines if line.crop == crop and line.income]
        best = max(own, key=lambda line: line.margin.margin_per_m2, default=None)
        for line in own:
            if best is not None and line is not best:
                bays = {one.season.bay.id for one in line.members}
                bays -= {one.season.bay.id for one in best.members}
                if bays:
                    found.append(money.change_bays(book, bays, best.label, crop, GroupBy.VARIETY))
    return found
