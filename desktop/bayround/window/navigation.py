"""The rail at the left: one button a screen, in words and a drawing, from Ctrl+1 on; the tenth is Ctrl+0."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QApplication,
    QButtonGroup,
    QFrame,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from bayround.window import icons, theme
from bayround.words import _

PAGES: tuple[tuple[str, str], ...] = (
    ("week", "Week"),
    ("visit", "Visit"),
    ("bay", "Bay"),
    ("jobs", "Jobs"),
    ("farm", "Farm"),
)
PAGES += (("treatments", "Treatments"), ("picks", "Picks"))
PAGES += (("profiles", "Numbers"),)
PAGES += (("trials", "Trials"),)
PAGES += (("season", "Season"),)

_NARROWEST, _WIDER = 96, 24


class Rail(QFrame):
    """Tells which screen is wanted; the window decides whether it may change.

    Attributes:
        wanted: the name of a screen.
    """

    wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("rail")
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self.buttons: dict[str, QToolButton] = {}
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 8, 4, 8)
        layout.setSpacing(4)
        for number, (name, title) in enumerate(PAGES, start=1):
            button = QToolButton()
            button.setText(_(title))
            button.setAccessibleName(_(title))
            button.setToolTip(f"{_(title)} (Ctrl+{number % 10})")
            button.setCheckable(True)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
            button.setIconSize(QSize(28, 28))
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            button.setMinimumHeight(56)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(lambda _checked=False, name=name: self.wanted.emit(name))
            self._group.addButton(button)
            self.buttons[name] = button
            layout.addWidget(button)
        layout.addStretch(1)
        self.draw()

    def draw(self) -> None:
        """Draw the icons in the colours of the look, and make room for the longest title in its type."""
        look = theme.now()
        measure = QFontMetrics(theme.scaled(QApplication.font(), 1.0, bold=True))
        widest = max(measure.horizontalAdvance(button.text()) for button in self.buttons.values())
        self.setFixedWidth(max(_NARROWEST, widest + _WIDER))
        for name, button in self.buttons.items():
            button.setIcon(icons.icon(name, look.on_rail, look.accent))

    def show_page(self, name: str) -> None:
        """Show which screen is up; none of them for a screen that is not on the rail."""
        self._group.setExclusive(name in self.buttons)
        for page, button in self.buttons.items():
            button.setChecked(page == name)
