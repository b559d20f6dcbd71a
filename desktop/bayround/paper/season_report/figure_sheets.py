"""Sheets of figures: the season and its money by group, with intervals in columns of their own."""

from __future__ import annotations

from collections.abc import Sequence

from bayround.figures.figure import Figure
from bayround.figures.money import COLUMNS as MONEY_COLUMNS
from bayround.figures.money import MoneyLineOfGroup
from bayround.figures.season import COLUMNS, SeasonLine
from bayround.figures.season_report import SeasonReport
from bayround.paper.workbook.cells import Value, limits
from bayround.paper.workbook.table import Head, Row, Styled, Table
from bayround.words import _

_WITH_INTERVAL = frozenset({"season_kg_m2", "season_first_pick_days", "season_half_picked_days"})

_FOLDED = frozenset({"season_first_pick_days", "season_half_picked_days"})
"""Their interval is there for who unfolds it."""


def season_table(name: str, report: SeasonReport, lines: Sequence[SeasonLine], charted: str = "") -> Table:
    """Return a row a group; with *charted* a last column that serves the chart."""
    heads = [*_name_heads(), Head(_("Bays"), 8, right=True)]
    for column in COLUMNS:
        heads += _heads(lines[0].figures[column], column in _WITH_INTERVAL)
    rows: list[Row] = []
    for line in lines:
        cells: list[Value | Styled] = [report.crops[line.crop], line.label, line.bays]
        for column in COLUMNS:
            cells += _cells(line.figures[column], column in _WITH_INTERVAL)
        rows.append([*cells, f"{report.crops[line.crop]} · {line.label}"] if charted else cells)
    if charted:
        heads.append(Head(_("Name in the chart"), 30, folded=True, printed=False))
    return Table(name, heads, rows, 2, _("Nothing was planted."), report.notes[:1], fold=True)


def place_of(column: str) -> int:
    """Return the column (1 = A) of a figure's value in `season_table`."""
    before = COLUMNS[: COLUMNS.index(column)]
    return 4 + len(before) + 2 * sum(one in _WITH_INTERVAL for one in before)


def money_table(name: str, report: SeasonReport, lines: Sequence[MoneyLineOfGroup]) -> Table:
    """Return a row a group: income, costs, margin, per m² and per kg."""
    heads = [
        *_name_heads(),
        Head(_("Bays"), 8, right=True),
        Head(_("Area, m²"), 9, right=True, number_format="0"),
    ]
    for column in MONEY_COLUMNS:
        heads += _heads(lines[0].figures[column], False)
    heads.append(Head(_("Mind"), 36, wrap=True))
    rows: list[Row] = []
    for line in lines:
        cells: list[Value | Styled] = [
            report.crops[line.crop],
            line.label,
            len({one.season.bay.id for one in line.members}),
        ]
        cells.append(float(line.margin.area_m2))
        for column in MONEY_COLUMNS:
            cells += _cells(line.figures[column], False)
        rows.append([*cells, " ".join(line.notes)])
    return Table(name, heads, rows, 2, _("Nothing was planted."), report.notes, fold=True)


def curve_table(report: SeasonReport) -> Table:
    """Return every curve as tidy rows: measure, grouping, crop, group, week, mean, low, high, bays."""
    heads = (
        Head(_("What"), 26),
        Head(_("Put together by"), 18),
        Head(_("Crop"), 16),
        Head(_("Group"), 28),
        Head(_("Week after transplanting"), 14, right=True),
        Head(_("Mean"), 9, right=True),
        Head(_("Low"), 9, right=True),
        Head(_("High"), 9, right=True),
        Head(_("Unit"), 9),
        Head(_("Bays"), 8, right=True),
    )
    rows: list[Row] = []
    for (_measure, by), curves in report.curves.items():
        for curve in curves:
            for week, figure in curve.points:
                place = (figure.label, _(by.value), report.crops[curve.crop], curve.label, week)
                rows.append((*place, *_cells(figure, True), figure.unit, figure.n))
    note = _(
        "Mean of the bays of a group; low and high are its 95 % interval across bays, where there are two."
    )
    return Table("over_weeks", heads, rows, 5, _("No visit is finished yet."), (note,))


def _name_heads() -> tuple[Head, Head]:
    return Head(_("Crop"), 16), Head(_("Group"), 30)


def _heads(figure: Figure, with_interval: bool) -> list[Head]:
    title = f"{figure.label}, {figure.unit}" if figure.unit else figure.label
    heads = [Head(title, 12, right=True, number_format=figure.number_format)]
    if with_interval:
        heads += [
            Head(
                f"{figure.label}: {end}",
                11,
                right=True,
                number_format=figure.number_format,
                folded=figure.id in _FOLDED,
            )
            for end in (_("low"), _("high"))
        ]
    return heads


def _cells(figure: Figure, with_interval: bool) -> list[Value | Styled]:
    cells: list[Value | Styled] = [figure.cell]
    if with_interval:
        cells += limits(figure)
    return [None if cell is None else Styled(cell, figure.number_format) for cell in cells]  # type: ignore[arg-type]
