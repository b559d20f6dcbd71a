"""Sizes in an entry grid: headings that fit their columns, tables no taller than their rows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QTableView

from bayround.window import theme
from bayround.window.visit.entry_model import EntryModel

_SIZES = (0.92, 0.86, 0.8, 0.76, 0.7, 0.64, 0.58)
_READABLE = (
    0.76  # columns make room for headings of this size; smaller ones are for large type on a small screen
)
_PADDING = 4
_AROUND_TEXT, _AROUND_NUMBERS = 14, 8
_MOST_LINES = 4
WRAPPED = Qt.TextFlag.TextWordWrap


def fit_headings(table: QTableView) -> None:
    """Give the headings the largest size at which none is cut, and the height of their lines."""
    across = table.horizontalHeader()
    headings = [(text, across.sectionSize(column)) for column, text in enumerate(_headings(table))]
    chosen = next((size for size in _SIZES if _fits(table, size, headings)), _SIZES[-1])
    points = table.font().pointSizeF() * chosen
    look = f"QHeaderView::section {{ padding: 2px {_PADDING}px; font-size: {points:.1f}pt; }}"
    if across.styleSheet() != look:
        across.setStyleSheet(look)
    across.setFixedHeight(heading_height(table))


def heading_height(table: QTableView) -> int:
    """Return the height of the headings: one line or two, whatever their size."""
    lines = max((text.count("\n") + 1 for text in _headings(table)), default=1)
    return round(lines * table.fontMetrics().height() * _SIZES[0]) + 9


def _headings(table: QTableView) -> list[str]:
    model = table.model()
    across = Qt.Orientation.Horizontal
    return [str(model.headerData(column, across) or "") for column in range(model.columnCount())]


def _fits(table: QTableView, size: float, headings: list[tuple[str, int]]) -> bool:
    metrics = QFontMetrics(theme.scaled(table.font(), size))
    return all(
        metrics.horizontalAdvance(line) + 2 * _PADDING + 5 <= width
        for heading, width in headings
        for line in heading.split("\n")
    )


def widths_wanted(table: QTableView, entries: EntryModel, lines: int = 1) -> list[int]:
    """Return for each column the width of its texts on so many lines and of its heading, which never gives way.

    A number column holds three digits.
    """
    bold = QFontMetrics(theme.scaled(table.font(), 1.0, bold=True))
    small = QFontMetrics(theme.scaled(table.font(), _READABLE))
    room_for_numbers = bold.horizontalAdvance("000") + _AROUND_NUMBERS
    wanted = []
    for column, heading in enumerate(_headings(table)):
        over = max(small.horizontalAdvance(line) + 2 * _PADDING + 5 for line in heading.split("\n"))
        looks = [entries.look(entries.index(row, column)) for row in range(entries.rowCount())]
        texts = {text for look in looks if look.words for text in (look.text, look.faint) if text}
        widest = max((_width_on(table.fontMetrics(), text, lines) for text in texts), default=0)
        in_words = any(look.words for look in looks)
        wanted.append(max(over, widest + _AROUND_TEXT if texts else 0, 0 if in_words else room_for_numbers))
    return wanted


def _width_on(metrics: QFontMetrics, text: str, lines: int) -> int:
    """Return the least width in which a text stands on so many lines (its longest word, if it has fewer words)."""
    words = text.split()
    widths = sorted(
        {
            metrics.horizontalAdvance(" ".join(words[start:end]))
            for start in range(len(words))
            for end in range(start + 1, len(words) + 1)
        }
    )
    longest = max(map(metrics.horizontalAdvance, words), default=0)
    fitting = (width for width in widths if width >= longest and _lines_in(metrics, words, width) <= lines)
    return next(fitting, longest)


def _lines_in(metrics: QFontMetrics, words: Sequence[str], width: int) -> int:
    lines, line = 1, ""
    for word in words:
        longer = f"{line} {word}".strip()
        if line and metrics.horizontalAdvance(longer) > width:
            lines, longer = lines + 1, word
        line = longer
    return lines


def shared_widths(table: QTableView, entries: EntryModel, shares: Sequence[int]) -> list[int]:
    """Return the widths of the columns; texts take as many lines as they must for every column to have its room."""
    width = table.viewport().width()
    for lines in range(1, _MOST_LINES + 1):
        wanted = widths_wanted(table, entries, lines)
        if sum(wanted) <= width:
            break
    return balanced(width, shares, wanted)


def fit_rows(table: QTableView, entries: EntryModel, margin: int) -> None:
    """Give every row the height of its longest text, up to four lines."""
    least, metrics = table.verticalHeader().defaultSectionSize(), table.fontMetrics()
    for row in range(entries.rowCount()):
        most = 0
        for column in range(entries.columnCount()):
            look = entries.look(entries.index(row, column))
            if look.words and (look.text or look.faint):
                room = QRect(0, 0, table.columnWidth(column) - 2 * margin, 10_000)
                most = max(most, metrics.boundingRect(room, WRAPPED, look.text or look.faint).height())
        height = max(least, min(most, _MOST_LINES * metrics.lineSpacing()) + 8)
        if table.rowHeight(row) != height:
            table.setRowHeight(row, height)


def balanced(width: int, shares: Sequence[int], wanted: Sequence[int]) -> list[int]:
    """Share *width* out; columns with more than they want give to those with less, as far as it goes."""
    given = [width * share // sum(shares) for share in shares]
    short = [max(0, want - have) for want, have in zip(wanted, given, strict=True)]
    spare = [max(0, have - want) for want, have in zip(wanted, given, strict=True)]
    moved = min(sum(short), sum(spare))
    if not moved:
        return given
    return [
        have + moved * lack // sum(short) - -(-moved * much // sum(spare))
        for have, lack, much in zip(given, short, spare, strict=True)
    ]


def height_for(table: QTableView, rows: int) -> int:
    """Return the height of a table that shows so many rows."""
    usual = table.verticalHeader().defaultSectionSize()
    there = min(rows, table.model().rowCount())
    high = sum(table.rowHeight(row) for row in range(there)) + (rows - there) * usual
    return heading_height(table) + high + 5
