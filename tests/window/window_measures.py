"""What can be measured of what shows: names, roles and sizes of controls, letters of Alt."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QKeySequence
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QHeaderView,
    QLabel,
    QScrollBar,
    QTabBar,
    QWidget,
)

SMALL = 24  # pixels: WCAG 2.2, success criterion 2.5.8 (AA), target size (minimum)
NO_ROLE = {QAccessible.Role.NoRole, QAccessible.Role.Client, QAccessible.Role.Window}


def controls(window: QWidget) -> list[QWidget]:
    """Return every part that shows and takes the keyboard itself."""
    return [
        part
        for part in window.findChildren(QWidget)
        if part.isVisible()
        and part.focusPolicy() & Qt.FocusPolicy.TabFocus
        and part.focusProxy() is None
        and not isinstance(part, QScrollBar | QHeaderView)
        and not (isinstance(part.parent(), QComboBox) and not part.accessibleName())
    ]


def name_of(part: QWidget) -> str:
    """Return the name a screen reader says; a choice's own text is its value, not its name."""
    if isinstance(part, QComboBox):
        return part.accessibleName()
    known = QAccessible.queryAccessibleInterface(part)
    return known.text(QAccessible.Text.Name) if known is not None else ""


def has_role(part: QWidget) -> bool:
    """Tell whether a screen reader is told what kind of thing a part is."""
    known = QAccessible.queryAccessibleInterface(part)
    return known is not None and known.role() not in NO_ROLE


def letters(root: QWidget, only_visible: bool) -> Iterator[tuple[str, str]]:
    """Yield (Alt+letter, text) of every button, label of a field and tab under *root*."""
    for part in root.findChildren(QWidget):
        texts: list[str] = []
        if only_visible and not part.isVisible():
            continue
        if isinstance(part, QAbstractButton) or (isinstance(part, QLabel) and part.buddy() is not None):
            texts = [part.text()]
        elif isinstance(part, QTabBar):
            texts = [part.tabText(place) for place in range(part.count())]
        for text in texts:
            if key := QKeySequence.mnemonic(text).toString():
                yield key, text
