"""A list of things to tick, by mouse or by keys: Space ticks, Ctrl+A ticks all."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

_KEY = Qt.ItemDataRole.UserRole
_TARGET = 24  # pixels: WCAG 2.2, success criterion 2.5.8 (AA)


class CheckList(QListWidget):
    """Shows (key, text) lines, some of them ticked.

    Attributes:
        edited: something was ticked or unticked.
    """

    edited = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setUniformItemSizes(True)
        self.itemChanged.connect(lambda _item: self.edited.emit())

    def show_lines(self, lines: Sequence[tuple[str, str]], ticked: Collection[str] = ()) -> None:
        """Show these lines with some ticked."""
        self.blockSignals(True)
        self.clear()
        for key, text in lines:
            item = QListWidgetItem(text)
            item.setData(_KEY, key)
            flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
            item.setFlags(flags | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if key in ticked else Qt.CheckState.Unchecked)
            item.setSizeHint(QSize(0, max(_TARGET, self.fontMetrics().height() + 8)))
            self.addItem(item)
        self.setCurrentRow(0)
        self.blockSignals(False)

    @property
    def ticked(self) -> tuple[str, ...]:
        """The keys of the lines that are ticked, from top to bottom."""
        items = (self.item(row) for row in range(self.count()))
        return tuple(str(item.data(_KEY)) for item in items if item.checkState() is Qt.CheckState.Checked)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+A ticks all (or none, when all are); Enter is left to the form."""
        if event.key() == Qt.Key.Key_A and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            items = [self.item(row) for row in range(self.count())]
            every = all(item.checkState() is Qt.CheckState.Checked for item in items)
            for item in items:
                item.setCheckState(Qt.CheckState.Unchecked if every else Qt.CheckState.Checked)
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            event.ignore()
        else:
            super().keyPressEvent(event)
