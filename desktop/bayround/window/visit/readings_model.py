"""The grid of marked plants and the crop's fields, with last visit's value behind each cell."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from PySide6.QtCore import QModelIndex, QObject, Qt, Signal

from bayround.facts.rounds import PlantState
from bayround.week import chosen
from bayround.week.visit_sheet import VisitSheet
from bayround.window.parts.number_entry import NumberRule, refusal
from bayround.window.visit.entry_model import NOWHERE, CellLook, EntryModel, Index, Takes, Value
from bayround.window.visit.sheet_in_hand import Cell, CellChange, SheetInHand
from bayround.words import _

REPLACED = "r"
STATE_LETTERS = {"s": PlantState.SKIPPED, "x": PlantState.DEAD}


class ReadingsModel(EntryModel):
    """Shows a sheet and takes what is typed into it; saving is someone else's.

    Signals:
        typed: a tuple of `CellChange`, made by one key or one paste.
        state_typed: marked plant, state before, state after.
        replace_wanted: a marked plant that is dead and for which another one is marked.
    """

    typed = Signal(object)
    state_typed = Signal(str, object, object)
    replace_wanted = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.hand: SheetInHand | None = None

    def show(
        self, sheet: VisitSheet | None, waiting: Collection[Cell] = (), states: Collection[str] = ()
    ) -> None:
        """Show a sheet; the same sheet read again changes its cells only, and no open editor is lost."""
        if self.hand is not None and sheet is not None:
            changed = self.hand.read_again(sheet, waiting, states)
            if changed is not None:
                for row in changed:
                    self.row_changed(row)
                return
        self.beginResetModel()
        self.hand = SheetInHand(sheet) if sheet is not None else None
        self.endResetModel()

    def show_not_saved(self, cells: Collection[Cell]) -> None:
        """Mark the cells whose value could not be saved yet."""
        if self.hand is None:
            return
        changed = self.hand.not_saved ^ frozenset(cells)
        self.hand.not_saved = frozenset(cells)
        for cell in changed:
            index = self.index_of(cell)
            if index.isValid():
                self.changed(index)

    @property
    def in_hand(self) -> SheetInHand:
        """The sheet shown; asking for it when there is none is a fault of the program."""
        if self.hand is None:
            raise RuntimeError("No sheet is shown.")
        return self.hand

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """One row a marked plant."""
        return 0 if parent.isValid() or self.hand is None else len(self.hand.sheet.rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        """One column a field."""
        return 0 if parent.isValid() or self.hand is None else len(self.hand.sheet.fields)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the field with its unit, or the plant."""
        across = orientation == Qt.Orientation.Horizontal
        if self.hand is None or section >= (self.columnCount() if across else self.rowCount()):
            return None
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return None
        if not across:
            if role == Qt.ItemDataRole.ToolTipRole:
                return self.hand.chosen_for(section)
            sign = f" {chosen.ASIDE_SIGN}" if self.hand.chosen_for(section) else ""
            return f"{self.hand.row(section).plant.label}{sign}"
        field = self.hand.field(section)
        if role == Qt.ItemDataRole.ToolTipRole:
            return _(field.hint)
        return f"{_(field.label)}\n{field.unit}"

    def index_of(self, cell: Cell) -> QModelIndex:
        """Return where a cell stands; invalid when it is not on the sheet."""
        place = self.hand.place(cell) if self.hand is not None else None
        return QModelIndex() if place is None else self.index(*place)

    def takes(self, index: Index) -> Takes:
        """Return whether a number can be keyed in: not for a skipped or dead plant."""
        return Takes.NOTHING if self.in_hand.shut(index.row()) else Takes.NUMBER

    def value(self, index: Index) -> float | None:
        """Return the number in a cell."""
        return self.in_hand.value(index.row(), index.column())

    def offered(self, index: Index) -> float | None:
        """Return last visit's number."""
        return self.in_hand.last(index.row(), index.column())

    def rule(self, index: Index) -> NumberRule:
        """Return the limits of a cell."""
        return self.in_hand.rule(index.row(), index.column())

    def look(self, index: Index) -> CellLook:
        """Return what is painted in a cell."""
        return self.in_hand.look(index.row(), index.column())

    def spoken(self, index: Index) -> str:
        """Return a cell in words."""
        return self.in_hand.spoken(index.row(), index.column())

    def hint(self, index: Index) -> str:
        """Return how the field of a cell is measured, and any doubt about the number there."""
        doubt = self.in_hand.doubt(index.row(), index.column())
        if doubt is not None and not doubt.answered:
            return f"{doubt.field_label}: {doubt.text}"
        field = self.in_hand.field(index.column())
        return f"{_(field.label)}: {_(field.hint)}"

    def history(self, index: Index) -> str:
        """Return what a cell was before it was corrected."""
        return self.in_hand.history(index.row(), index.column())

    def put(self, index: Index, value: Value) -> bool:
        """Take a number; false (after `said`) when the row is shut or the number can't be right."""
        why = self.refusal(index, None if value is None else float(value))
        if why:
            self.said.emit(why)
            return False
        self.put_all([(index, None if value is None else float(value))])
        return True

    def refusal(self, index: Index, number: float | None) -> str:
        """Return why a number can't go into a cell, or nothing."""
        if self.takes(index) is Takes.NOTHING:
            return self.in_hand.why_shut(index.row())
        return "" if number is None else refusal(number, self.rule(index))

    def put_all(self, block: Sequence[tuple[Index, float | None]]) -> None:
        """Take checked numbers at once; those that change nothing are passed over."""
        changes = []
        for index, number in block:
            before, cell = self.value(index), self.in_hand.cell(index.row(), index.column())
            self.in_hand.left_out.discard(cell)
            if before != number:
                changes.append(CellChange(cell, before, number))
                self.in_hand.typed[cell] = number
            self.changed(index)
        if changes:
            self.typed.emit(tuple(changes))

    def no_value(self, index: Index) -> None:
        """Pass a cell over; it is then not asked for when the bay is finished."""
        if self.put(index, None):
            self.in_hand.left_out.add(self.in_hand.cell(index.row(), index.column()))
            self.changed(index)

    def row_key(self, row: int, letter: str) -> bool:
        """S: plant skipped, X: plant dead; the same letter again takes it back. R: dead, another one is marked."""
        if letter.lower() == REPLACED and not self.in_hand.resting:
            self.replace_wanted.emit(self.in_hand.row(row).plant.id)
            return True
        wanted = STATE_LETTERS.get(letter.lower())
        if wanted is None or self.in_hand.resting:
            return False
        self.put_state(row, PlantState.STANDING if self.in_hand.state(row) is wanted else wanted)
        return True

    def put_state(self, row: int, state: PlantState) -> None:
        """Take what was found in place of a plant."""
        before, plant_id = self.in_hand.state(row), self.in_hand.row(row).plant.id
        self.in_hand.states[plant_id] = state
        self.row_changed(row)
        self.state_typed.emit(plant_id, before, state)
