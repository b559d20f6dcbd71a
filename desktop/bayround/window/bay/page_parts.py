"""What the further pages of the Bay screen are made of: a scrolling column, labels, headings."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QScrollArea, QVBoxLayout, QWidget

from bayround.actions.insight import BayInsight
from bayround.window.desk import Desk


class BayPage(QScrollArea):
    """Base of the further pages: shows one `BayInsight`; scrolls when there is not enough room."""

    title = ""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.insight: BayInsight | None = None
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        page = QWidget()
        self.column = QVBoxLayout(page)
        self.column.setContentsMargins(8, 12, 8, 8)
        self.column.setSpacing(8)
        self.setWidget(page)

    def show_insight(self, insight: BayInsight) -> None:
        """Show a bay."""
        self.insight = insight


def text_label(text: str = "", name: str = "") -> QLabel:
    """Return a label that breaks its lines and can be copied from."""
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setObjectName(name)
    return label
