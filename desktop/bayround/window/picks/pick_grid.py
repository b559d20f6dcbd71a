"""The grid of picks: digits start a cell, Enter keeps it and goes on, through the grades and down the bays."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from bayround.window.parts.grid_keys import commit_open_editor
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.parts.whole_table import WholeTable
from bayround.window.picks.pick_model import FIRST_NUMBER, PickGridModel
from bayround.words import _

_ON = {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab}
_LONGEST_NUMBER = "88888.8"


class _Cells(QStyledItemDelegate):
    """Opens number editors; Enter, Tab, Up and Down end them at once."""

    def __init__(self, grid: PickGrid) -> None:
        super().__init__(grid)
        self._grid = grid

    def createEditor(
        self, parent: QWidget, _option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        """Make the editor of one number."""
        editor = NumberEditor(self._grid.model_shown.rule(index.row(), index.column()), parent)
        editor.moves_on = False
        return editor

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:
        """Start with what stands in the cell."""
        if isinstance(editor, NumberEditor):
            editor.setText(str(index.data(Qt.ItemDataRole.EditRole) or ""))
            editor.selectAll()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """End the editor with the keys that go elsewhere; a refused number stays."""
        if (
            isinstance(watched, NumberEditor)
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
        ):
            key = Qt.Key(event.key())
            if key in _ON or key in {Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Backtab}:
                if watched.refusal():
                    watched.show_refused(True)
                    self._grid.refused.emit(watched.refusal())
                    return True
                self.commitData.emit(watched)
                self.closeEditor.emit(watched, QAbstractItemDelegate.EndEditHint.NoHint)
                self._grid.step(key)
                return True
        return super().eventFilter(watched, event)


class PickGrid(WholeTable):
    """Walks kg, fruit, next grade, next bay; tells when a row with something typed is left.

    Attributes:
        left_row: the place of the row the cursor left.
        refused: a number that can't be right, in words.
        asked_why: F4 on a figure.
    """

    left_row = Signal(int)
    refused = Signal(str)
    asked_why = Signal(object)

    def __init__(self, model: PickGridModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model_shown = model
        self.setModel(model)
        self.setItemDelegate(_Cells(self))
        self.setAccessibleName(_("Picks of the day"))
        self.setAlternatingRowColors(True)
        self.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectItems)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setStretchLastSection(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; Escape throws the row's typing away; F4 asks how a figure is known."""
        key = Qt.Key(event.key())
        if key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.step(key)
        elif key == Qt.Key.Key_Escape and self.currentIndex().isValid():
            self.model_shown.throw_away(self.currentIndex().row())
        elif key == Qt.Key.Key_Delete and self.model_shown.is_number(self.currentIndex().column()):
            self.model_shown.setData(self.currentIndex(), "")
        elif key == Qt.Key.Key_F4:
            figure = self.model_shown.figure_at(self.currentIndex())
            if figure is not None:
                self.asked_why.emit(figure)
        else:
            super().keyPressEvent(event)

    def step(self, key: Qt.Key) -> None:
        """Go on from a cell: along the row and to the next one, or to the neighbour."""
        model, now = self.model_shown, self.currentIndex()
        row, column = now.row(), now.column()
        if key == Qt.Key.Key_Up:
            row -= 1
        elif key == Qt.Key.Key_Down:
            row += 1
        elif key == Qt.Key.Key_Backtab:
            row, column = (row, column - 1) if column > FIRST_NUMBER else (row - 1, model.last_number)
        elif column < FIRST_NUMBER:
            column = FIRST_NUMBER
        elif column < model.last_number:
            column += 1
        else:
            row, column = row + 1, FIRST_NUMBER
        if not 0 <= row < model.rowCount():
            self.left_row.emit(now.row())
            return
        self.setCurrentIndex(model.index(row, column))

    def currentChanged(self, now: QModelIndex, before: QModelIndex) -> None:
        """Tell that a row was left."""
        super().currentChanged(now, before)
        if before.isValid() and now.row() != before.row() and before.row() < self.model_shown.rowCount():
            self.left_row.emit(before.row())

    def go_to(self, row: int, column: int = FIRST_NUMBER) -> None:
        """Put the cursor on a cell."""
        self.setCurrentIndex(self.model_shown.index(row, column))
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def commit(self) -> bool:
        """Keep what stands in the open editor in its cell; false when it is refused."""
        return commit_open_editor(self)

    def fit(self) -> None:
        """Make columns as wide as what stands in them; the reason not to pick takes several lines."""
        self.wraps = {0: 24, self.model_shown.columnCount() - 1: 18}
        super().fit()

    def _texts(self, section: int) -> list[str]:
        texts = super()._texts(section)
        return [*texts, _LONGEST_NUMBER] if self.model_shown.is_number(section) else texts
