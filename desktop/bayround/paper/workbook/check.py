"""Sheet “Check the sums”: live formulas recompute the headline totals beside the program's own values.

The only sheet with formulas. The formulas look at what the other sheets hold, so that a reader can follow every
step; the difference is taken to the program's exact value and must be 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bayround.facts.rounds import FRUIT_FIELDS, PlantState
from bayround.paper.workbook import bays, jobs_due, marks, page, pests, readings, sizes
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.contents import Contents, sheet_name
from bayround.paper.workbook.styles import HEADING, LABEL, NOTE, PLAIN, Look
from bayround.paper.workbook.table import FIRST_ROW, HEAD_ROW
from bayround.words import _

TITLE = "Check the sums"
SUMMED = {
    "height_sum_cm": ("height_cm",),
    "flowers_sum": ("flowers",),
    "fruit_set_sum": ("fruit_set",),
    "fruit_green_sum": ("fruit_green",),
    "fruit_turning_sum": ("fruit_turning",),
    "fruit_coloured_sum": ("fruit_coloured",),
    "fruit_counted": FRUIT_FIELDS,
}
"""Totals that are sums over columns of the readings."""

_DECIMALS_COMPARED = 6
_HEADINGS = (
    "Total",
    "Unit",
    "The program's value",
    "Its exact value",
    "Recomputed here",
    "Difference",
    "Verdict",
    "How",
)
_NUMBERS = frozenset({3, 4, 5, 6})
_WIDTHS = (38, 10, 13, 16, 16, 13, 18, 62)


@dataclass(frozen=True, slots=True)
class _Ranges:
    """Where the sheets keep what is summed."""

    rows: int
    checks: int
    bays: int
    jobs: int

    def reading(self, field: str) -> str:
        return _range(readings.TITLE, readings.column_letter(field), self.rows)

    @property
    def states(self) -> str:
        return _range(readings.TITLE, letter(readings.STATE_COLUMN), self.rows)


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet."""
    pen.title(
        contents.title(_(TITLE)),
        _("The formulas add up the other sheets anew. Every difference must be 0."),
    )
    for column, (heading, width) in enumerate(zip(_HEADINGS, _WIDTHS), 1):
        look = (
            replace(HEADING, across="right")
            if column in _NUMBERS
            else replace(HEADING, indent=int(column == 7))
        )
        pen.text(HEAD_ROW, column, _(heading), look)
        pen.sheet.column_dimensions[letter(column)].width = width
    pen.sheet.row_dimensions[HEAD_ROW].height = 32
    found = list(_checks(contents))
    for row, (figure_id, formula, how) in enumerate(found, FIRST_ROW):
        _line(pen, contents, row, figure_id, formula, how)
    last = HEAD_ROW + len(found)
    _overall(pen, last, len(found))
    pen.sheet.freeze_panes = f"B{FIRST_ROW}"
    marks.words_of_sums(pen.sheet, f"G{FIRST_ROW}:G{last + 2}", _("agrees"), _("differs"))
    note = _(
        "Change a reading on its sheet and the verdict turns: the program's values are fixed, the formulas are live."
    )
    pen.text(last + 4, 1, note, NOTE)
    page.set_up(pen.sheet, contents.farm_and_week, "H", last + 4, f"{HEAD_ROW}:{HEAD_ROW}")


def _line(pen: Pen, contents: Contents, row: int, figure_id: str, formula: str, how: str) -> None:
    figure = contents.snapshot.totals[figure_id]
    number = replace(PLAIN, number_format=figure.number_format)
    pen.text(row, 1, figure.label, replace(LABEL, wrap=True))
    pen.text(row, 2, figure.unit)
    pen.put(row, 3, figure.cell, number)
    pen.put(row, 4, figure.value, PLAIN)
    pen.formula(row, 5, formula, PLAIN)
    pen.formula(row, 6, f"=ROUND(E{row}-D{row},{_DECIMALS_COMPARED})", PLAIN)
    pen.formula(
        row, 7, f"=IF(F{row}=0,{_quoted(_('agrees'))},{_quoted(_('differs'))})", replace(PLAIN, indent=1)
    )
    pen.text(row, 8, how, replace(PLAIN, wrap=True))
    pen.sheet.row_dimensions[row].height = sizes.height_of(sizes.lines_of(how, _WIDTHS[7]))


def _overall(pen: Pen, last: int, count: int) -> None:
    row = last + 2
    pen.text(row, 1, _("All together"), Look(size=11, bold=True))
    cells = f"G{FIRST_ROW}:G{last}"
    good, bad = _quoted(_("agrees")), _quoted(_("differs"))
    verdict = f"=IF(COUNTIF({cells},{good})={count},{good},{bad})"
    pen.formula(row, 7, verdict, replace(LABEL, indent=1))


def _checks(contents: Contents) -> Iterator[tuple[str, str, str]]:
    """Yield (total, formula, how it is recomputed) for the totals the snapshot holds a value for."""
    ranges = _Ranges(
        rows=sum(1 for _row in readings.rows(contents)),
        checks=sum(len(seen.visit.checks) for seen in contents.visited if seen.visit),
        bays=len(contents.snapshot.bays),
        jobs=len(contents.snapshot.jobs),
    )
    totals = contents.snapshot.totals
    for figure_id, formula, how in (*_counts(ranges), *_sums(ranges), *_other(ranges)):
        if figure_id in totals and totals[figure_id].value is not None:
            yield figure_id, formula, how


def _counts(ranges: _Ranges) -> Iterator[tuple[str, str, str]]:
    crops = _range(bays.TITLE, bays.column_letter("crop"), ranges.bays)
    visits = _range(bays.TITLE, bays.column_letter("visited_on"), ranges.bays)
    due = _range(jobs_due.TITLE, letter(jobs_due.DUE_COLUMN), ranges.jobs)
    heights = ranges.reading("height_cm")
    is_standing = f"({ranges.states}={_standing()})"
    yield "bays_planted", f'=COUNTIF({crops},"?*")', _("Bays: cells with a crop.")
    yield "bays_visited", f"=COUNT({visits})", _("Bays: dates of visits.")
    yield "readings_count", f"=COUNTIF({ranges.states},{_standing()})", _("Readings: plants that stand.")
    yield (
        "plants_measured",
        f"=SUMPRODUCT({is_standing}*ISNUMBER({heights}))",
        _("Readings: heights of plants that stand, counted."),
    )
    states = _range(jobs_due.TITLE, letter(jobs_due.STATE_COLUMN), ranges.jobs)
    confirm = f"COUNTIF({states},{_quoted(_('done, to be confirmed'))})"
    skipped = f"COUNTIF({states},{_quoted(_('skipped'))})"
    how = _("Jobs due: due dates, less the jobs done or skipped.")
    yield "jobs_due", f"=COUNT({due})-{confirm}-{skipped}", how
    yield "jobs_to_confirm", f"={confirm}", _("Jobs due: states that say so.")


def _sums(ranges: _Ranges) -> Iterator[tuple[str, str, str]]:
    for figure_id, fields in SUMMED.items():
        parts = [f"SUMIFS({ranges.reading(field)},{ranges.states},{_standing()})" for field in fields]
        titles = ", ".join(_(readings.FIELD_TITLES[field]) for field in fields)
        yield (
            figure_id,
            "=" + "+".join(parts),
            _("Readings: {columns} of plants that stand, added.").format(columns=titles),
        )


def _other(ranges: _Ranges) -> Iterator[tuple[str, str, str]]:
    heights = ranges.reading("height_cm")
    mean = f"=AVERAGEIFS({heights},{ranges.states},{_standing()})"
    yield "height_mean_cm", mean, _("Readings: mean height of plants that stand.")
    for figure_id, column in (
        ("units_inspected", pests.INSPECTED_COLUMN),
        ("units_infested", pests.INFESTED_COLUMN),
    ):
        cells = _range(pests.TITLE, letter(column), ranges.checks)
        yield figure_id, f"=SUM({cells})", _("Pests and disease: the column added.")


def _standing() -> str:
    return _quoted(_(PlantState.STANDING.value))


def _quoted(text: str) -> str:
    """Return text as a formula holds it."""
    return '"' + text.replace('"', '""') + '"'


def _range(title: str, column: str, rows: int) -> str:
    """Return a column of a sheet's table as an absolute range; the first row when the table is empty."""
    from openpyxl.utils import quote_sheetname

    last = max(FIRST_ROW, HEAD_ROW + rows)
    return f"{quote_sheetname(sheet_name(title))}!${column}${FIRST_ROW}:${column}${last}"
