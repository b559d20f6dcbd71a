"""Asks for the reason of a correction: the usual ones with the arrow keys, or any few words."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QWidget

from bayround.actions.corrections import USUAL_REASONS
from bayround.window import theme
from bayround.window.parts.ask_line import AskLine
from bayround.words import _

_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}


class ReasonLine(AskLine):
    """Up and Down put the usual reasons into the line."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line.setAccessibleName(_("Reason for the corrections of this bay"))
        self.reasons = [_(reason) for reason in USUAL_REASONS]
        usual = QLabel(_("↓ ↑  {reasons}").format(reasons=" · ".join(self.reasons)))
        usual.setObjectName("quiet")
        usual.setFont(theme.scaled(usual.font(), 0.86))
        layout = self.layout()
        if layout is not None:
            layout.setContentsMargins(8, 4, 8, 4)
            layout.setSpacing(4)
            layout.addWidget(usual)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrow keys choose; Enter keeps, Escape leaves."""
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        text = self.line.text()
        here = self.reasons.index(text) if text in self.reasons else (-1 if step > 0 else 0)
        self.line.setText(self.reasons[(here + step) % len(self.reasons)])
