"""The quiet line under the grid: how the current field is measured, and what the program has to say."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QLabel, QWidget

STAYS_MS = 3500


class MessageLine(QLabel):
    """What is said stays a while before the hint of the current cell comes back."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hint = ""
        self._hint_is_newer = False
        self._fresh = QTimer(self)
        self._fresh.setSingleShot(True)
        self._fresh.setInterval(STAYS_MS)
        self._fresh.timeout.connect(self._stale)
        self.setMargin(4)
        self._show("", quiet=True)

    def say(self, text: str) -> None:
        """Say something; screen readers are told."""
        self._hint_is_newer = False
        self._fresh.start()
        self._show(text, quiet=False)
        if text:
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def hint(self, text: str) -> None:
        """Show what belongs to the current cell, at once or when the last word has been read."""
        self._hint, self._hint_is_newer = text, True
        if not self._fresh.isActive():
            self._show(text, quiet=True)

    def _stale(self) -> None:
        if self._hint_is_newer:
            self._show(self._hint, quiet=True)

    def _show(self, text: str, *, quiet: bool) -> None:
        self.setObjectName("quiet" if quiet else "said")
        self.style().unpolish(self)
        self.style().polish(self)
        self.setText(text)
        self.setToolTip(text)
        self.setAccessibleName(text)
