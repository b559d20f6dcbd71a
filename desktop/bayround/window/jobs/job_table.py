"""The due jobs as a table model, in working order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from bayround import words
from bayround.actions.jobs import Job
from bayround.figures.figure import Figure
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex

_SIGNS = {1: "▲", 2: "●", 3: "○"}


@dataclass(frozen=True, slots=True)
class JobColumn:
    """A heading, the text of a job under it, whether it stands to the right.

    A column that *wraps* gives way to several lines, down to so many letters; one that stands *beside* the list too (in the job's panel) is
    left out when room is short.
    """

    heading: str
    text: Callable[[Job], str]
    right: bool = False
    wraps: int = 0
    beside: bool = False


JOB_COLUMNS = (
    JobColumn("Priority", lambda job: f"{_SIGNS[job.priority]} {job.priority_text}", wraps=8),
    JobColumn("Due", lambda job: job.due_text),
    JobColumn("Bay", lambda job: job.bay_name, wraps=20),
    JobColumn("Job", lambda job: job.kind_text),
    JobColumn("Hours", lambda job: job.hours.text, right=True),
    JobColumn("Given to", lambda job: job.assigned_to or words.MISSING, wraps=12),
    JobColumn(
        "Stopped by",
        lambda job: f"✕ {job.blocked_text}" if job.blocked_by else words.MISSING,
        wraps=22,
    ),
    JobColumn("State", lambda job: job.state_text, beside=True),
    JobColumn("Reason", lambda job: job.reason, wraps=30, beside=True),
)


@dataclass(frozen=True, slots=True)
class JobFilter:
    """Which jobs are listed, and whether by day and bay; an empty choice lets all through."""

    person_id: str = ""
    kind: str = ""
    only_open: bool = True
    text: str = ""
    by_day: bool = False

    def lets_through(self, job: Job) -> bool:
        """Tell whether a job is listed."""
        if self.person_id and (job.assigned_to_id or "nobody") != self.person_id:
            return False
        if self.kind and job.kind.value != self.kind:
            return False
        if self.only_open and job.state.value in {"done", "skipped"}:
            return False
        row = " ".join(column.text(job) for column in JOB_COLUMNS).casefold()
        return all(word in row for word in self.text.casefold().split())


class JobTableModel(QAbstractTableModel):
    """Rows are jobs as handed over, by priority, due day, bay; or by day and bay, a bay's jobs together."""

    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[Job, ...] = ()
        self._rows: list[Job] = []
        self._filter = JobFilter()
        self._walk: dict[str, int] = {}

    def show(self, jobs: Sequence[Job], walk: Sequence[str] | None = None) -> None:
        """Show these jobs; *walk* are the bays' ids in the order of the walk."""
        self.beginResetModel()
        self._all = tuple(jobs)
        if walk is not None:
            self._walk = {bay_id: place for place, bay_id in enumerate(walk)}
        self._rows = [job for job in self._all if self._filter.lets_through(job)]
        if self._filter.by_day:
            last = len(self._walk)
            self._rows.sort(key=lambda job: (job.due_on, self._walk.get(job.bay_id, last)))
        self.endResetModel()

    def narrow(self, wanted: JobFilter) -> None:
        """List other jobs of those known."""
        self._filter = wanted
        self.show(self._all)

    @property
    def listed(self) -> tuple[Job, ...]:
        """The jobs listed now."""
        return tuple(self._rows)

    @property
    def known(self) -> tuple[Job, ...]:
        """All jobs, listed or not."""
        return self._all

    def job(self, row: int) -> Job | None:
        """Return the job of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def row_of(self, key: str) -> int:
        """Return the row of a job by its key, or −1."""
        return next((row for row, job in enumerate(self._rows) if job.key == key), -1)

    def figure_at(self, index: Index) -> Figure | None:
        """Return the hours under their heading, elsewhere the number a job rests on first."""
        job = self.job(index.row())
        if job is None:
            return None
        numbers = () if JOB_COLUMNS[index.column()].heading == "Hours" else job.numbers
        return next(iter(numbers), job.hours)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many jobs are listed."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(JOB_COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows."""
        job = self.job(index.row())
        if job is None or not index.isValid():
            return None
        column = JOB_COLUMNS[index.column()]
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole}:
            return column.text(job)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{_(column.heading)}: {column.text(job)}"
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _across(column) | Qt.AlignmentFlag.AlignVCenter
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(JOB_COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return _(JOB_COLUMNS[section].heading)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _across(JOB_COLUMNS[section]) | Qt.AlignmentFlag.AlignVCenter
        return None


def _across(column: JobColumn) -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
