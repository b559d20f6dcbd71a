"""Fields on which laptops disagree, side by side; the person says which value holds, and why."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QVBoxLayout,
    QWidget,
)

from bayround.actions.conflict_words import ConflictWords
from bayround.window.parts.merge_dialog import conflict_table
from bayround.words import _


class ConflictDialog(QDialog):
    """Stays open until the last one is decided or the person closes it; what is left waits.

    Attributes:
        decided: (number of the conflict, value, reason) was decided.
    """

    decided = Signal(int, str, str)

    def __init__(self, conflicts: tuple[ConflictWords, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Decide between laptops"))
        self.setMinimumWidth(860)
        self.conflicts: tuple[ConflictWords, ...] = ()
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(24, 24, 24, 16)
        self._layout.setSpacing(12)
        self.heading = QLabel()
        self.heading.setObjectName("heading")
        self._layout.addWidget(self.heading)
        about = QLabel(
            _("The first value is shown everywhere until you decide. The other ones stay in the history.")
        )
        about.setWordWrap(True)
        self._layout.addWidget(about)
        self.table: QTableWidget | None = None
        form = QFormLayout()
        self.value, self.reason = QComboBox(), QLineEdit()
        self.value.setAccessibleName(_("Value that holds"))
        self.reason.setAccessibleName(_("Reason"))
        self.reason.setPlaceholderText(_("for example: asked the scout, measured again"))
        form.addRow(_("&Value that holds"), self.value)
        form.addRow(_("&Reason"), self.reason)
        self._layout.addLayout(form)
        self._layout.addLayout(self._buttons())
        self.reason.textChanged.connect(self._allow)
        self.show_conflicts(conflicts)

    def show_conflicts(self, conflicts: tuple[ConflictWords, ...]) -> None:
        """Show what is left to decide; close when nothing is."""
        self.conflicts = conflicts
        if not conflicts:
            self.accept()
            return
        self.heading.setText(_("{n} to decide").format(n=len(conflicts)))
        table = conflict_table(conflicts)
        if self.table is None:
            self._layout.insertWidget(2, table, 1)
        else:
            self._layout.replaceWidget(self.table, table)
            self.table.deleteLater()
        self.table = table
        table.currentCellChanged.connect(lambda *_places: self._show_choice())
        table.setCurrentCell(0, 0)
        self._show_choice()
        table.setFocus()

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        later = QPushButton(_("&Later"))
        later.setAutoDefault(False)
        later.clicked.connect(self.reject)
        row.addWidget(later)
        self.hold = QPushButton(_("&Let this value hold"))
        self.hold.setDefault(True)
        self.hold.setProperty("main", True)
        self.hold.clicked.connect(self._decide)
        row.addWidget(self.hold)
        return row

    def _number(self) -> int:
        return max(0, self.table.currentRow()) if self.table is not None else 0

    def _show_choice(self) -> None:
        conflict = self.conflicts[self._number()]
        self.value.clear()
        for text, (shown, told) in zip(conflict.conflict.values, conflict.values, strict=True):
            self.value.addItem(f"{shown or _('(empty)')}  {told}".strip(), text)
        self.reason.clear()
        self._allow()

    def _allow(self) -> None:
        self.hold.setEnabled(bool(self.reason.text().strip()))

    def _decide(self) -> None:
        self.decided.emit(self._number(), str(self.value.currentData()), self.reason.text().strip())
