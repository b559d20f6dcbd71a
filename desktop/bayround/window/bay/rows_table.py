"""A plain table of texts: headings, rows, which columns stand to the right; F4 explains the cell's figure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent
from PySide6.QtWidgets import QTableView, QWidget

from bayround.figures.figure import Figure
from bayround.window.parts.explain import explain
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex
Row = tuple[Sequence[str], Figure | Sequence[Figure | None] | None]
"""Texts, and what stands behind them: one figure for the whole row, or one a column."""


class RowsModel(QAbstractTableModel):
    """Rows of texts as handed over."""

    def __init__(self, headings: Sequence[str], left: Sequence[int] = (0,)) -> None:
        super().__init__()
        self.headings = tuple(headings)
        self.rows: tuple[Row, ...] = ()
        self._left = frozenset(left)

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show these rows."""
        self.beginResetModel()
        self.rows = tuple(rows)
        self.endResetModel()

    def figure_at(self, row: int, column: int) -> Figure | None:
        """Return the figure behind a cell, or nothing."""
        if not (0 <= row < len(self.rows) and 0 <= column < len(self.headings)):
            return None
        behind = self.rows[row][1]
        return behind if behind is None or isinstance(behind, Figure) else behind[column]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of columns."""
        return 0 if parent.isValid() else len(self.headings)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return _(self.headings[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell's text and which way it stands."""
        if role == Qt.ItemDataRole.DisplayRole:
            return self.rows[index.row()][0][index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if index.column() in self._left else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


class RowsTable(QTableView):
    """Shows a `RowsModel`; as high as its rows, up to *most_rows*, and hidden while there are none."""

    def __init__(
        self, model: RowsModel, name: str, most_rows: int = 12, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._rows, self._most = model, most_rows
        self.setModel(model)
        self.setAccessibleName(name)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        measure = QFontMetrics(self.font())
        self.verticalHeader().setDefaultSectionSize(measure.height() + 8)
        model.modelReset.connect(self._fit)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F4 explains the figure of the cell under the cursor."""
        here = self.currentIndex()
        figure = self._rows.figure_at(here.row(), here.column())
        if event.key() == Qt.Key.Key_F4 and figure is not None:
            explain(figure, self)
            return
        super().keyPressEvent(event)

    def _fit(self) -> None:
        measure = QFontMetrics(self.font())
        for section, heading in enumerate(self._rows.headings):
            texts = [_(heading), *(texts[section] for texts, _figure in self._rows.rows)]
            self.setColumnWidth(section, max(measure.horizontalAdvance(text) for text in texts) + 28)
        shown = min(max(len(self._rows.rows), 1), self._most)
        height = self.horizontalHeader().sizeHint().height() + shown * (measure.height() + 8) + 8
        self.setFixedHeight(height)
        self.setVisible(bool(self._rows.rows))
