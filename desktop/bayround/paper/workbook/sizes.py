"""How wide columns and how high rows are. Office programs don't fit them when they open a file, so we estimate."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from bayround.paper.workbook.cells import Pen, Value, letter
from bayround.paper.workbook.table import Styled, Table, bare

_LINE_POINTS, _HEADING_LINE_POINTS = 14.5, 13.7
_UNITS_A_LETTER_OF_A_WORD, _BOLD_LETTERS_A_UNIT = 1.02, 1.06
_LETTERS_A_UNIT = 1.13
"""Letters of running text in one unit of column width (the width of a digit)."""

_FILTER_BUTTON_POINTS = 9
"""Room under the words of a heading, where the filter's button stands."""

_HIGHEST_ROW_POINTS = 400


def widths(pen: Pen, table: Table, folded: Sequence[int]) -> float:
    """Set each column as wide as its longest value, within bounds; return the width of the whole table."""
    found = [_width(table, place) for place in range(len(table.heads))]
    lines = 1
    for place, (head, width) in enumerate(zip(table.heads, found)):
        dimension = pen.sheet.column_dimensions[letter(place + 1)]
        dimension.width = width
        if place in folded or head.folded:
            dimension.hidden = True
            dimension.outlineLevel = 1
            found[place] = 0.0
        else:
            lines = max(lines, lines_in(head.title, (width - 0.5) * _BOLD_LETTERS_A_UNIT))
    pen.sheet.row_dimensions[table.head_row].height = _HEADING_LINE_POINTS * lines + _FILTER_BUTTON_POINTS
    return sum(found[: table.printed])


def _width(table: Table, place: int) -> float:
    head = table.heads[place]
    longest = max((_length(row[place]) for row in table.rows), default=0)
    word = max(len(word) for word in head.title.split()) * _UNITS_A_LETTER_OF_A_WORD + 1
    return min(max(longest + 1.5, word, head.at_least), max(head.at_most, word))


def heights(pen: Pen, table: Table) -> None:
    """Make rows as high as their wrapped texts need; office programs don't do it when they open a file."""
    wrapped = [
        (place, pen.sheet.column_dimensions[letter(place + 1)].width)
        for place, head in enumerate(table.heads)
        if head.wrap
    ]
    for row, values in enumerate(table.rows, table.head_row + 1):
        lines = max((lines_of(bare(values[place]), width) for place, width in wrapped), default=1)
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
