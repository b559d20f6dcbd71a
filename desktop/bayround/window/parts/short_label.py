"""A label on one line that gives way when room is short; the tool tip and screen readers have all of it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel

_LEAST = 144


class ShortLabel(QLabel):
    """Shows as much of its text as there is room for."""

    def setText(self, text: str) -> None:
        """Show a text."""
        super().setText(text)
        self.setToolTip(text)

    def minimumSizeHint(self) -> QSize:
        """Ask for little; a short text asks for less."""
        wanted = super().minimumSizeHint()
        return QSize(min(wanted.width(), _LEAST), wanted.height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the text, with three dots where it had to be cut."""
        painter = QPainter(self)
        shown = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(self.rect(), self.alignment() | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()
