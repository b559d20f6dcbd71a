"""The lines of a preview as a table model: what becomes of each, where it belongs, what it says, why."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from bayround.actions.imports import preview_words
from bayround.actions.imports.preview import Item, State
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex

SIGNS = {State.NEW: "+", State.CHANGED: "→", State.SAME: "=", State.DOUBTFUL: "?", State.REFUSED: "✕"}
HEADINGS = ("Becomes", "Where", "What", "Why")


class LinesModel(QAbstractTableModel):
    """Rows are the lines of a preview, those of one state or all."""

    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[Item, ...] = ()
        self._state: State | None = None
        self.rows: list[Item] = []

    def show(self, items: Sequence[Item]) -> None:
        """Show these lines: what needs a look first, then as they stand in the file."""
        order = (State.REFUSED, State.DOUBTFUL, State.CHANGED, State.NEW, State.SAME)
        self._all = tuple(sorted(items, key=lambda item: order.index(item.state)))
        self.narrow(self._state)

    def narrow(self, state: State | None) -> None:
        """Show only the lines of one state; none: all."""
        self.beginResetModel()
        self._state = state
        self.rows = [item for item in self._all if state in (None, item.state)]
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many lines are shown."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(HEADINGS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows."""
        if not index.isValid() or not 0 <= index.row() < len(self.rows):
            return None
        item = self.rows[index.row()]
        word = f"{SIGNS[item.state]} {preview_words.state_word(item.state)}"
        text = (word, item.where, item.what, item.why)[index.column()]
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole}:
            return text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{_(HEADINGS[index.column()])}: {text}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return _(HEADINGS[section])
        return None
