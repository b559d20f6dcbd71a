"""The quiet line under the grid: how the current field is measured, which keys there are, and what there is to say."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from bayround.window import theme

STAYS_MS = 3500


class MessageLine(QWidget):
    """What is said stays a while, over the whole width; then the hint of the current cell and the keys come back."""

    def __init__(self, keys: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hint = ""
        self._hint_is_newer = False
        self._whole = ""
        self._quiet = True
        self._of_bay = False
        self._fresh = QTimer(self)
        self._fresh.setSingleShot(True)
        self._fresh.setInterval(STAYS_MS)
        self._fresh.timeout.connect(self._stale)
        self._label = QLabel()
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._keys = QLabel(keys)
        self._keys.setObjectName("quiet")
        self._keys.setFont(theme.scaled(self._keys.font(), 0.86))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2, 3, 2, 5)
        layout.addWidget(self._label, 1)
        layout.addWidget(self._keys)

    def text(self) -> str:
        """Return what stands in the line."""
        return self._whole

    def say(self, text: str, *, of_bay: bool = False) -> None:
        """Say something; screen readers are told. What is true *of_bay* alone goes with the bay."""
        self._hint_is_newer, self._of_bay = False, of_bay
        self._fresh.start()
        self._show(text, quiet=False)
        if text:
            QAccessible.updateAccessibility(QAccessibleEvent(self._label, QAccessible.Event.Alert))

    def forget(self) -> None:
        """Escape: what was said is over, the hint of the current cell comes back."""
        self._fresh.stop()
        self._show(self._hint, quiet=True)

    def leave_bay(self) -> None:
        """Another bay opens: what was said of the one before must not stand under it."""
        if self._of_bay:
            self.forget()

    def hint(self, text: str) -> None:
        """Show what belongs to the current cell, at once or when the last word has been read."""
        self._hint, self._hint_is_newer = text, True
        if not self._fresh.isActive():
            self._show(text, quiet=True)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the text anew."""
        super().resizeEvent(event)
        self._cut()

    def _stale(self) -> None:
        if self._hint_is_newer:
            self._show(self._hint, quiet=True)

    def _show(self, text: str, *, quiet: bool) -> None:
        self._whole = text
        self._label.setObjectName("quiet" if quiet else "heading")
        self._label.style().unpolish(self._label)
        self._label.style().polish(self._label)
        self._label.setToolTip(text)
        self._label.setAccessibleName(text)
        self._quiet = quiet
        self._cut()

    def _cut(self) -> None:
        keys = self._keys.sizeHint().width() + 8
        self._keys.setVisible(self._quiet and 2 * keys < self.width())
        room = max(0, self.width() - (keys if self._keys.isVisibleTo(self) else 0) - 8)
        self._label.setText(
            self._label.fontMetrics().elidedText(self._whole, Qt.TextElideMode.ElideRight, room)
        )
