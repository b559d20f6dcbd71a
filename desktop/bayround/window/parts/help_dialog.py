"""F1: what to do on this screen and the keys that do it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bayround.window import help as help_texts
from bayround.window import theme
from bayround.window.parts.pane import Pane
from bayround.words import _

Keys = Sequence[tuple[str, str]]

_LETTERS = 38


class HelpDialog(QDialog):
    """The help of one screen beside the keys of the menus; arrow keys scroll, Escape or Enter closes it."""

    def __init__(self, screen: str, title: str, everywhere: Keys, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Help"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        found = help_texts.of_screen(screen)
        tab = (_("Tab, Shift+Tab"), _("To the next part of the screen and back"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 16, 24, 16)
        layout.setSpacing(12)
        heading = QLabel(title)
        heading.setFont(theme.scaled(self.font(), 1.4, bold=True))
        next_step = QLabel(found.next_step)
        next_step.setWordWrap(True)
        self.keys = _scrolled(
            _keys(_("On this screen"), found.keys), _keys(_("Everywhere"), (*everywhere, tab))
        )
        close = QPushButton(_("&Close"))
        close.setDefault(True)
        close.clicked.connect(self.accept)
        for part in (heading, next_step, self.keys):
            layout.addWidget(part)
        layout.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self.setAccessibleDescription(found.next_step)
        self._take_room(parent)

    def _take_room(self, parent: QWidget | None) -> None:
        """Become as large as the keys, no larger than the window; what does not fit scrolls."""
        inside = self.keys.widget()
        wanted = inside.sizeHint() if inside is not None else self.keys.sizeHint()
        self.keys.setMinimumWidth(wanted.width() + 16)
        hint = self.sizeHint()
        height = hint.height() - self.keys.sizeHint().height() + wanted.height() + 4
        self.resize(hint.width(), height if parent is None else min(height, parent.height() - 32))


def _scrolled(*columns: QGridLayout) -> QScrollArea:
    inside = QWidget()
    row = QHBoxLayout(inside)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(32)
    for column in columns:
        row.addLayout(column)
    area = Pane(_("Keys"), inside)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area


def _keys(title: str, keys: Keys) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(16)
    grid.setVerticalSpacing(6)
    heading = QLabel(title)
    heading.setObjectName("heading")
    grid.addWidget(heading, 0, 0, 1, 2)
    for row, (key, does) in enumerate(keys, start=1):
        left, right = QLabel(key), QLabel(does)
        left.setObjectName("heading")
        right.setWordWrap(True)
        right.setFixedWidth(_LETTERS * right.fontMetrics().averageCharWidth())
        right.setFixedHeight(right.heightForWidth(right.width()))
        grid.addWidget(left, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(right, row, 1, Qt.AlignmentFlag.AlignTop)
    grid.setRowStretch(len(keys) + 1, 1)
    return grid
