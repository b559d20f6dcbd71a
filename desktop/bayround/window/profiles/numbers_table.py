"""Every number of a crop as a table model: what it is, its value, where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from bayround import words
from bayround.actions.profiles import NumberLine
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex
HEADINGS = ("Number", "Value", "Unit", "Basis", "Source")
BASIS_WORDS = {
    "published": "published",
    "common practice": "common practice",
    "memory": "from memory",
    "farm": "● this farm's own",
}
_RIGHT = {1}


def shown(value: float) -> str:
    """Return a value with the decimals it has and the chosen decimal mark."""
    text = f"{value:.6f}".rstrip("0")
    decimals = len(text.partition(".")[2])
    return words.number(value, decimals)


class NumbersModel(QAbstractTableModel):
    """Rows are numbers in the order of the crop file; a filter narrows them."""

    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[NumberLine, ...] = ()
        self._rows: list[NumberLine] = []
        self._text = ""

    def show_numbers(self, lines: Sequence[NumberLine]) -> None:
        """Show these numbers, narrowed as before."""
        self._all = tuple(lines)
        self.narrow(self._text)

    def narrow(self, text: str) -> None:
        """List the numbers that hold every word of *text* in some column."""
        self.beginResetModel()
        self._text = text
        wanted = text.casefold().split()
        self._rows = [line for line in self._all if all(word in _haystack(line) for word in wanted)]
        self.endResetModel()

    def line(self, row: int) -> NumberLine | None:
        """Return the number of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def row_of(self, name: str) -> int:
        """Return the row of a number by its name, or −1."""
        return next((row for row, line in enumerate(self._rows) if line.name == name), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many numbers are listed."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of columns."""
        return 0 if parent.isValid() else len(HEADINGS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return _(HEADINGS[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell's text, and numbers to the right."""
        line = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cells(line)[index.column()]
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join(part for part in (line.label, line.source, line.note) if part)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if index.column() in _RIGHT else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


def cells(line: NumberLine) -> tuple[str, ...]:
    """Return one number as the texts of its row."""
    basis = _(BASIS_WORDS[line.basis])
    if line.is_own:
        basis += " " + _("(file: {value})").format(value=shown(line.file_value))
    return (line.label, shown(line.value), line.unit, basis, line.source)


def _haystack(line: NumberLine) -> str:
    return " ".join((*cells(line), line.note, line.name)).casefold()
