"""One table on one sheet: heading row, rows, filter, frozen panes, widths, print set-up."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from math import ceil
from typing import TYPE_CHECKING

from bayround.paper.workbook import page
from bayround.paper.workbook.cells import DATE_FORMAT, Pen, Value
from bayround.paper.workbook.styles import HEADING, NOTE, PLAIN, Look
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

HEAD_ROW = 4
"""Row of the headings on every sheet with a table; title and note stand above it."""

FIRST_ROW = HEAD_ROW + 1
_LINE_POINTS, _HEADING_LINE_POINTS = 14.5, 13.7
_UNITS_A_LETTER_OF_A_WORD, _BOLD_LETTERS_A_UNIT = 0.93, 1.2
_LETTERS_A_UNIT = 1.13
"""Letters of running text in one unit of column width (the width of a digit)."""

_FILTER_BUTTON_POINTS = 9
"""Room under the words of a heading, where the filter's button stands."""

_HIGHEST_ROW_POINTS = 400
_NARROWEST, _USUAL_WIDTH = 125.0, 8.43
"""Narrowest print area, and the width of the empty columns that fill it up, in units of column width."""

_ROWS_BETWEEN_CHECKS = 200


@dataclass(frozen=True, slots=True)
class Head:
    """One column of a table. *at_most* is its greatest width in characters; *wrap* lets long text run on.

    A *folded* column is there for who unfolds it (the outline's plus sign). A column that is not *printed*
    stands last and serves a chart.
    """

    title: str
    at_most: float = 30
    wrap: bool = False
    right: bool = False
    number_format: str = "General"
    at_least: float = 6
    folded: bool = False
    printed: bool = True


@dataclass(frozen=True, slots=True)
class Styled:
    """A value with a number format of its own."""

    value: Value
    number_format: str


Row = Sequence[Value | Styled]


@dataclass(frozen=True, slots=True)
class Table:
    """A table. *keys* columns stay in sight when the sheet scrolls sideways; *name* is that of the named table.

    Columns without a single value are folded away when *fold* is set (the outline's plus sign shows them).
    *empty* is said instead of the table when there is no row; *notes* stand under it.
    """

    name: str
    heads: Sequence[Head]
    rows: Sequence[Row]
    keys: int
    empty: str
    notes: tuple[str, ...] = ()
    fold: bool = False
    head_row: int = HEAD_ROW

    @property
    def printed(self) -> int:
        """How many columns are printed."""
        return sum(head.printed for head in self.heads)

    @property
    def last_row(self) -> int:
        """Last row of the sheet that the table takes."""
        return self.head_row + len(self.rows)


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
    width = _widths(pen, table, folded)
    _heights(pen, table)
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


def letter(column: int) -> str:
    """Return the letters of a column, 1 = A."""
    from openpyxl.utils import get_column_letter

    return get_column_letter(column)


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
                value, number_format = value.value, value.number_format
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
    named = NamedTable(displayName=table.name, ref=ref)
    named.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)
    pen.sheet.add_table(named)


def _folded(table: Table) -> list[int]:
    """Return the places of the columns without a value, keys excepted."""
    if not table.fold:
        return []
    return [
        place
        for place in range(table.keys, len(table.heads))
        if not table.heads[place].folded and all(_bare(row[place]) in {None, ""} for row in table.rows)
    ]


def _folded_note(table: Table, folded: Sequence[int]) -> tuple[str, ...]:
    if not folded:
        return ()
    names = ", ".join(table.heads[place].title for place in folded)
    return (_("Folded away, because they hold no value this week: {columns}.").format(columns=names),)


def _bare(value: Value | Styled) -> Value:
    return value.value if isinstance(value, Styled) else value


def _widths(pen: Pen, table: Table, folded: Sequence[int]) -> float:
    """Set each column as wide as its longest value, within bounds; return the width of the whole table."""
    widths = [_width(table, place) for place in range(len(table.heads))]
    lines = 1
    for place, (head, width) in enumerate(zip(table.heads, widths)):
        dimension = pen.sheet.column_dimensions[letter(place + 1)]
        dimension.width = width
        if place in folded or head.folded:
            dimension.hidden = True
            dimension.outlineLevel = 1
            widths[place] = 0.0
        else:
            lines = max(lines, lines_in(head.title, (width - 0.5) * _BOLD_LETTERS_A_UNIT))
    pen.sheet.row_dimensions[table.head_row].height = _HEADING_LINE_POINTS * lines + _FILTER_BUTTON_POINTS
    return sum(widths[: table.printed])


def _width(table: Table, place: int) -> float:
    head = table.heads[place]
    longest = max((_length(row[place]) for row in table.rows), default=0)
    word = max(len(word) for word in head.title.split()) * _UNITS_A_LETTER_OF_A_WORD + 1
    return min(max(longest + 1.5, word, head.at_least), max(head.at_most, word))


def _heights(pen: Pen, table: Table) -> None:
    """Make rows as high as their wrapped texts need; office programs don't do it when they open a file."""
    wrapped = [
        (place, pen.sheet.column_dimensions[letter(place + 1)].width)
        for place, head in enumerate(table.heads)
        if head.wrap
    ]
    for row, values in enumerate(table.rows, table.head_row + 1):
        lines = max((lines_of(_bare(values[place]), width) for place, width in wrapped), default=1)
        if lines > 1:
            pen.sheet.row_dimensions[row].height = height_of(lines)


def height_of(lines: int) -> float:
    """Return the height of a row of so many lines, in points."""
    return min(_LINE_POINTS * lines + 1, _HIGHEST_ROW_POINTS)


def lines_of(value: Value, width: float) -> int:
    """Return how many lines a wrapped text takes in a column of *width*."""
    if not isinstance(value, str) or not value:
        return 1
    return sum(lines_in(line, (width - 0.7) * _LETTERS_A_UNIT) for line in value.split("\n"))


def _length(value: Value | Styled) -> int:
    if isinstance(value, Styled):
        value = value.value
    if value is None:
        return 0
    if isinstance(value, datetime):
        return 16
    if isinstance(value, date):
        return 10
    if isinstance(value, str):
        return max((len(line) for line in value.splitlines()), default=0)
    return len(f"{value:g}") + 2


def lines_in(title: str, width: float) -> int:
    """Return how many lines a text takes when it breaks between words, and within words that are too long."""
    lines, used = 1, 0.0
    for word in title.split():
        if used and used + 1 + len(word) > width:
            lines, used = lines + 1, 0.0
        used += len(word) + (1 if used else 0)
        if used > width:
            more = int(used // width)
            lines, used = lines + more, used - more * width
    return lines


def _notes(pen: Pen, notes: Sequence[str], row: int, width: float) -> int:
    """Write notes under a table, broken into lines that fit its width; return the last row."""
    from textwrap import wrap

    for note in notes:
        for line in wrap(note, max(60, int(width * 1.05))):
            pen.text(row, 1, line, NOTE)
            row += 1
    return row - 1
