"""F1: what to do on this screen and the keys that do it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.window import help as help_texts
from bayround.window import theme
from bayround.words import _


class HelpDialog(QDialog):
    """The help of one screen; Escape or Enter closes it."""

    def __init__(self, screen: str, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Help"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        found = help_texts.of_screen(screen)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        heading = QLabel(title)
        heading.setFont(theme.scaled(self.font(), 1.4, bold=True))
        next_step = QLabel(found.next_step)
        next_step.setWordWrap(True)
        layout.addWidget(heading)
        layout.addWidget(next_step)
        keys = QHBoxLayout()
        keys.setSpacing(32)
        keys.addLayout(_keys(_("On this screen"), found.keys))
        keys.addLayout(_keys(_("Everywhere"), help_texts.everywhere()))
        layout.addLayout(keys)
        close = QPushButton(_("&Close"))
        close.setDefault(True)
        close.clicked.connect(self.accept)
        layout.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self.setAccessibleDescription(found.next_step)


def _keys(title: str, keys: Sequence[tuple[str, str]]) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(16)
    grid.setVerticalSpacing(8)
    heading = QLabel(title)
    heading.setObjectName("heading")
    grid.addWidget(heading, 0, 0, 1, 2)
    for row, (key, does) in enumerate(keys, start=1):
        left, right = QLabel(key), QLabel(does)
        left.setObjectName("heading")
        right.setWordWrap(True)
        right.setMinimumWidth(220)
        grid.addWidget(left, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(right, row, 1, Qt.AlignmentFlag.AlignTop)
    grid.setRowStretch(len(keys) + 1, 1)
    return grid
