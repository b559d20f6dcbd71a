"""Opens the editors of an entry grid and decides when they close; the painting is in `cell_paint`."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QPainter
from PySide6.QtWidgets import QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from bayround.window.parts.grid_keys import Step
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.parts.number_entry import shown
from bayround.window.visit.cell_paint import paint_cell
from bayround.window.visit.entry_model import EntryModel, Index, Takes
from bayround.words import _

Key = Qt.Key
_NEXT = (Key.Key_Return, Key.Key_Enter, Key.Key_Tab)
_FILLED = "filled"
_ARROWS = {
    Key.Key_Up: Step.UP,
    Key.Key_Down: Step.DOWN,
    Key.Key_Left: Step.LEFT,
    Key.Key_Right: Step.RIGHT,
}
_KEEPS_OPEN = (
    Qt.FocusReason.ActiveWindowFocusReason,
    Qt.FocusReason.PopupFocusReason,
    Qt.FocusReason.MenuBarFocusReason,
)


class TextEditor(QLineEdit):
    """One line of words in a cell."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What means nothing here must not reach the grid behind."""
        super().keyPressEvent(event)
        event.accept()


class CellDelegate(QStyledItemDelegate):
    """One for each grid.

    Signals:
        go_on: the open editor is to be kept and left by a `Step`.
        complete: the number can't go on; carries a digit for the next cell, or nothing.
        give_up: the open editor is to be closed, its text dropped; true: and then one cell back.
        left: focus went elsewhere; the text is to be kept.
    """

    go_on = Signal(object)
    complete = Signal(str)
    give_up = Signal(bool)
    left = Signal()

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget | None:
        """Open a number or text editor; choices are made with keys, without an editor."""
        model = _entries(index)
        takes = model.takes(index)
        if takes is Takes.NUMBER:
            editor = NumberEditor(model.rule(index), parent)
            editor.complete.connect(self.complete)
            return editor
        if takes is Takes.TEXT:
            line = TextEditor(parent)
            line.setFrame(False)
            line.setMaxLength(200)
            line.setAccessibleName(model.spoken(index))
            return line
        return None

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Put what stands in the cell into the editor as it opens; what is typed in it stays afterwards.

        Qt asks again whenever the cell's row was read anew.
        """
        if editor.property(_FILLED):
            return
        editor.setProperty(_FILLED, True)
        value = _entries(index).value(index)
        if isinstance(editor, NumberEditor):
            number = None if value is None else float(value)
            editor.setText(shown(number, editor.rule.decimals))
        elif isinstance(editor, QLineEdit):
            editor.setText(str(value or ""))

    def setModelData(self, editor: QWidget, model: object, index: Index) -> None:
        """Give the editor's value to the model; a refused number is never given."""
        entries = _entries(index)
        if isinstance(editor, NumberEditor):
            if not editor.refusal():
                entries.setData(index, editor.value())
        elif isinstance(editor, QLineEdit):
            entries.setData(index, editor.text().strip())

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """The editor covers its cell."""
        editor.setGeometry(option.rect)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint value, last value and mark."""
        paint_cell(painter, option, _entries(index).look(index), index)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Say which keys leave the editor; every other key is the editor's own."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and isinstance(editor, QLineEdit)
        ):
            return self._key(editor, event)
        if isinstance(event, QFocusEvent) and event.type() == QEvent.Type.FocusOut:
            if event.reason() not in _KEEPS_OPEN:
                self.left.emit()
            return False
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and _gives_up(event):
            event.accept()
            return True
        return False

    def _key(self, editor: QLineEdit, event: QKeyEvent) -> bool:
        key, modifiers = Key(event.key()), event.modifiers()
        number = isinstance(editor, NumberEditor)
        typing = isinstance(editor, NumberEditor) and editor.moves_on
        if _gives_up(event):
            self.give_up.emit(False)
        elif modifiers & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
            return False
        elif key == Key.Key_Backtab or (key in _NEXT and modifiers & Qt.KeyboardModifier.ShiftModifier):
            self.go_on.emit(Step.BACK)
        elif key in _NEXT:
            self.go_on.emit(Step.NEXT)
        elif key in (Key.Key_Up, Key.Key_Down) or (key in _ARROWS and typing):
            self.go_on.emit(_ARROWS[key])
        elif key == Key.Key_Backspace and number and not editor.text():
            self.give_up.emit(True)
        else:
            return False
        return True


def _gives_up(event: QKeyEvent) -> bool:
    return event.key() == Key.Key_Escape or event.matches(QKeySequence.StandardKey.Undo)


def _entries(index: Index | QModelIndex) -> EntryModel:
    model = index.model()
    if not isinstance(model, EntryModel):
        raise TypeError(_("An entry grid needs an entry model."))
    return model
