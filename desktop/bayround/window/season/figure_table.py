"""A table of figures: a row a group, a column a figure; F4 explains the cell, F7 sorts by its column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent
from PySide6.QtWidgets import QTableView, QWidget

from bayround import words
from bayround.figures.figure import COUNTED, Figure
from bayround.window.parts.explain import explain
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex
_HEADING_LETTERS = 9


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One row: its id, its name in one or two texts, its figures in the order of the columns."""

    key: str
    names: tuple[str, ...]
    figures: tuple[Figure, ...]


class FigureModel(QAbstractTableModel):
    """Rows as handed over until a column is chosen to sort by."""

    def __init__(self, name_headings: Sequence[str]) -> None:
        super().__init__()
        self._names = tuple(name_headings)
        self._given: tuple[FigureRow, ...] = ()
        self.rows: tuple[FigureRow, ...] = ()
        self._order: tuple[int, bool] | None = None

    def show_rows(self, rows: Sequence[FigureRow]) -> None:
        """Show these rows."""
        self.beginResetModel()
        self._given = tuple(rows)
        self._arrange()
        self.endResetModel()

    def sort_by(self, column: int) -> None:
        """Sort by a column, highest first; again: lowest first; again: as handed over."""
        self.beginResetModel()
        if self._order is None or self._order[0] != column:
            self._order = (column, True)
        else:
            self._order = (column, False) if self._order[1] else None
        self._arrange()
        self.endResetModel()

    def figure(self, row: int, column: int) -> Figure | None:
        """Return the figure of a cell; none for a name."""
        place = column - len(self._names)
        return self.rows[row].figures[place] if place >= 0 and 0 <= row < len(self.rows) else None

    def column_figures(self, column: int) -> tuple[tuple[str, Figure], ...]:
        """Return (name of the row, figure) down a column; the first figure's column for a name."""
        place = max(column - len(self._names), 0)
        return tuple((" · ".join(row.names), row.figures[place]) for row in self.rows)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of columns."""
        figures = len(self.rows[0].figures) if self.rows else 0
        return 0 if parent.isValid() else len(self._names) + figures

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading: what it is, then its unit."""
        if orientation != Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        if section < len(self._names):
            return self._names[section]
        figure = self.rows[0].figures[section - len(self._names)]
        arrow = ""
        if self._order is not None and self._order[0] == section:
            arrow = " ▼" if self._order[1] else " ▲"
        label = "\n".join(wrap(figure.label, _HEADING_LETTERS, break_long_words=False))
        return f"{label}{arrow}\n{figure.unit}".strip()

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell's text, in full for who points at it or hears it."""
        row, column = index.row(), index.column()
        figure = self.figure(row, column)
        if role == Qt.ItemDataRole.DisplayRole:
            return self.rows[row].names[column] if figure is None else figure.text
        if role in {Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole} and figure is not None:
            return in_words(figure)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if figure is None else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def _arrange(self) -> None:
        self.rows = self._given
        if self._order is None or not self._given:
            return
        column, falling = self._order

        def value(row: FigureRow) -> float:
            found = row.figures[column - len(self._names)].value
            return float("-inf") if found is None else (found if falling else -found)

        if column < len(self._names):
            self.rows = tuple(sorted(self._given, key=lambda row: row.names[column], reverse=falling))
        else:
            self.rows = tuple(sorted(self._given, key=value, reverse=True))


class FigureTable(QTableView):
    """Shows a `FigureModel`, as high as its rows up to *most_rows*.

    Attributes:
        moved: another cell is chosen; carries it in words.
    """

    moved = Signal(str)

    def __init__(self, model: FigureModel, name: str, most_rows: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.figures, self._most = model, most_rows
        self.setModel(model)
        self.setAccessibleName(name)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionsClickable(True)
        self.horizontalHeader().sectionClicked.connect(self._sort)
        self.verticalHeader().setDefaultSectionSize(QFontMetrics(self.font()).height() + 8)
        model.modelReset.connect(self._fit)
        self.selectionModel().currentChanged.connect(lambda _now, _before: self._say())
        self.doubleClicked.connect(lambda _index: self.explain_cell())

    def choose_first(self) -> None:
        """Put the cursor on the first figure, or where it was if that is still there."""
        at = self.currentIndex()
        if at.isValid():
            self._say()
        elif self.figures.rows:
            self.setCurrentIndex(self.figures.index(0, self.figures.columnCount() - 1 and 1))

    def chosen_key(self) -> str:
        """Return the id of the row under the cursor."""
        row = self.currentIndex().row()
        return self.figures.rows[row].key if 0 <= row < len(self.figures.rows) else ""

    def explain_cell(self) -> None:
        """Answer “how do you know?” for the cell under the cursor."""
        figure = self.figures.figure(self.currentIndex().row(), self.currentIndex().column())
        if figure is not None:
            explain(figure, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F4 explains, F7 sorts; the rest is the table's own."""
        if event.key() == Qt.Key.Key_F4:
            self.explain_cell()
        elif event.key() == Qt.Key.Key_F7:
            self._sort(self.currentIndex().column())
        else:
            super().keyPressEvent(event)

    def _sort(self, column: int) -> None:
        key, was = self.chosen_key(), self.currentIndex().column()
        self.figures.sort_by(max(column, 0))
        rows = [place for place, row in enumerate(self.figures.rows) if row.key == key]
        if rows:
            self.setCurrentIndex(self.figures.index(rows[0], was))

    def _say(self) -> None:
        at = self.currentIndex()
        figure = self.figures.figure(at.row(), at.column())
        if 0 <= at.row() < len(self.figures.rows):
            name = " · ".join(self.figures.rows[at.row()].names)
            self.moved.emit(name if figure is None else f"{name}   {figure.label}: {in_words(figure)}")

    def _fit(self) -> None:
        measure = QFontMetrics(self.font())
        heading_lines = 1
        for section in range(self.figures.columnCount()):
            heading = str(self.figures.headerData(section, Qt.Orientation.Horizontal)).split("\n")
            heading_lines = max(heading_lines, len(heading))
            cells = [
                str(self.figures.data(self.figures.index(row, section)))
                for row in range(self.figures.rowCount())
            ]
            self.setColumnWidth(
                section, max(measure.horizontalAdvance(text) for text in [*heading, *cells]) + 24
            )
        header = measure.lineSpacing() * heading_lines + 12
        self.horizontalHeader().setFixedHeight(header)
        shown = min(max(len(self.figures.rows), 1), self._most)
        self.setFixedHeight(header + shown * self.verticalHeader().defaultSectionSize() + 20)


def in_words(figure: Figure) -> str:
    """Return a figure with its unit, its interval and what goes with it; why it is missing where it is."""
    if figure.value is None:
        return figure.missing
    parts = [figure.text_with_unit]
    if figure.interval_text:
        parts.append(f"({figure.interval_text})")
    if figure.says:
        parts.append(figure.says)
    if figure.n is not None and figure.interval_text:
        counted = words.counted(*COUNTED[figure.n_of], figure.n) if figure.n_of else str(figure.n)
        parts.append("· " + _("rests on {n}").format(n=counted))
    return " ".join(parts)
