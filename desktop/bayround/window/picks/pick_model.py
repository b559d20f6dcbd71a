"""The picks of one day as a grid: a row for each bay and colour, kg and fruit for each grade."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from bayround import words
from bayround.actions.pick_lines import PickChange, PickDay, PickEntry, PickLine
from bayround.facts.work import Pick
from bayround.figures.figure import Figure
from bayround.window.parts.number_entry import NumberRule, parse, shown
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex
BAY, COLOUR = 0, 1
FIRST_NUMBER = 2
_SAID = (
    ("picked_kg_week", "This week", "kg"),
    ("foreseen_kg_week", "Foreseen", "kg"),
    ("picked_kg_m2", "To date", "kg/m² gross"),
    ("picked_kg_plant", "To date", "kg/plant"),
)


@dataclass(slots=True)
class PickRow:
    """One row: a bay and a colour, and what was typed that is not kept yet (column → text)."""

    line: PickLine
    colour: str
    typed: dict[int, str]


class PickGridModel(QAbstractTableModel):
    """Numbers typed stay with their row until it is kept or thrown away."""

    def __init__(self) -> None:
        super().__init__()
        self._grades: tuple[str, ...] = ()
        self.rows: list[PickRow] = []

    def show(self, day: PickDay, grades: Sequence[str], *, keep_typed: bool) -> None:
        """Show a day; what was typed and is not kept yet stays when it is the same day."""
        typed = {(row.line.bay_id, row.colour): row.typed for row in self.rows if keep_typed}
        self.beginResetModel()
        self._grades = tuple(grades)
        self.rows = []
        for line in day.lines:
            colours = dict.fromkeys(pick.colour for pick in line.picked)
            colours |= {colour: None for bay_id, colour in typed if bay_id == line.bay_id}
            for colour in colours or {line.usual_colour: None}:
                self.rows.append(PickRow(line, colour, typed.get((line.bay_id, colour), {})))
        self.endResetModel()

    def add_colour(self, place: int, colour: str) -> int:
        """Add a row of another colour under a bay; return its place."""
        line = self.rows[place].line
        known = {row.colour: at for at, row in enumerate(self.rows) if row.line.bay_id == line.bay_id}
        if colour in known:
            return known[colour]
        at = max(known.values()) + 1
        self.beginInsertRows(QModelIndex(), at, at)
        self.rows.insert(at, PickRow(line, colour, {}))
        self.endInsertRows()
        return at

    @property
    def last_number(self) -> int:
        """The last column in which a number can be typed."""
        return FIRST_NUMBER + 2 * len(self._grades) - 1

    def is_number(self, column: int) -> bool:
        """Tell whether a number can be typed in a column."""
        return FIRST_NUMBER <= column <= self.last_number

    def rule(self, place: int, column: int) -> NumberRule:
        """Return what a cell takes."""
        row = self.rows[place]
        grade, is_fruit = self._grade(column), self._is_fruit(column)
        label = f"{row.line.name}, {_in_words(grade)}, {_('fruit') if is_fruit else _('kg')}"
        unit = "" if is_fruit else "kg"
        return NumberRule(label, unit, 0 if is_fruit else 1, 0, 900_000, 0, 900_000)

    def pending(self, place: int) -> bool:
        """Tell whether a row holds something that is not kept yet."""
        return bool(self.rows[place].typed)

    def throw_away(self, place: int) -> None:
        """Forget what was typed in a row."""
        self.rows[place].typed.clear()
        self._changed(place)

    def settle(self, place: int) -> tuple[list[PickEntry], list[PickChange], str]:
        """Return what a row adds, what it puts right, and what is wrong with it, in words."""
        row = self.rows[place]
        added: list[PickEntry] = []
        corrected: list[PickChange] = []
        for number, grade in enumerate(self._grades):
            at_kg, at_fruit = FIRST_NUMBER + 2 * number, FIRST_NUMBER + 2 * number + 1
            if at_kg not in row.typed and at_fruit not in row.typed:
                continue
            kg = parse(self._text(row, at_kg))
            fruit = parse(self._text(row, at_fruit))
            known = self._kept(row, grade)
            if kg is None:
                if fruit is None and not known:
                    continue
                return (
                    [],
                    [],
                    _("{bay}, {grade}: kilograms are needed.").format(
                        bay=row.line.name, grade=_in_words(grade)
                    ),
                )
            whole = None if fruit is None else int(fruit)
            if known:
                corrected.append(PickChange(known[0], kg, whole))
            else:
                added.append(PickEntry(kg, whole, grade, row.colour))
        return added, corrected, ""

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else self.last_number + 1 + len(_SAID) + 1

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let numbers be typed, except where several picks stand behind one cell."""
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if self.is_number(index.column()):
            row = self.rows[index.row()]
            if len(self._kept(row, self._grade(index.column()))) <= 1:
                flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows."""
        if not index.isValid():
            return None
        row, column = self.rows[index.row()], index.column()
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole}:
            return self._text(row, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            figure = self.figure_at(index)
            return figure.missing or None if figure is not None else self._text(row, column) or None
        if role == Qt.ItemDataRole.FontRole and column in row.typed:
            bold = QFont()
            bold.setBold(True)
            return bold
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._across(column)
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a typed number; the same number as is kept is no change."""
        if role != Qt.ItemDataRole.EditRole or not self.is_number(index.column()):
            return False
        row, column, text = self.rows[index.row()], index.column(), str(value).strip()
        row.typed.pop(column, None)
        if parse(text) != parse(self._text(row, column)):
            row.typed[column] = text
        self._changed(index.row())
        return True

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading of two lines."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._across(section)
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if section in {BAY, COLOUR}:
            return _("Bay") if section == BAY else _("Colour")
        if self.is_number(section):
            grade = _in_words(self._grade(section)).capitalize()
            return f"{grade}\n{_('fruit') if self._is_fruit(section) else _('kg')}"
        place = section - self.last_number - 1
        return f"{_(_SAID[place][1])}\n{_(_SAID[place][2])}" if place < len(_SAID) else _("Not to be picked")

    def figure_at(self, index: Index) -> Figure | None:
        """Return the figure behind a cell, where there is one."""
        place = index.column() - self.last_number - 1
        if not index.isValid() or not 0 <= place < len(_SAID):
            return None
        return self.rows[index.row()].line.figures[_SAID[place][0]]

    def _text(self, row: PickRow, column: int) -> str:
        if column == BAY:
            return row.line.name
        if column == COLOUR:
            return _(row.colour)
        if self.is_number(column):
            if column in row.typed:
                return row.typed[column]
            known = self._kept(row, self._grade(column))
            if self._is_fruit(column):
                counts = [pick.fruit for pick in known if pick.fruit is not None]
                return str(sum(counts)) if counts else ""
            return shown(sum(pick.kg for pick in known), 1) if known else ""
        place = column - self.last_number - 1
        if place < len(_SAID):
            return row.line.figures[_SAID[place][0]].text
        return "✕ " + "; ".join(row.line.stopped) if row.line.stopped else words.MISSING

    def _kept(self, row: PickRow, grade: str) -> list[Pick]:
        return [pick for pick in row.line.picked if pick.colour == row.colour and pick.grade == grade]

    def _grade(self, column: int) -> str:
        return self._grades[(column - FIRST_NUMBER) // 2]

    @staticmethod
    def _is_fruit(column: int) -> bool:
        return (column - FIRST_NUMBER) % 2 == 1

    def _across(self, column: int) -> Qt.AlignmentFlag:
        is_text = column in {BAY, COLOUR} or column == self.columnCount() - 1
        across = Qt.AlignmentFlag.AlignLeft if is_text else Qt.AlignmentFlag.AlignRight
        return across | Qt.AlignmentFlag.AlignVCenter

    def _changed(self, place: int) -> None:
        self.dataChanged.emit(self.index(place, 0), self.index(place, self.columnCount() - 1))


def _in_words(grade: str) -> str:
    """Return what a grade is called; a pick may have none (the command line asks for none)."""
    return _(grade) if grade else _("no grade")
