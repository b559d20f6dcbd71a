"""What merging another farm file would bring, before anything is changed."""

from __future__ import annotations

from pathlib import Path

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

from bayround.actions.conflict_words import ConflictWords
from bayround.actions.merge import MergeReport
from bayround.words import _, counted


class MergeDialog(QDialog):
    """Accepted when the person wants the merge."""

    def __init__(self, report: MergeReport, path: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Merge"))
        self.setMinimumWidth(860)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        heading = QLabel(_("What “{file}” brings").format(file=path.name))
        heading.setObjectName("heading")
        layout.addWidget(heading)
        for line in (*report.lines, *report.doubled):
            label = QLabel(line)
            label.setWordWrap(True)
            layout.addWidget(label)
        if report.conflicts:
            count = len(report.conflicts)
            layout.addWidget(QLabel(counted("{n} field differs; you decide after the merge:",
                                            "{n} fields differ; you decide after the merge:", count)))  # fmt: skip
            layout.addWidget(conflict_table(report.conflicts), 1)
        after = QLabel(_("A verified backup is made first. The other file stays as it is."))
        after.setWordWrap(True)
        layout.addWidget(after)
        layout.addLayout(self._buttons(report.anything))
        self.setAccessibleName(heading.text())
        self.setAccessibleDescription(" ".join(report.lines))

    def _buttons(self, anything: bool) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        cancel = QPushButton(_("Cancel") if anything else _("&Close"))
        cancel.clicked.connect(self.reject)
        row.addWidget(cancel)
        self.merge = QPushButton(_("&Merge"))
        self.merge.setEnabled(anything)
        self.merge.setDefault(anything)
        self.merge.setProperty("main", True)
        self.merge.clicked.connect(self.accept)
        row.addWidget(self.merge)
        return row


def conflict_table(conflicts: tuple[ConflictWords, ...]) -> QTableWidget:
    """Return a table with one line a conflict and the values side by side."""
    most = max(len(conflict.values) for conflict in conflicts)
    table = QTableWidget(len(conflicts), 2 + most)
    table.setAccessibleName(_("Fields that differ"))
    table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
    table.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
    table.verticalHeader().hide()
    table.setHorizontalHeaderLabels(
        [_("Where"), _("Field"), *(_("Value {n}").format(n=place + 1) for place in range(most))]
    )
    for line, conflict in enumerate(conflicts):
        cells = [conflict.where, conflict.field]
        cells += [f"{value or _('(empty)')}\n{told}".strip() for value, told in conflict.values]
        for column, text in enumerate(cells):
            item = QTableWidgetItem(text)
            item.setToolTip(text)
            table.setItem(line, column, item)
    table.setWordWrap(True)
    table.horizontalHeader().setHighlightSections(False)
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
    table.resizeRowsToContents()
    table.setMinimumHeight(min(320, 60 + 44 * len(conflicts)))
    return table
