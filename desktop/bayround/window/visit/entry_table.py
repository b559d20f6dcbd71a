"""A grid that is keyed in from end to end without the mouse."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QWidget

from bayround.window.parts.grid_keys import GridKey, Step, meaning, open_editor
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.parts.number_entry import can_stand, plain_digits
from bayround.window.visit.entry_model import EntryModel, Takes, Value
from bayround.window.visit.entry_walk import choice_after, copied_text, stop_after, value_above
from bayround.window.visit.open_cell_table import OpenCellTable
from bayround.words import _


class EntryTable(OpenCellTable):
    """Enter walks on, arrows move, digits open the cell; an open editor is kept whatever happens.

    Signals:
        past_end: Enter, Tab or (true) a number that moved on by itself went past the last cell.
        before_start: Shift+Tab went before the first.
        undo_wanted, paste_wanted: Ctrl+Z; the clipboard's text on Ctrl+V.
        given_up: Escape threw the typing in a cell away. at_cell: the current cell changed. entered: the keyboard came here.
    """

    past_end = Signal(bool)
    before_start = Signal()
    undo_wanted = Signal()
    paste_wanted = Signal(str)
    given_up = Signal()
    at_cell = Signal(QModelIndex)
    entered = Signal()

    def __init__(self, model: EntryModel, name: str, parent: QWidget | None = None) -> None:
        self._last_place = (0, 0)
        super().__init__(model, name, parent)
        self.moves_on = True
        """Whether complete numbers move on by themselves."""
        self._enter_is_spent = False
        model.modelReset.connect(self._stay)  # after the view and its selection
        self.doubleClicked.connect(self._double_clicked)
        self.cells.go_on.connect(self.step)
        self.cells.complete.connect(self._move_on)
        self.cells.give_up.connect(self._give_up)
        self._acts: dict[GridKey, Callable[[], object]] = {
            GridKey.NEXT: lambda: self.step(Step.NEXT),
            GridKey.BACK: lambda: self.step(Step.BACK),
            GridKey.STEP_BACK_AND_EDIT: self._backspace,
            GridKey.EDIT: self.edit_current,
            GridKey.CLEAR: lambda: model.clear(self.currentIndex()),
            GridKey.NO_VALUE: self._no_value,
            GridKey.SAME_AS_LAST: lambda: self._take_over(
                model.offered(self.currentIndex()), _("There is no earlier value to take over.")
            ),
            GridKey.SAME_AS_ABOVE: lambda: self._take_over(
                value_above(model, self.currentIndex()), _("There is no value above to take over.")
            ),
            GridKey.UNDO: self.undo_wanted.emit,
            GridKey.COPY: self._copy,
            GridKey.PASTE: lambda: self.paste_wanted.emit(QGuiApplication.clipboard().text()),
        }

    def _move_on(self, carried: str) -> None:
        """A number is complete: on to the next cell, which begins with *carried*."""
        if not self.commit_open():
            return
        if self.step(Step.NEXT, by_itself=True):
            if carried:
                self._begin(carried)
            else:
                self.expect_enter()

    def expect_enter(self) -> None:
        """The number before moved on by itself: an Enter that follows belongs to it and does not move again."""
        self._enter_is_spent = True

    def step(self, step: Step, by_itself: bool = False) -> bool:
        """Go to another cell; false at the end (told by signal) or while a refused number stands open."""
        if not self.commit_open():
            return False
        index = self.currentIndex()
        if step in (Step.NEXT, Step.BACK):
            target = stop_after(self.entries, index, 1 if step is Step.NEXT else -1)
            if not target.isValid():
                if step is Step.NEXT:
                    self.past_end.emit(by_itself)
                else:
                    self.before_start.emit()
                return False
        else:
            rows, columns = step.value
            target = (
                index.siblingAtRow(index.row() + rows)
                if rows
                else index.siblingAtColumn(index.column() + columns)
            )
        if target.isValid():
            self.setCurrentIndex(target)
        return target.isValid()

    def edit_current(self) -> None:
        """Open the current cell with the number that stands there; it then waits for Enter."""
        index = self.currentIndex()
        if self.entries.takes(index) is Takes.NOTHING:
            self._put(self.entries.value(index))
            return
        if self.entries.takes(index) is Takes.CHOICE:
            self._choose(" ")
            return
        self.edit(index)
        editor = open_editor(self)
        if isinstance(editor, NumberEditor):
            editor.moves_on = False
            editor.end(False)

    def go_to_first(self, wanted: Callable[[QModelIndex], bool]) -> bool:
        """Go to the first cell of the walk that is *wanted*; false when there is none."""
        for row in range(self.entries.rowCount()):
            for column in range(self.entries.columnCount()):
                index = self.entries.index(row, column)
                if self.entries.is_stop(index) and wanted(index):
                    self.setCurrentIndex(index)
                    return True
        return False

    def arrive(self) -> None:
        """The keyboard comes here: to the cell last used, else the first empty one, else the first."""
        index = self.currentIndex()
        if not index.isValid() or not self.entries.is_stop(index):
            empty = self.go_to_first(lambda found: self.entries.value(found) in (None, ""))
            _there = empty or self.go_to_first(lambda _index: True)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def currentChanged(self, current: QModelIndex, previous: QModelIndex) -> None:
        """Tell where the person is."""
        super().currentChanged(current, previous)
        self._enter_is_spent = False
        if current.isValid():
            self._last_place = (current.row(), current.column())
        self.at_cell.emit(current)

    def _stay(self) -> None:
        """Rows came or went: the cursor of the person who is here stays where it was."""
        row, column = self._last_place
        if self.hasFocus():
            self.setCurrentIndex(self.entries.index(min(row, self.entries.rowCount() - 1), column))

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the keyboard came here."""
        super().focusInEvent(event)
        self.entered.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what the key means; keys of the screen (F6, Ctrl+Enter) are left to it."""
        if self.goes_to_editor(event):
            return
        if event.key() == Qt.Key.Key_F4 and self.currentIndex().isValid():
            history = self.entries.history(self.currentIndex())
            self.said.emit(history or _("This value was never corrected."))
            return
        wanted = meaning(event)
        if not self.currentIndex().isValid() or wanted is GridKey.OTHER:
            super().keyPressEvent(event)
            return
        event.accept()
        spent, self._enter_is_spent = self._enter_is_spent, False
        if spent and wanted is GridKey.NEXT:
            return
        is_text = self.entries.takes(self.currentIndex()) is Takes.TEXT
        signs = (GridKey.NO_VALUE, GridKey.SAME_AS_ABOVE, GridKey.SAME_AS_LAST)
        if wanted is GridKey.TYPED or (is_text and wanted in signs):
            if not event.isAutoRepeat():
                self._typed(plain_digits(event.text()))
            return
        self._acts[wanted]()

    def _typed(self, text: str) -> None:
        index = self.currentIndex()
        takes = self.entries.takes(index)
        if takes is Takes.TEXT:
            self.edit(index)
            editor = open_editor(self)
            if editor is not None:
                editor.setText(text)  # type: ignore[attr-defined]
        elif takes is Takes.CHOICE:
            self._choose(text)
        elif not self.entries.row_key(index.row(), text):
            self._begin(text)
        elif self.entries.row_key_moves_on:
            self.setCurrentIndex(index.siblingAtColumn(self.entries.columnCount() - 1))
            self.step(Step.NEXT)

    def _begin(self, text: str) -> None:
        """Open the current cell with a first digit in place of what stood there."""
        index = self.currentIndex()
        if self.entries.takes(index) is not Takes.NUMBER:
            self._put(self.entries.value(index))  # says why the cell takes nothing
            return
        if not can_stand(text, self.entries.rule(index)):
            self.said.emit(_("“{key}” has no meaning in this cell.").format(key=text))
            return
        self.edit(index)
        editor = open_editor(self)
        if isinstance(editor, NumberEditor):
            editor.clear()
            editor.moves_on = self.moves_on
            editor.type_in(text)

    def _double_clicked(self, index: QModelIndex) -> None:
        if self.entries.takes(index) is Takes.CHOICE:
            self._choose(" ")

    def _choose(self, letter: str) -> None:
        chosen = choice_after(self.entries, self.currentIndex(), letter)
        if chosen is not None:
            self._put(chosen)

    def _backspace(self) -> None:
        """On an empty cell: back to the cell before, opened; on a filled one: its last character goes."""
        empty = self.entries.value(self.currentIndex()) in (None, "")
        if empty and not self.step(Step.BACK):
            return
        self.edit_current()
        editor = open_editor(self)
        if not empty and isinstance(editor, NumberEditor):
            editor.backspace()

    def _give_up(self, and_back: bool) -> None:
        editor = open_editor(self)
        if editor is not None:
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.RevertModelCache)
        self.given_up.emit()
        if and_back:
            self.step(Step.BACK)
            self.edit_current()

    def _put(self, value: Value) -> bool:
        return self.entries.put(self.currentIndex(), value)

    def _no_value(self) -> None:
        self.entries.no_value(self.currentIndex())
        self.step(Step.NEXT)

    def _take_over(self, value: Value, missing: str) -> None:
        if value in (None, ""):
            self.said.emit(missing)
        elif self._put(value):
            self.step(Step.NEXT)

    def _copy(self) -> None:
        text = copied_text(self.entries, self.selectedIndexes())
        if text:
            QGuiApplication.clipboard().setText(text)
