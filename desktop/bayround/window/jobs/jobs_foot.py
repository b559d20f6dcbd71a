"""Under the list of jobs: open work against the hours people have, and what became of finished jobs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.actions.jobs import Verdict, Verified
from bayround.week.snapshot import WeekSnapshot
from bayround.window.parts.figure_chips import FigureChips
from bayround.words import _

SIGNS = {Verdict.WORKED: "✓", Verdict.DID_NOT: "✕", Verdict.CANT_TELL: "?", Verdict.WAITS: "…"}
_CHIPS = ("hours_open", "hours_available", "workload_percent")


class JobsFoot(QWidget):
    """Chips that answer “how do you know?”, buttons to the finished jobs (Ctrl+J) and to the sheets to print.

    Attributes:
        wanted: the key of a job or a bay's id a person wants to go to.
    """

    wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chips = FigureChips()
        self.finished = QPushButton()
        self.to_print = QPushButton(_("P&rint sheets …"))
        self.to_print.setToolTip(_("Job sheets by person and day  (Ctrl+Shift+P)"))
        QShortcut(QKeySequence("Ctrl+J"), self).activated.connect(self.finished.click)
        self.finished.clicked.connect(self.open_finished)
        self._verified: tuple[Verified, ...] = ()
        self.dialog: FinishedDialog | None = None
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(self.chips, 1)
        layout.addWidget(self.to_print)
        layout.addWidget(self.finished)
        self.show_verified(())

    def show_week(self, snapshot: WeekSnapshot) -> None:
        """Show the workload of a picture."""
        figures = [snapshot.totals[key] for key in _CHIPS if key in snapshot.totals]
        self.chips.show_figures(figures, with_words=True)

    def show_verified(self, verified: Sequence[Verified]) -> None:
        """Show what became of the jobs finished lately."""
        self._verified = tuple(verified)
        count = Counter(one.verdict for one in verified)
        parts = [f"{SIGNS[verdict]} {count[verdict]}" for verdict in Verdict if count[verdict]]
        self.finished.setText(_("Finished jobs") + ("  " + "  ".join(parts) if parts else ""))
        told = ", ".join(f"{count[verdict]} {_(verdict.value)}" for verdict in Verdict if count[verdict])
        self.finished.setAccessibleName(_("Finished jobs: {told}").format(told=told or _("none")))
        self.finished.setToolTip(f"{told}  (Ctrl+J)" if told else "Ctrl+J")
        self.finished.setEnabled(bool(verified))

    def open_finished(self) -> None:
        """Open the list of finished jobs."""
        self.dialog = FinishedDialog(self._verified, self.window())
        self.dialog.open()


class FinishedDialog(QDialog):
    """Finished jobs, newest first, with what the next visit said of each; Escape closes."""

    def __init__(self, verified: Sequence[Verified], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Did it work?"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(min(1160, parent.width() - 48) if parent else 1000, 520)
        heads = (_("Did it work?"), _("Done"), _("Bay"), _("Job"), _("Hours"), _("By"), _("How it is known"))
        self.table = QTableWidget(len(verified), len(heads))
        self.table.setHorizontalHeaderLabels(heads)
        self.table.setAccessibleName(_("Finished jobs, newest first"))
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.table.setAlternatingRowColors(True)
        self.table.setShowGrid(False)
        self.table.setTabKeyNavigation(False)
        self.table.verticalHeader().hide()
        for row, one in enumerate(verified):
            for column, text in enumerate(_cells(one)):
                self.table.setItem(row, column, QTableWidgetItem(text))
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.setCurrentCell(0, 0)
        close = QPushButton(_("&Close"))
        close.clicked.connect(self.accept)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.addWidget(self.table, 1)
        layout.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)


def _cells(one: Verified) -> tuple[str, ...]:
    hours = words.MISSING if one.hours is None else words.number(one.hours, 1)
    return (
        f"{SIGNS[one.verdict]} {_(one.verdict.value)}",
        words.weekday_day(one.done_on),
        one.bay_name,
        one.kind_text,
        hours,
        one.done_by or words.MISSING,
        one.text,
    )
