"""What the keys of an entry grid mean, and how an open cell editor is kept from being lost."""

from __future__ import annotations

from enum import Enum, auto

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QLineEdit, QWidget

from bayround.window.parts.number_editor import NumberEditor


class GridKey(Enum):
    """What a person wants with a key pressed in a grid."""

    NEXT = auto()
    BACK = auto()
    STEP_BACK_AND_EDIT = auto()
    EDIT = auto()
    CLEAR = auto()
    NO_VALUE = auto()
    SAME_AS_LAST = auto()
    SAME_AS_ABOVE = auto()
    UNDO = auto()
    COPY = auto()
    PASTE = auto()
    TYPED = auto()
    OTHER = auto()


class Step(Enum):
    """Where to go from a cell: along the walk, or to the neighbour (rows, columns)."""

    NEXT = auto()
    BACK = auto()
    UP = (-1, 0)
    DOWN = (1, 0)
    LEFT = (0, -1)
    RIGHT = (0, 1)


_PLAIN = {
    Qt.Key.Key_Return: GridKey.NEXT,
    Qt.Key.Key_Enter: GridKey.NEXT,
    Qt.Key.Key_Tab: GridKey.NEXT,
    Qt.Key.Key_Backtab: GridKey.BACK,
    Qt.Key.Key_Backspace: GridKey.STEP_BACK_AND_EDIT,
    Qt.Key.Key_F2: GridKey.EDIT,
    Qt.Key.Key_Delete: GridKey.CLEAR,
}
_SIGNS = {
    "-": GridKey.NO_VALUE,
    "+": GridKey.SAME_AS_LAST,
    "*": GridKey.SAME_AS_ABOVE,
}
_SEQUENCES = {
    QKeySequence.StandardKey.Undo: GridKey.UNDO,
    QKeySequence.StandardKey.Copy: GridKey.COPY,
    QKeySequence.StandardKey.Paste: GridKey.PASTE,
}
_COMMAND_KEYS = (
    Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier
)


def meaning(event: QKeyEvent) -> GridKey:
    """Return what a key press means in a grid whose cells are closed."""
    for sequence, wanted in _SEQUENCES.items():
        if event.matches(sequence):
            return wanted
    if event.modifiers() & _COMMAND_KEYS:
        return GridKey.OTHER
    key = Qt.Key(event.key())
    if key in _PLAIN:
        shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        return GridKey.BACK if shifted and _PLAIN[key] is GridKey.NEXT else _PLAIN[key]
    if event.text() in _SIGNS:
        return _SIGNS[event.text()]
    return GridKey.TYPED if event.text() and event.text().isprintable() else GridKey.OTHER


def open_editor(view: QAbstractItemView) -> QWidget | None:
    """Return the editor that is open on the current cell, or none."""
    if view.state() != QAbstractItemView.State.EditingState:
        return None
    editor = view.indexWidget(view.currentIndex())
    return editor if editor is not None else view.viewport().findChild(QLineEdit)


def commit_open_editor(view: QAbstractItemView) -> bool:
    """Keep what stands in the view's open editor and close it.

    Call it before anything that would drop the editor: a model reset, a page change, an export, closing.
    Returns false when the number is refused; the editor then stays open and marked.
    """
    editor = open_editor(view)
    if editor is None:
        return True
    if isinstance(editor, NumberEditor) and editor.refusal():
        editor.show_refused(True)
        return False
    view.commitData(editor)
    view.closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)
    return True
