"""The shape of a table whose cells are keyed in: what a cell takes, offers and shows. No window needed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from bayround.window.parts.number_entry import NumberRule

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()
Value = float | str | None


class Takes(Enum):
    """What a cell takes."""

    NOTHING = auto()
    NUMBER = auto()
    TEXT = auto()
    CHOICE = auto()


class Mark(Enum):
    """What a cell says about its value besides the value itself."""

    NONE = auto()
    DOUBTFUL = auto()
    LET_STAND = auto()
    CORRECTED = auto()
    NOT_SAVED = auto()


@dataclass(frozen=True, slots=True)
class CellLook:
    """What is painted in a cell: the value, the faint value of last time, a mark, and whether it is shut."""

    text: str
    faint: str = ""
    mark: Mark = Mark.NONE
    shut: bool = False
    """Not to be keyed in (plant skipped or dead)."""
    words: bool = False
    """Words stand at the left, numbers at the right."""


class EntryModel(QAbstractTableModel):
    """Base of the tables of the Visit screen. Subclasses answer for their cells; nothing is saved here.

    Signals:
        said: a quiet line for the person (a refusal).
    """

    said = Signal(str)
    row_key_moves_on = False
    """Whether a row key ends the row (the next row begins)."""

    def takes(self, index: Index) -> Takes:
        """Return what a cell takes."""
        raise NotImplementedError

    def value(self, index: Index) -> Value:
        """Return what stands in a cell."""
        raise NotImplementedError

    def look(self, index: Index) -> CellLook:
        """Return what is painted in a cell."""
        raise NotImplementedError

    def spoken(self, index: Index) -> str:
        """Return a cell in words, for screen readers and tool tips."""
        raise NotImplementedError

    def put(self, index: Index, value: Value) -> bool:
        """Take a value into a cell; false (after `said`) when it is not taken."""
        raise NotImplementedError

    def rule(self, index: Index) -> NumberRule:
        """Return what a number cell takes."""
        raise NotImplementedError

    def choices(self, index: Index) -> tuple[tuple[str, str], ...]:
        """Return the (value, word) pairs of a choice cell."""
        return ()

    def offered(self, index: Index) -> Value:
        """Return the value ``+`` takes over (last visit's, or the usual one), or none."""
        return None

    def is_stop(self, index: Index) -> bool:
        """Tell whether Enter stops at a cell on its way."""
        return self.takes(index) is not Takes.NOTHING

    def row_key(self, row: int, letter: str) -> bool:
        """Act on a letter pressed in a row; false when it means nothing there."""
        return False

    def no_value(self, index: Index) -> None:
        """Note that a cell has no value this time (``-``)."""
        self.put(index, None)

    def clear(self, index: Index) -> None:
        """Take out what stands in a cell (Delete)."""
        self.put(index, None)

    def history(self, index: Index) -> str:
        """Return what a cell held before it was corrected, who changed it, when and why; nothing: never."""
        return ""

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Every cell can be reached; those that take something can be edited."""
        reach = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return reach if self.takes(index) is Takes.NOTHING else reach | Qt.ItemFlag.ItemIsEditable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a cell as text, as value, or in words."""
        if not index.isValid():
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.look(index).text
        if role == Qt.ItemDataRole.EditRole:
            return self.value(index)
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return self.spoken(index)
        return None

    def setData(self, index: Index, value: Value, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a value from an editor."""
        return role == Qt.ItemDataRole.EditRole and index.isValid() and self.put(index, value)

    def changed(self, index: Index) -> None:
        """Tell the views that one cell looks different."""
        self.dataChanged.emit(index, index)

    def row_changed(self, row: int) -> None:
        """Tell the views that a whole row looks different."""
        self.dataChanged.emit(self.index(row, 0), self.index(row, self.columnCount() - 1))
