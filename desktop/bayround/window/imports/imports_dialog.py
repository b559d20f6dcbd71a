"""The imports so far, each of which can be taken back whole."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.actions.imports.preview_words import Import
from bayround.words import _


class ImportsDialog(QDialog):
    """`wanted` carries the number of the import to take back."""

    wanted = Signal(int)

    def __init__(self, found: Sequence[Import], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Take back an import"))
        self.setMinimumSize(680, 340)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        heading = QLabel(_("What was brought in"))
        heading.setObjectName("heading")
        self.list = QListWidget()
        self.list.setAccessibleName(heading.text())
        self.list.setWordWrap(True)
        self.list.currentItemChanged.connect(lambda _now, _before: self._allow())
        rest = QLabel(
            _("Taking back removes what the import brought, and sets back what it changed. What was typed since stays; "
              "the history keeps all it said.")
        )  # fmt: skip
        rest.setWordWrap(True)
        layout.addWidget(heading)
        layout.addWidget(self.list, 1)
        layout.addWidget(rest)
        layout.addLayout(self._buttons())
        self.show_imports(found)
        self.list.setFocus()

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        self.back = QPushButton(_("&Take back"))
        self.back.setAutoDefault(False)
        self.back.clicked.connect(self._want)
        close = QPushButton(_("&Close"))
        close.setDefault(True)
        close.clicked.connect(self.accept)
        row.addWidget(self.back)
        row.addWidget(close)
        return row

    def show_imports(self, found: Sequence[Import]) -> None:
        """Show the imports, the newest first; those taken back can't be taken back again."""
        self.list.clear()
        for one in found:
            item = QListWidgetItem(one.line)
            item.setData(Qt.ItemDataRole.UserRole, one.number)
            if one.batch.taken_back_at is not None:
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEnabled)
            self.list.addItem(item)
        if not found:
            self.list.addItem(_("Nothing was brought in so far."))
        self.list.setCurrentRow(0)
        self._allow()

    def _number(self) -> int | None:
        item = self.list.currentItem()
        enabled = item is not None and bool(item.flags() & Qt.ItemFlag.ItemIsEnabled)
        return item.data(Qt.ItemDataRole.UserRole) if enabled else None

    def _allow(self) -> None:
        self.back.setEnabled(self._number() is not None)

    def _want(self) -> None:
        number = self._number()
        if number is not None:
            self.wanted.emit(number)
