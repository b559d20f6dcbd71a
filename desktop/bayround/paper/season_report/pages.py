"""The season report as pages to print: what to replant, what is known, what is suspected, then the numbers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bayround import words
from bayround.figures.figure import Figure
from bayround.figures.money import BudgetReport, money_text
from bayround.figures.season import GroupBy, SeasonLine
from bayround.figures.season_report import SeasonReport
from bayround.paper import farm_name
from bayround.paper.pages import page_head
from bayround.paper.pages.drawing import MARGIN_MM, Document, Item, Paper, Text
from bayround.paper.pages.measure import height_mm
from bayround.paper.pages.paging import Block, Part, onto_pages
from bayround.paper.season_report import text_sheets
from bayround.paper.season_report.page_charts import interval_chart
from bayround.paper.season_report.page_tables import Column, table
from bayround.words import _

_TEXT_PT = 9.0
_SEASON = (
    "season_area_m2", "season_kg_m2", "season_kg_plant", "season_fruit_m2", "season_first_grade_percent",
    "season_first_pick_days", "season_half_picked_days", "season_jobs_late", "season_treatments",
)  # fmt: skip
_WIDTHS_MM = {
    "season_area_m2": 11,
    "season_first_grade_percent": 13,
    "season_jobs_late": 11,
    "season_treatments": 20,
}
_USUAL_MM = 14
_MONEY = (
    "money_income_m2",
    "money_cost_m2",
    "money_margin_m2",
    "money_cost_kg",
    "money_margin_kg",
    "money_margin",
)


def document(report: SeasonReport, paper: Paper) -> Document:
    """Return the pages of the report."""
    width = paper.width_mm - 2 * MARGIN_MM
    blocks = [
        _replant(report, width),
        *(_sentences(heading, texts, width) for heading, texts in text_sheets.sections(report)),
        _season(_("The season by variety"), report, GroupBy.VARIETY, width),
        _chart(report, width),
        _season(_("By kind of house"), report, GroupBy.HOUSE_KIND, width),
        _season(_("By bay"), report, GroupBy.BAY, width),
        _money(_("Money by variety"), report, GroupBy.VARIETY, width),
        _money(_("Money by kind of house"), report, GroupBy.HOUSE_KIND, width),
        _break_even(report, width),
        *(_budget(budget, width) for budget in report.budgets),
        *(
            _sentences(_("Trial “{name}”").format(name=one.trial.name), text_sheets.trial_words(one), width)
            for one in report.trials
        ),
        _sentences(_("What these numbers leave out"), report.notes, width),
    ]
    title = _("Season report {year}").format(year=report.year)
    found = onto_pages(paper, partial(_head, report, paper), page_head.HEIGHT_MM, blocks)
    return Document(title, paper, found)


def _head(report: SeasonReport, paper: Paper, page: int, pages: int) -> tuple[Item, ...]:
    title = _("Season report {year} · {farm}").format(year=report.year, farm=farm_name.shown(report.farm))
    day = _("As of {day}").format(day=words.weekday_day(report.as_of))
    note = _("Known: counted, or tested in a trial. Suspected: seen, but not drawn by lot. Areas are gross.")
    return page_head.head(paper, title, day, note, page, pages)


def _replant(report: SeasonReport, width: float) -> Block:
    columns = (
        Column(_("Crop"), 26),
        Column(_("Place"), 11, right=True),
        Column(_("Variety"), 38),
        Column(_unit(report.findings.replant[0].margin_m2), 20, right=True),
        Column(_("kg/m² (95 % interval)"), 42, right=True),
        Column(_("What it rests on"), 0),
    )
    rows = [
        (
            report.crops[line.crop],
            str(line.place),
            line.label,
            line.margin_m2.text,
            f"{line.kg_m2.text} ({line.kg_m2.interval_text})"
            if line.kg_m2.interval_text
            else line.kg_m2.text,
            line.rests_on,
        )
        for line in report.findings.replant
    ]
    return table(
        _("What to replant: varieties of a crop, the one that earned most per m² first"), columns, rows, width
    )


def _sentences(heading: str, texts: Sequence[str], width: float) -> Block:
    parts = [_heading(heading, width)]
    for text in texts or (_("Nothing."),):
        room = height_mm(text, width - 6, _TEXT_PT) + 1.0
        items = (
            Text(MARGIN_MM, 0, 4, 5, "–", _TEXT_PT, stand="top"),
            Text(MARGIN_MM + 4, 0, width - 4, room, text, _TEXT_PT, stand="top", wrap=True),
        )
        parts.append(Part(room, items))

    def again(_place: int) -> tuple[Part, ...]:
        return (_heading(_("{heading} (continued)").format(heading=heading), width),)

    return Block(tuple(parts), again)


def _heading(text: str, width: float) -> Part:
    return Part(7.0, (Text(MARGIN_MM, 0, width, 6, text, 11, bold=True),))


def _season(title: str, report: SeasonReport, by: GroupBy, width: float) -> Block:
    lines = report.lines[by]
    columns = (
        Column(_("Group"), 0),
        *(
            Column(_unit(lines[0].figures[name]), _WIDTHS_MM.get(name, _USUAL_MM), right=True)
            for name in _SEASON
        ),
    )
    rows = [(_name(report, line), *(line.figures[name].text for name in _SEASON)) for line in lines]
    return table(title, columns, rows, width)


def _chart(report: SeasonReport, width: float) -> Block:
    named = [(_name(report, line), line.figures["season_kg_m2"]) for line in report.lines[GroupBy.VARIETY]]
    title = _("Picked per m² (kg/m²) by variety, with the 95 % interval across bays")
    return Block((_heading(title, width), interval_chart(named, width)))


def _money(title: str, report: SeasonReport, by: GroupBy, width: float) -> Block:
    lines = report.money[by]
    columns = (
        Column(_("Group"), 0),
        *(Column(_unit(lines[0].figures[name]), 21, right=True) for name in _MONEY),
    )
    rows = [
        (f"{report.crops[line.crop]} · {line.label}", *(line.figures[name].text for name in _MONEY))
        for line in lines
    ]
    return table(title, columns, rows, width)


def _break_even(report: SeasonReport, width: float) -> Block:
    money = report.currency or _("money")
    columns = (
        Column(_("Group"), 0),
        Column(_("Price now, {money}/kg").format(money=money), 26, right=True),
        Column(_("Break-even price, {money}/kg").format(money=money), 30, right=True),
        Column(_("Yield now, kg/m²"), 26, right=True),
        Column(_("Break-even yield, kg/m²"), 30, right=True),
    )
    rows = [
        (
            f"{report.crops[crop]} · {label}",
            money_text(found.grid[2][2].price_per_kg),
            found.price.text,
            money_text(found.grid[2][2].yield_kg_per_m2),
            found.yield_kg_m2.text,
        )
        for (crop, label), found in report.break_evens.items()
    ]
    return table(_("Break-even"), columns, rows, width)


def _budget(budget: BudgetReport, width: float) -> Block:
    columns = (Column(_("Part"), 34), Column(_("Line"), 0), Column(budget.net_change.unit, 30, right=True))
    parts = (
        (_("Added returns"), budget.added_returns),
        (_("Reduced costs"), budget.reduced_costs),
        (_("Added costs"), budget.added_costs),
        (_("Lost returns"), budget.lost_returns),
    )
    rows = [(part, line.name, money_text(line.amount)) for part, lines in parts for line in lines]
    rows.append((_("Net change"), budget.net_change.says, budget.net_change.text))
    return table(_("What if: {title}").format(title=budget.title), columns, rows, width)


def _name(report: SeasonReport, line: SeasonLine) -> str:
    return f"{report.crops[line.crop]} · {line.label}"


def _unit(figure: Figure) -> str:
    return f"{figure.label}, {figure.unit}" if figure.unit else figure.label
