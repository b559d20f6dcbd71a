"""Sizes in an entry grid: headings that fit their columns, tables no taller than their rows."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHeaderView, QTableView

from bayround.window import theme

_SIZES = (0.92, 0.86, 0.8, 0.74, 0.68, 0.62)
_PADDING = 4


def fit_headings(table: QTableView) -> None:
    """Give the headings the largest size at which none is cut."""
    across, model = table.horizontalHeader(), table.model()
    headings = [
        (str(model.headerData(column, Qt.Orientation.Horizontal) or ""), across.sectionSize(column))
        for column in range(model.columnCount())
    ]
    chosen = next((size for size in _SIZES if _fits(table, size, headings)), _SIZES[-1])
    points = table.font().pointSizeF() * chosen
    look = f"QHeaderView::section {{ padding: 2px {_PADDING}px; font-size: {points:.1f}pt; }}"
    if across.styleSheet() != look:
        across.setStyleSheet(look)


def _fits(table: QTableView, size: float, headings: list[tuple[str, int]]) -> bool:
    metrics = QFontMetrics(theme.scaled(table.font(), size))
    return all(
        metrics.horizontalAdvance(line) + 2 * _PADDING + 5 <= width
        for heading, width in headings
        for line in heading.split("\n")
    )


def height_for(table: QTableView, rows: int) -> int:
    """Return the height of a table that shows so many rows."""
    across: QHeaderView = table.horizontalHeader()
    return across.sizeHint().height() + rows * table.verticalHeader().defaultSectionSize() + 5
