"""A box with the usual cautions: a sign, a heading and one line for each."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from bayround.words import _


class CautionBox(QFrame):
    """Shows cautions that can't be put away."""

    def __init__(self, lines: Sequence[str], heading: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("caution")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 4, 12, 4)
        layout.setSpacing(4)
        title = QLabel(f"▲ {heading or _('Caution')}")
        title.setObjectName("heading")
        layout.addWidget(title)
        for line in lines:
            text = QLabel(_(line))
            text.setWordWrap(True)
            text.setTextFormat(Qt.TextFormat.PlainText)
            layout.addWidget(text)
        self.setAccessibleName(" ".join(_(line) for line in lines))
