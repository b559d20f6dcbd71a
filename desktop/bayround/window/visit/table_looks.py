"""Sizes in an entry grid: headings that fit their columns, tables no taller than their rows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QTableView

from bayround.window import theme
from bayround.window.visit.entry_model import EntryModel

_SIZES = (0.92, 0.86, 0.8, 0.74, 0.68, 0.62, 0.58)
_PADDING = 4
_AROUND_TEXT, _AROUND_NUMBERS = 18, 10


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


def widths_wanted(table: QTableView, entries: EntryModel) -> list[int]:
    """Return for each column the width of its longest text and its heading; a number column holds three digits."""
    bold, small = (
        QFontMetrics(theme.scaled(table.font(), 1.0, bold=True)),
        theme.scaled(table.font(), _SIZES[-1]),
    )
    room_for_numbers = bold.horizontalAdvance("000") + _AROUND_NUMBERS
    wanted = []
    for column, heading in enumerate(_headings(table)):
        lines = [
            QFontMetrics(small).horizontalAdvance(line) + 2 * _PADDING + 5 for line in heading.split("\n")
        ]
        looks = [entries.look(entries.index(row, column)) for row in range(entries.rowCount())]
        in_words = any(look.words for look in looks)
        texts = [
            table.fontMetrics().horizontalAdvance(text) + _AROUND_TEXT
            for look in looks
            if look.words
            for text in (look.text, look.faint)
        ]
        wanted.append(max(*lines, *(texts or [0]), 0 if in_words else room_for_numbers))
    return wanted


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
    return heading_height(table) + rows * table.verticalHeader().defaultSectionSize() + 5
