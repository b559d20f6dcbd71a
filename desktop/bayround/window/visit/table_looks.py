"""Sizes in an entry grid: headings that fit their columns, tables no taller than their rows."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QTableView

from bayround.window import theme

_SIZES = (0.92, 0.86, 0.8, 0.74, 0.68, 0.62, 0.58)
_PADDING = 4


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


def height_for(table: QTableView, rows: int) -> int:
    """Return the height of a table that shows so many rows."""
    return heading_height(table) + rows * table.verticalHeader().defaultSectionSize() + 5
