"""An empty screen that says what to do next and offers it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.window import theme


class EmptyState(QWidget):
    """What there is nothing of, what to do about it, and one button that does it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = QLabel()
        self.text = QLabel()
        self.button = QPushButton()
        self.button.setProperty("main", True)
        self._act: Callable[[], None] | None = None
        self.button.clicked.connect(self._pressed)
        self.heading.setFont(theme.scaled(self.font(), 1.4, bold=True))
        layout = QVBoxLayout(self)
        layout.setSpacing(16)
        layout.addStretch(2)
        for label in (self.heading, self.text):
            label.setWordWrap(True)
            label.setMinimumWidth(self.fontMetrics().averageCharWidth() * 62)
            layout.addWidget(label, 0, Qt.AlignmentFlag.AlignHCenter)
        self.heading.setAlignment(Qt.AlignmentFlag.AlignCenter)
        layout.addWidget(self.button, 0, Qt.AlignmentFlag.AlignCenter)
        layout.addStretch(3)

    def say(self, heading: str, text: str, button: str = "", act: Callable[[], None] | None = None) -> None:
        """Show a heading, what to do next, and a button where there is something to press."""
        self.heading.setText(heading)
        self.text.setText(text)
        is_list = "\n" in text
        self.text.setAlignment(Qt.AlignmentFlag.AlignLeft if is_list else Qt.AlignmentFlag.AlignCenter)
        self.button.setText(button)
        self.button.setVisible(bool(button))
        self._act = act

    def _pressed(self) -> None:
        if self._act is not None:
            self._act()
