"""From a filter on to what it narrowed: Enter and Down go there."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QLineEdit


class _Lead(QObject):
    """Hands the keyboard on; the first line is taken where the cursor stands on none."""

    def __init__(self, line: QLineEdit, view: QAbstractItemView) -> None:
        super().__init__(line)
        self._view = view
        line.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take Enter and Down without modifiers."""
        keys = (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and event.key() in keys:
            self._go()
            return True
        return super().eventFilter(watched, event)

    def _go(self) -> None:
        model = self._view.model()
        if model is None or model.rowCount() == 0:
            return
        if not self._view.currentIndex().isValid():
            self._view.setCurrentIndex(model.index(0, 0))
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)


def lead_to(line: QLineEdit, view: QAbstractItemView) -> None:
    """Let Enter and Down in a filter go on to the table it narrows."""
    _Lead(line, view)
