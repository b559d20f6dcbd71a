"""The list of due jobs with its filters and the sum of hours."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.actions.jobs import Job
from bayround.facts.farm import Person
from bayround.facts.work import JobKind
from bayround.week.snapshot import WeekSnapshot
from bayround.window.jobs.job_table import JOB_COLUMNS, JobFilter, JobTableModel
from bayround.window.parts.explain import explain
from bayround.window.parts.whole_table import WholeTable, roomy_list
from bayround.words import _


class _Table(WholeTable):
    """A table in which Enter goes on to the job's buttons and F4 explains the cell."""

    opened = Signal()
    asked_why = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter and F4; the rest is the table's own."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.opened.emit()
        elif event.key() == Qt.Key.Key_F4:
            self.asked_why.emit()
        else:
            super().keyPressEvent(event)


class JobList(QWidget):
    """Filters by person, kind, state and words; shows the hours of what is listed.

    Attributes:
        moved: the cursor stands on another job (or on none).
        opened: Enter was pressed on a job.
    """

    moved = Signal()
    opened = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = JobTableModel()
        self.person = _choice(_("Jobs of"))
        self.kind = _choice(_("Kind of job"))
        self.kind.addItem(_("All kinds"), "")
        for kind in JobKind:
            self.kind.addItem(_(kind.value.capitalize()), kind.value)
        self.person.addItem(_("Everybody"), "")
        self.order = _choice(_("Order of jobs"))
        self.order.addItem(_("Urgent first"), "")
        self.order.addItem(_("By day and bay"), "day")
        self.finished = QCheckBox(_("Done and skipped &too"))
        self.filter = QLineEdit()
        self.filter.setPlaceholderText(_("Filter jobs  (Ctrl+F)"))
        self.filter.setAccessibleName(_("Filter jobs"))
        self.filter.setClearButtonEnabled(True)
        self.sum = QLabel()
        self.sum.setWordWrap(True)
        self._as_of = ""
        self.sum.setObjectName("heading")
        self.table = self._build_table()
        for choice in (self.person, self.kind, self.order):
            choice.currentIndexChanged.connect(self._narrow)
        self.finished.toggled.connect(self._narrow)
        self.filter.textChanged.connect(self._narrow)
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.filter, 1)
        for part in (self.person, self.kind, self.finished):
            top.addWidget(part)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.table, 1)
        below = QHBoxLayout()
        below.addWidget(self.sum, 1)
        below.addWidget(self.order)
        layout.addLayout(below)

    @property
    def current(self) -> Job | None:
        """The job under the cursor."""
        return self.model.job(self.table.currentIndex().row())

    def show_jobs(self, snapshot: WeekSnapshot, key: str = "") -> None:
        """Show the jobs of a picture in working order, with the cursor on one of them."""
        jobs = snapshot.jobs
        self._as_of = _("As of {day}").format(day=words.weekday_day(snapshot.as_of))
        kept = key or (self.current.key if self.current else "")
        below = self._key_below(kept)
        self._show_people(snapshot.people)
        self.model.show(jobs, [bay.bay.id for bay in snapshot.bays])
        if key and self.model.row_of(key) < 0 and any(job.key == key for job in jobs):
            self._open_filters()
        self.table.fit()
        self._choose(kept if self.model.row_of(kept) >= 0 else below)
        self.sum.setText(f"{hours_text(self.model.listed)} · {self._as_of}")

    def _key_below(self, key: str) -> str:
        """Return the key of the job below another one, to go on with when that one leaves the list."""
        row = self.model.row_of(key)
        job = self.model.job(row + 1) or self.model.job(row - 1)
        return job.key if job else ""

    def _build_table(self) -> _Table:
        table = _Table()
        table.setModel(self.model)
        table.wraps = {place: column.wraps for place, column in enumerate(JOB_COLUMNS) if column.wraps}
        table.left_out = [place for place, column in enumerate(JOB_COLUMNS) if column.beside]
        table.setAccessibleName(_("Jobs due"))
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        table.setTabKeyNavigation(False)
        table.verticalHeader().hide()
        table.horizontalHeader().setHighlightSections(False)
        table.horizontalHeader().setStretchLastSection(True)
        table.opened.connect(self.opened)
        table.asked_why.connect(self._explain)
        table.selectionModel().currentRowChanged.connect(self._moved)
        return table

    def _show_people(self, people: Sequence[Person]) -> None:
        chosen = self.person.currentData()
        self.person.blockSignals(True)
        self.person.clear()
        self.person.addItem(_("Everybody"), "")
        self.person.addItem(_("Given to nobody"), "nobody")
        for person in people:
            self.person.addItem(person.name, person.id)
        self.person.setCurrentIndex(max(self.person.findData(chosen), 0))
        self.person.blockSignals(False)
        roomy_list(self.person)

    def _open_filters(self) -> None:
        for choice in (self.person, self.kind):
            choice.setCurrentIndex(0)
        self.filter.clear()
        self.finished.setChecked(True)

    def _narrow(self) -> None:
        kept = self.current.key if self.current else ""
        self.model.narrow(
            JobFilter(
                str(self.person.currentData() or ""),
                str(self.kind.currentData() or ""),
                not self.finished.isChecked(),
                self.filter.text(),
                bool(self.order.currentData()),
            )
        )
        self.table.fit()
        self._choose(kept)
        self.sum.setText(f"{hours_text(self.model.listed)} · {self._as_of}")
        self.moved.emit()

    def _choose(self, key: str) -> None:
        row = max(self.model.row_of(key), 0)
        if self.model.rowCount():
            self.table.setCurrentIndex(self.model.index(row, 0))

    def _moved(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self.moved.emit()

    def _explain(self) -> None:
        figure = self.model.figure_at(self.table.currentIndex())
        if figure is not None:
            explain(figure, self)


def hours_text(jobs: Sequence[Job]) -> str:
    """Return how many jobs are listed and the hours they take, from the exact values."""
    known = [job.hours.value for job in jobs if job.hours.value is not None]
    text = words.counted("{n} job", "{n} jobs", len(jobs))
    text += " · " + _("{hours} h of work").format(hours=words.number(sum(known), 1))
    left = len(jobs) - len(known)
    return text + (" · " + _("{n} without an estimate").format(n=left) if left else "")


def _choice(name: str) -> QComboBox:
    choice = QComboBox()
    choice.setAccessibleName(name)
    return choice
