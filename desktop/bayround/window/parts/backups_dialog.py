"""The backups of the farm, what each holds, and what restoring one would change."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from bayround.actions.backups import BackupWords
from bayround.words import _


class BackupsDialog(QDialog):
    """Accepted when the person wants the chosen one restored.

    Attributes:
        looked_at: another backup was chosen; hand what restoring it would change to `show_preview`.
    """

    looked_at = Signal(int)

    def __init__(self, file_name: str, found: tuple[BackupWords, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Backups"))
        self.setMinimumSize(860, 560)
        self.found = found
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        text = _("Backups of “{file}”: {n}") if found else _("There is no backup of “{file}” yet.")
        heading = _label(text.format(file=file_name, n=len(found)))
        heading.setObjectName("heading")
        layout.addWidget(heading)
        layout.addWidget(
            _label(_("One is made when the farm is opened, after half an hour of changes, and with Ctrl+B."))
        )
        self.table = _table(found)
        layout.addWidget(self.table, 2)
        self.preview_heading = _label(_("What restoring it would change"))
        self.preview_heading.setObjectName("heading")
        self.preview = _label("")
        for label in (self.preview_heading, self.preview):
            label.setVisible(bool(found))
            layout.addWidget(label)
        layout.addStretch(1)
        layout.addWidget(
            _label(_("The farm file as it is now is kept aside under another name; every backup stays."))
        )
        layout.addLayout(self._buttons())
        self.setAccessibleName(heading.text())
        self.table.currentCellChanged.connect(lambda row, *_others: self._look(row))
        if found:
            self.table.setCurrentCell(0, 0)
        self.table.setFocus()

    @property
    def chosen(self) -> int:
        """The number of the chosen backup."""
        return max(0, self.table.currentRow())

    def show_preview(self, number: int, lines: tuple[str, ...], possible: bool) -> None:
        """Show what restoring one would change; *possible* when it is sound."""
        if number == self.chosen:
            self.preview.setText("\n".join(lines))
            self.preview.setAccessibleName(" ".join(lines))
            self.restore.setEnabled(possible)

    def _look(self, row: int) -> None:
        self.restore.setEnabled(False)
        self.preview.setText(_("Looking …"))
        if 0 <= row < len(self.found):
            self.looked_at.emit(row)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        close = QPushButton(_("&Close"))
        close.setAutoDefault(False)
        close.clicked.connect(self.reject)
        row.addWidget(close)
        self.restore = QPushButton(_("&Restore this backup"))
        self.restore.setEnabled(False)
        self.restore.setAutoDefault(False)  # Enter alone must not swap the farm
        self.restore.clicked.connect(self.accept)
        row.addWidget(self.restore)
        return row


def _table(found: tuple[BackupWords, ...]) -> QTableWidget:
    titles = (
        _("Made"),
        _("Revision"),
        _("Bays"),
        _("Visits"),
        _("Readings"),
        _("Corrections"),
        _("Last round"),
    )
    table = QTableWidget(len(found), len(titles))
    table.setAccessibleName(_("Backups, newest first"))
    table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
    table.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
    table.setTabKeyNavigation(False)
    table.verticalHeader().hide()
    table.setHorizontalHeaderLabels(titles)
    for line, backup in enumerate(found):
        counts = (backup.bays, backup.visits, backup.readings, backup.corrections)
        cells = [backup.made_text, str(backup.revision), *("–" if n is None else str(n) for n in counts)]
        cells.append(backup.last_round if backup.readable else _("can't be read"))
        for column, text in enumerate(cells):
            item = QTableWidgetItem(text)
            item.setToolTip(backup.path.name)
            if 0 < column < len(cells) - 1:
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            table.setItem(line, column, item)
    table.horizontalHeader().setHighlightSections(False)
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
    return table


def _label(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label
