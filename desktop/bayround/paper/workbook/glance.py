"""Sheet “Week at a glance”: one page of A4. What matters in words, the farm as a grid, the work, one chart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING, Any

from bayround import words
from bayround.facts.work import JobKind
from bayround.figures.figure import Figure
from bayround.paper.workbook import charts, family, farm_grid, fruit, heights, jobs_due, page, sentences
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.contents import Contents, sheet_name
from bayround.paper.workbook.farm_grid import ACROSS, FIRST_COLUMN
from bayround.paper.workbook.styles import HEADING, YELLOW, Look
from bayround.week.columns import FRUIT, HEIGHTS
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

TITLE = "Week at a glance"
LAST_COLUMN = FIRST_COLUMN + ACROSS - 1
_LABEL_WIDTH, _BAY_WIDTH = 16.0, 11.8
_LETTERS_A_LINE = 140
_LINE_POINTS = 13.5
_FIRST_CHART_COLUMN = 6
_ROWS_OF_CHART = 13


def write(pen: Pen, contents: Contents) -> None:
    """Write the page."""
    sheet = pen.sheet
    sheet.column_dimensions["A"].width = _LABEL_WIDTH
    for column in range(FIRST_COLUMN, LAST_COLUMN + 1):
        sheet.column_dimensions[letter(column)].width = _BAY_WIDTH
    row = _top(pen, contents)
    row = _sentences(pen, contents, row)
    bays = contents.snapshot.bays
    pen.text(row, 1, _("Bays"), Look(size=11, bold=True, down="center"))
    farm_grid.legend(pen, row, bays)
    sheet.row_dimensions[row].height = 17
    row = farm_grid.draw(pen, row + 1, bays)
    sheet.row_dimensions[row].height = 8
    last = max(_work(pen, contents, row + 1), row + _ROWS_OF_CHART)
    _chart(pen, contents, row + 1)
    page.set_up(sheet, contents.farm_and_week, letter(LAST_COLUMN), last)
    page.one_page(sheet)


def _top(pen: Pen, contents: Contents) -> int:
    """Write farm, week and day; return the first free row."""
    snapshot = contents.snapshot
    pen.text(1, 1, f"{contents.farm} · {snapshot.week}", Look(size=18, bold=True, down="center"))
    pen.sheet.row_dimensions[1].height = 26
    when = _("{first} to {last}, as of {day}").format(
        first=words.weekday_day(snapshot.week.monday),
        last=words.weekday_day(snapshot.week.sunday),
        day=words.weekday_day(snapshot.as_of),
    )
    pen.text(2, 1, when, Look(size=11))
    if not snapshot.farm.invented:
        return 4
    for column in range(1, LAST_COLUMN + 1):
        pen.put(3, column, None, Look(ground=YELLOW))
    mark = _("INVENTED SAMPLE: this farm, its people and all its numbers are made up.")
    pen.text(3, 1, mark, Look(bold=True, ground=YELLOW, down="center"))
    pen.sheet.row_dimensions[3].height = 16
    return 5


def _sentences(pen: Pen, contents: Contents, row: int) -> int:
    pen.sheet.row_dimensions[row - 1].height = 8
    for sentence in sentences.write(contents.snapshot):
        pen.text(row, 1, sentence.about, Look(bold=True))
        pen.text(row, FIRST_COLUMN, sentence.text, Look(wrap=True))
        pen.sheet.merge_cells(start_row=row, end_row=row, start_column=FIRST_COLUMN, end_column=LAST_COLUMN)
        lines = max(1, ceil(len(sentence.text) / _LETTERS_A_LINE))
        pen.sheet.row_dimensions[row].height = _LINE_POINTS * lines + 2
        row += 1
    pen.sheet.row_dimensions[row].height = 8
    return row + 1


def _work(pen: Pen, contents: Contents, row: int) -> int:
    """Write jobs by kind and the week's counts; return the last row."""
    snapshot = contents.snapshot
    with_hours = any(_hours(contents, kind) is not None for kind in JobKind)
    heads = (_("Jobs due"), _("Jobs"), _("Urgent"), _("Late"), _("Hours (h)") if with_hours else "")
    right = replace(HEADING, across="right")
    for column, head in enumerate(heads, 1):
        pen.text(row, column, head, right if column > 1 else HEADING)
    for kind in JobKind:
        row += 1
        due = [job for job in snapshot.jobs if job.kind is kind and job.is_due]
        late = [job for job in due if jobs_due.is_late(job.due_on, job.is_due, snapshot.as_of)]
        pen.text(row, 1, _(kind.value.capitalize()))
        pen.put(row, 2, len(due))
        pen.put(row, 3, sum(job.priority == 1 for job in due))
        pen.put(row, 4, len(late))
        _number(pen, row, 5, _hours(contents, kind))
    for label, figure, of in _counts(contents):
        row += 1
        pen.text(row, 1, label, Look(bold=True))
        _number(pen, row, 4, figure, bold=True)
        told = figure.unit if of is None else _("of {all}").format(all=of.text)
        pen.text(row, 5, told, Look(bold=True))
    return row


def _counts(contents: Contents) -> Iterator[tuple[str, Figure, Figure | None]]:
    totals = contents.snapshot.totals
    if "bays_visited" in totals:
        yield _("Bays visited"), totals["bays_visited"], totals.get("bays_planted")
    for figure_id in ("hours_due", "readings_count", "fruit_counted"):
        if figure_id in totals:
            yield totals[figure_id].label, totals[figure_id], None
    if "units_infested" in totals:
        yield _("Units infested"), totals["units_infested"], totals.get("units_inspected")


def _hours(contents: Contents, kind: JobKind) -> Figure | None:
    return contents.snapshot.totals.get(f"hours_due_{kind.name.lower()}")


def _number(pen: Pen, row: int, column: int, figure: Figure | None, *, bold: bool = False) -> None:
    if figure is not None:
        pen.put(row, column, figure.cell, Look(bold=bold, number_format=figure.number_format))


def _chart(pen: Pen, contents: Contents, row: int) -> None:
    """Put the week's chart beside the work: fruit load, or growth where no fruit was counted."""
    choices = (
        (
            fruit.TITLE,
            "fruit",
            FRUIT,
            "fruit_per_m2",
            _("Fruit load by bay, with 95 % interval"),
            _("fruit/m²"),
        ),
        (
            heights.TITLE,
            "heights",
            HEIGHTS,
            "growth_cm_week",
            _("Growth by bay, with 95 % interval"),
            _("cm/week"),
        ),
    )
    for title, name, group, column_id, heading, unit in choices:
        table = family.table(contents, name, group, "", charted=True)
        place = family.place_of(contents, group, column_id)
        if table.rows and charts.has_values(table, place):
            source = _sheet_of(pen, title)
            chart = charts.intervals(source, table, place, heading, unit)
            area = charts.Area(row, row + _ROWS_OF_CHART - 1, _FIRST_CHART_COLUMN, LAST_COLUMN)
            charts.put(pen.sheet, chart, area)
            return


def _sheet_of(pen: Pen, title: str) -> Worksheet:
    """Return another sheet of the same workbook."""
    workbook: Any = pen.sheet.parent
    sheet: Worksheet = workbook[sheet_name(title)]
    return sheet
