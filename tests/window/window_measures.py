"""What can be measured of what shows: names, roles and sizes of controls, text that is cut off, letters of Alt."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible, QFontMetrics, QFontMetricsF, QKeySequence
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QHeaderView,
    QLabel,
    QScrollBar,
    QTabBar,
    QTableView,
    QWidget,
)

from bayround.window.parts.short_label import ShortLabel

LARGE_POINTS = 12
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


def cut_labels(window: QWidget) -> list[str]:
    """Return the texts of labels, buttons and choices that do not have the room they need."""
    cut = []
    for part in window.findChildren(QLabel):
        if not part.isVisible() or not part.text() or part.pixmap().width():
            continue
        if isinstance(part, ShortLabel) and QApplication.font().pointSizeF() > LARGE_POINTS:
            continue  # gives way in large type on a small screen; its tool tip has all of it
        needed = part.heightForWidth(part.width()) if part.wordWrap() else part.sizeHint().height()
        too_wide = not part.wordWrap() and part.sizeHint().width() > part.width() + 1
        if too_wide or needed > part.height() + 1:
            cut.append(part.text())
    for button in window.findChildren(QAbstractButton):
        if button.isVisible() and button.text() and button.sizeHint().width() > button.width() + 1:
            cut.append(button.text())
    for choice in window.findChildren(QComboBox):
        room = choice.width() - 36
        if choice.isVisible() and not choice.isEditable():
            wanted = QFontMetricsF(choice.font()).horizontalAdvance(choice.currentText())
            if wanted > room:
                cut.append(choice.currentText())
    return cut


def cut_headings(window: QWidget) -> list[str]:
    """Return the headings of tables that are cut off."""
    cut = []
    for table in _tables(window):
        header = table.horizontalHeader()
        for section in range(header.count()) if header.isVisible() else ():
            text = str(table.model().headerData(section, Qt.Orientation.Horizontal))
            wanted = max(QFontMetricsF(header.font()).horizontalAdvance(line) for line in text.split("\n"))
            if not table.isColumnHidden(section) and wanted + 12 > header.sectionSize(section):
                cut.append(text)
    return cut


def cut_cells(window: QWidget) -> list[str]:
    """Return the texts of cells in sight that are cut off and that no tool tip tells whole."""
    cut = []
    for table in _tables(window):
        measure, model = QFontMetrics(table.font()), table.model()
        last = table.rowAt(table.viewport().height() - 1)
        rows = range(max(table.rowAt(0), 0), (last if last >= 0 else model.rowCount() - 1) + 1)
        for row in rows:
            for column in range(model.columnCount()):
                index = model.index(row, column)
                text = str(index.data(Qt.ItemDataRole.DisplayRole) or "")
                room = table.visualRect(index)
                if not text or room.width() <= 0 or _fits(text, room, measure, wraps=table.wordWrap()):
                    continue
                if text not in str(index.data(Qt.ItemDataRole.ToolTipRole) or ""):
                    cut.append(text)
    return cut


def _fits(text: str, room: QRect, measure: QFontMetrics, *, wraps: bool) -> bool:
    if not wraps:
        return measure.horizontalAdvance(text) + 4 <= room.width()
    inside = QRect(0, 0, room.width() - 4, 10_000)
    needed = measure.boundingRect(inside, int(Qt.TextFlag.TextWordWrap), text)
    return needed.height() <= room.height() and needed.width() <= room.width()


def _tables(window: QWidget) -> list[QTableView]:
    return [table for table in window.findChildren(QTableView) if table.isVisible()]


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
