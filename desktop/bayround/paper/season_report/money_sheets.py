"""Sheets of money line by line: income and costs, break-even with its grid, partial budgets, what was written down."""

from __future__ import annotations

from decimal import Decimal

from bayround import words
from bayround.figures.money import BudgetReport
from bayround.figures.season import GroupBy
from bayround.figures.season_report import SeasonReport
from bayround.paper.workbook.table import Head, Row, Table
from bayround.words import _

_CENTS = "0.00"


def parts_table(report: SeasonReport) -> Table:
    """Return a row for each line of income and cost of each variety."""
    heads = (
        Head(_("Crop"), 16),
        Head(_("Group"), 30),
        Head(_("Income or cost"), 16),
        Head(_("Line"), 26),
        _money(_("Amount, {currency}"), report),
        _money(_("Per m², {currency}"), report),
    )
    rows: list[Row] = []
    for line in report.money[GroupBy.VARIETY]:
        for side, what, amount, each in line.parts:
            named = (report.crops[line.crop], line.label, _(side), _(what))
            rows.append((*named, cents(amount), cents(each)))
    return Table("income_and_costs", heads, rows, 2, _("Nothing has a price and nothing was spent."))


def break_even_table(report: SeasonReport) -> Table:
    """Return a row for each variety and yield: break-even, and the margin per m² at five prices."""
    shares = ("−30 %", "−15 %", "±0", "+15 %", "+30 %")
    heads = (
        Head(_("Crop"), 16),
        Head(_("Group"), 30),
        _money(_("Break-even price, {currency}/kg"), report),
        Head(_("Break-even yield, kg/m²"), 12, right=True, number_format=_CENTS),
        _money(_("Price now, {currency}/kg"), report),
        Head(_("If the yield were, kg/m²"), 12, right=True, number_format=_CENTS),
        *(_money(_("margin at price {share}").format(share=share), report) for share in shares),
    )
    rows: list[Row] = []
    for (crop, label), found in report.break_evens.items():
        for cells in found.grid:
            rows.append(
                (
                    report.crops[crop],
                    label,
                    found.price.cell,
                    found.yield_kg_m2.cell,
                    cents(cells[2].price_per_kg),
                    cents(cells[0].yield_kg_per_m2),
                    *(cents(cell.margin_per_m2) for cell in cells),
                )
            )
    note = _("Margin per m² = yield × price − cost per m²; costs are taken not to rise with the yield.")
    return Table("break_even", heads, rows, 2, _("No group has picks with a price."), (note,))


def budget_table(report: SeasonReport) -> Table:
    """Return a row for each line of each partial budget, then its sums and its net change."""
    heads = (
        Head(_("Change"), 40, wrap=True),
        Head(_("Part"), 20),
        Head(_("Line"), 44, wrap=True),
        _money(_("Amount, {currency}"), report),
    )
    rows: list[Row] = []
    for budget in report.budgets:
        rows += _budget_rows(budget)
    notes = (
        _("For the change: added returns + reduced costs. Against it: added costs + lost returns."),
        _("What stood in other bays: part of a difference may be the place. A trial tells them apart."),
        *report.notes[1:],
    )
    return Table("what_if", heads, rows, 1, _("There is nothing to change for anything else."), notes)


def _budget_rows(budget: BudgetReport) -> list[Row]:
    parts = (
        (_("Added returns"), budget.added_returns),
        (_("Reduced costs"), budget.reduced_costs),
        (_("Added costs"), budget.added_costs),
        (_("Lost returns"), budget.lost_returns),
    )
    rows: list[Row] = [
        (budget.title, part, line.name, cents(line.amount)) for part, lines in parts for line in lines
    ]
    result = budget.result
    rows += [
        (budget.title, _("For the change"), "", cents(result.positive_effects)),
        (budget.title, _("Against it"), "", cents(result.negative_effects)),
        (budget.title, _("Net change"), budget.net_change.says, budget.net_change.cell),
    ]
    return rows


def written_table(report: SeasonReport) -> Table:
    """Return every cost, price and wage as written down, newest first."""
    heads = (
        Head(_("Day"), 12),
        Head(_("Kind"), 28),
        Head(_("What"), 36, wrap=True),
        _money(_("Amount, {currency}"), report),
        Head(_("Concerns"), 26, wrap=True),
        Head(_("What it was before"), 50, wrap=True),
    )
    rows = [
        (one.day, one.kind, one.what, one.amount, one.concerns, one.history) for one in report.written_down
    ]
    return Table("written_down", heads, rows, 1, _("No cost, price or wage is written down."))


def cents(amount: Decimal) -> float:
    """Return an amount as every face shows it: rounded half up to hundredths."""
    return float(words.round_half_up(float(amount), 2))


def _money(title: str, report: SeasonReport) -> Head:
    named = title.format(currency=report.currency or _("money"))
    return Head(named, 14, right=True, number_format=_CENTS)
