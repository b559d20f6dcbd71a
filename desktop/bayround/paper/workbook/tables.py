"""One table on one sheet: heading row, rows, filter, frozen panes, widths, print set-up."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from math import ceil
from typing import TYPE_CHECKING, Any

from bayround.paper.workbook import page, sizes
from bayround.paper.workbook.cells import DATE_FORMAT, Pen, letter, safe_text
from bayround.paper.workbook.styles import HEADING, NOTE, PLAIN, Look
from bayround.paper.workbook.table import Head, Styled, Table, bare
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_NARROWEST, _USUAL_WIDTH = 125.0, 8.43
"""Narrowest print area, and the width of the empty columns that fill it up, in units of column width."""

_ROWS_BETWEEN_CHECKS = 200


def nothing() -> None:
    """Watch nothing; stands in for the look whether somebody cancelled."""


def write(pen: Pen, table: Table, farm_and_week: str, watch: Callable[[], None] = nothing) -> int:
    """Write the table under the title and set up the page; return the last row written."""
    sheet = pen.sheet
    if not table.rows:
        pen.text(table.head_row, 1, table.empty, Look(size=11))
        last = max(_notes(pen, table.notes, table.head_row + 2, _NARROWEST), table.head_row)
        page.set_up(sheet, farm_and_week, letter(_wide_enough(sheet, 0, 0.0)), last)
        return last
    _refuse_twins(table.heads)
    _headings(pen, table)
    _rows(pen, table, watch)
    _name_table(pen, table)
    folded = _folded(table)
    width = sizes.widths(pen, table, folded)
    sizes.heights(pen, table)
    sheet.freeze_panes = f"{letter(table.keys + 1)}{table.head_row + 1}"
    notes = table.notes + _folded_note(table, folded)
    columns = table.printed if width >= _NARROWEST else _wide_enough(sheet, len(table.heads), width)
    last = _notes(pen, notes, table.last_row + 2, max(width, _NARROWEST)) if notes else table.last_row
    page.set_up(
        sheet,
        farm_and_week,
        letter(columns),
        last,
        page.repeated(sheet, table.last_row, columns, table.head_row),
    )
    return last


def _wide_enough(sheet: Worksheet, columns: int, width: float) -> int:
    """Return how many columns the print area takes so that title and notes fit across a narrow table."""
    last = columns + ceil((_NARROWEST - width) / _USUAL_WIDTH)
    for column in range(columns + 1, last + 1):
        sheet.column_dimensions[letter(column)].width = _USUAL_WIDTH
    return last


def _refuse_twins(heads: Sequence[Head]) -> None:
    titles = [head.title.casefold() for head in heads]
    if len(set(titles)) != len(titles):
        raise ValueError(f"Two columns of a table have the same heading: {sorted(titles)}")


def _headings(pen: Pen, table: Table) -> None:
    looks = _looks(table.heads, HEADING)
    for column, head in enumerate(table.heads, 1):
        pen.text(table.head_row, column, head.title, looks[column - 1])


def _rows(pen: Pen, table: Table, watch: Callable[[], None]) -> None:
    bare = _looks(table.heads, PLAIN)
    looks: dict[tuple[int, str, bool], Look] = {}
    for row, values in enumerate(table.rows, table.head_row + 1):
        if row % _ROWS_BETWEEN_CHECKS == 0:
            watch()
        for place, value in enumerate(values):
            number_format = table.heads[place].number_format
            if isinstance(value, Styled):
                number_format = value.number_format
                value = value.value
            if value is None:
                continue
            is_text = isinstance(value, str)
            if isinstance(value, date) and number_format == "General":
                number_format = DATE_FORMAT
            key = place, number_format, is_text
            look = looks.get(key)
            if look is None:
                shown_as = "General" if is_text else number_format
                wrap = table.heads[place].wrap
                look = replace(bare[place], wrap=wrap, number_format=shown_as, is_text=is_text)
                looks[key] = look
            pen.put(row, place + 1, value, look)


def _looks(heads: Sequence[Head], base: Look) -> list[Look]:
    """Return the look of each column; text that follows numbers stands a little apart from them."""
    looks = []
    for place, head in enumerate(heads):
        apart = 1 if place and heads[place - 1].right and not head.right else 0
        across = "right" if head.right else "left"
        looks.append(replace(base, across=across, indent=apart))
    return looks


def _name_table(pen: Pen, table: Table) -> None:
    from openpyxl.worksheet.table import Table as NamedTable
    from openpyxl.worksheet.table import TableStyleInfo

    ref = f"A{table.head_row}:{letter(len(table.heads))}{table.last_row}"
    named: Any = NamedTable(displayName=table.name, ref=ref)
    named.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)
    named._initialise_columns()  # openpyxl would read the whole range for the headings
    for column, head in zip(named.tableColumns, table.heads):
        column.name = safe_text(head.title)
    pen.sheet.add_table(named)


def _folded(table: Table) -> list[int]:
    """Return the places of the columns without a value, keys excepted."""
    if not table.fold:
        return []
    return [
        place
        for place in range(table.keys, len(table.heads))
        if not table.heads[place].folded and all(bare(row[place]) in {None, ""} for row in table.rows)
    ]


def _folded_note(table: Table, folded: Sequence[int]) -> tuple[str, ...]:
    if not folded:
        return ()
    names = ", ".join(table.heads[place].title for place in folded)
    return (_("Folded away, because they hold no value: {columns}.").format(columns=names),)


def _notes(pen: Pen, notes: Sequence[str], row: int, width: float) -> int:
    """Write notes under a table, broken into lines that fit its width; return the last row."""
    from textwrap import wrap

    for note in notes:
        for line in wrap(note, max(60, int(width * 1.05))):
            pen.text(row, 1, line, NOTE)
            row += 1
    return row - 1
