"""A calm message: a heading, what follows from it, Close; for a fault of the program also Copy."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.words import _

_WIDTH = 440


class MessageDialog(QDialog):
    """Shown with ``open()``: it waits for no one and blocks only the window behind it."""

    def __init__(
        self, title: str, heading: str, rest: str, parent: QWidget | None = None, copy: str = ""
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(_WIDTH)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._copy = copy
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        self.heading = _label(heading)
        self.heading.setObjectName("heading")
        self.rest = _label(rest)
        layout.addWidget(self.heading)
        if rest:
            layout.addWidget(self.rest)
        layout.addStretch(1)
        layout.addLayout(self._buttons())
        self.resize(_WIDTH, layout.totalHeightForWidth(_WIDTH))
        self.setAccessibleName(heading)
        self.setAccessibleDescription(rest)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        if self._copy:
            copy = QPushButton(_("C&opy"))
            copy.setAccessibleName(_("Copy a note for the people who look after the program"))
            copy.setAutoDefault(False)
            copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(self._copy))
            row.addWidget(copy)
        close = QPushButton(_("&Close"))
        close.setDefault(True)
        close.clicked.connect(self.accept)
        row.addWidget(close)
        close.setFocus()
        return row


def _label(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
