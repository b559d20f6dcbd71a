"""The bays of a week as a table model: `WeekSnapshot.bays` × `week.columns.COLUMNS`, nothing reckoned here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from bayround.facts.work import JobKind
from bayround.figures.figure import Figure
from bayround.week import changed
from bayround.week.columns import COLUMNS, Column
from bayround.week.snapshot import BayWeek
from bayround.window.parts.urgent_mark import urgent_mark
from bayround.words import _, counted

Index = QModelIndex | QPersistentModelIndex

OVERVIEW = (
    "house",
    "bay",
    "days_since_visit",
    "growth_cm_week",
    "load_verdict",
    "incidence_percent",
    "incidence_of",
    "weed_cover_percent",
    "jobs_due",
)
"""Columns shown first; the rest is one choice away."""

_PLACE = ("house", "bay")


def columns_of(view: str) -> tuple[Column, ...]:
    """Return the columns of a view: "overview", a group of the column list, "since" (last week), or "all"."""
    if view == "since":
        return (*(column for column in COLUMNS if column.id in _PLACE), *changed.COLUMNS)
    if view == "all":
        return COLUMNS
    if view == "overview":
        return tuple(column for column in COLUMNS if column.id in OVERVIEW)
    return tuple(column for column in COLUMNS if column.id in _PLACE or view in column.groups)


def is_late(bay_week: BayWeek) -> bool:
    """Tell whether the bay's round is due."""
    return any(job.kind is JobKind.ROUND for job in bay_week.jobs)


def urgent_jobs(bay_week: BayWeek) -> int:
    """Return how many of the bay's due jobs are urgent."""
    return sum(job.is_due and job.priority == 1 for job in bay_week.jobs)


class BayTableModel(QAbstractTableModel):
    """Rows are bays, the worst first, until a column is chosen: late rounds (longest unvisited on top), then urgent
    jobs, number of jobs, days since the visit, walk order."""

    def __init__(self, columns: Sequence[Column] = COLUMNS) -> None:
        super().__init__()
        self._columns = tuple(columns)
        self._bays: tuple[BayWeek, ...] = ()
        self._rows: list[BayWeek] = []
        self._words: list[str] = []
        self._order: tuple[int, Qt.SortOrder] | None = None

    def show(self, bays: Sequence[BayWeek]) -> None:
        """Show these bays, given in walk order."""
        self.beginResetModel()
        self._bays = tuple(bays)
        self._arrange()
        self.endResetModel()

    def show_columns(self, columns: Sequence[Column]) -> None:
        """Show other columns; the order of the rows goes back to the usual one."""
        self.beginResetModel()
        self._columns = tuple(columns)
        self._order = None
        self._arrange()
        self.endResetModel()

    def narrow(self, text: str) -> None:
        """Show only the bays in whose row every word of *text* stands."""
        self.beginResetModel()
        self._words = text.casefold().split()
        self._arrange()
        self.endResetModel()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort by a column, missing values always last; a column below zero gives the usual order."""
        self.beginResetModel()
        self._order = (column, order) if 0 <= column < len(self._columns) else None
        self._arrange()
        self.endResetModel()

    def bay_week(self, row: int) -> BayWeek | None:
        """Return the bay of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def row_of(self, bay_id: str) -> int:
        """Return the row of a bay, or −1."""
        return next((row for row, seen in enumerate(self._rows) if seen.bay.id == bay_id), -1)

    def column(self, section: int) -> Column:
        """Return one of the columns shown."""
        return self._columns[section]

    def figure_at(self, index: Index) -> Figure | None:
        """Return the figure of a cell, where it holds one."""
        bay_week = self.bay_week(index.row())
        if bay_week is None or not index.isValid():
            return None
        column = self._columns[index.column()]
        value = column.get(bay_week)
        if isinstance(value, Figure):
            return value
        behind = {"load_verdict": "load_over_band", "incidence_of": "incidence_percent"}.get(column.id)
        return bay_week.figures.get(behind) if behind else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many bays are shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns are shown."""
        return 0 if parent.isValid() else len(self._columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows: always the column's own text."""
        bay_week = self.bay_week(index.row())
        if bay_week is None or not index.isValid():
            return None
        column = self._columns[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.text(bay_week)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            across = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            return across | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tip(bay_week, index)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            urgent = _urgent_words(column, bay_week)
            return f"{column.title}: {column.text(bay_week)}" + (f", {urgent}" if urgent else "")
        if role == Qt.ItemDataRole.DecorationRole and _urgent_words(column, bay_week):
            return urgent_mark(urgent_jobs(bay_week))
        if role == Qt.ItemDataRole.FontRole and self._bold(column, bay_week):
            font = QFont()
            font.setBold(True)
            return font
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading with its unit on a line of its own."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self._columns):
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return in_two_lines(_(column.heading), column.unit)
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.title
        if role == Qt.ItemDataRole.TextAlignmentRole:
            across = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            return across | Qt.AlignmentFlag.AlignVCenter
        return None

    def _arrange(self) -> None:
        bays = [seen for seen in self._bays if self._matches(seen)]
        if self._order is None:
            self._rows = sorted(bays, key=_worst_first)
            return
        section, order = self._order
        column = self._columns[section]
        valued = [seen for seen in bays if column.sort_key(seen)[0] == 0]
        missing = [seen for seen in bays if column.sort_key(seen)[0] != 0]
        valued.sort(key=column.sort_key, reverse=order == Qt.SortOrder.DescendingOrder)
        self._rows = valued + missing

    def _matches(self, bay_week: BayWeek) -> bool:
        if not self._words:
            return True
        columns = dict.fromkeys((*COLUMNS, *self._columns))
        row = " ".join(column.text(bay_week) for column in columns).casefold()
        return all(word in row for word in self._words)

    def _tip(self, bay_week: BayWeek, index: Index) -> str | None:
        column, figure = self._columns[index.column()], self.figure_at(index)
        if figure is None:
            parts = (column.text(bay_week), _urgent_words(column, bay_week), *bay_week.warnings)
            return "\n".join(part for part in parts if part) or None
        said = " ".join(part for part in (figure.text_with_unit, figure.says) if part)
        return figure.missing or f"{said} ({figure.interval_text or figure.label})"

    @staticmethod
    def _bold(column: Column, bay_week: BayWeek) -> bool:
        if column.id in {"visited_on", "days_since_visit"}:
            return is_late(bay_week)
        return column.id == "jobs_due" and any(job.is_due for job in bay_week.jobs)


def in_two_lines(heading: str, unit: str) -> str:
    """Return a heading with its unit, broken where the longer line is shortest."""
    words = [*heading.split(), *([unit] if unit else [])]
    breaks = [(" ".join(words[:place]), " ".join(words[place:])) for place in range(1, len(words))]
    return "\n".join(min(breaks, key=lambda lines: max(map(len, lines)))) if breaks else heading


def _urgent_words(column: Column, bay_week: BayWeek) -> str:
    """Return how many jobs are urgent, in words, for the column of jobs; empty where none is."""
    count = urgent_jobs(bay_week) if column.id == "jobs_due" else 0
    return counted("{n} urgent", "{n} urgent", count) if count else ""


def _worst_first(bay_week: BayWeek) -> tuple[float, ...]:
    days = bay_week.figures["days_since_visit"].value
    unvisited = float("inf") if days is None else days
    late = (0.0, -unvisited) if is_late(bay_week) else (1.0, 0.0)
    due = sum(job.is_due for job in bay_week.jobs)
    return (*late, -urgent_jobs(bay_week), -due, -unvisited)
