"""Treatments as a table model, newest first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from bayround import words
from bayround.actions.treatments import TreatedBays
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class TreatmentColumn:
    """A heading and the text of a treatment under it; *wraps* to several lines of so many letters.

    What stands *beside* the list too (under it and in the form) is left out when room is short.
    """

    heading: str
    text: Callable[[TreatedBays], str]
    wraps: int = 0
    beside: bool = False


COLUMNS = (
    TreatmentColumn("Ended", lambda one: words.moment(one.treatment.ended_at.astimezone()), wraps=20),
    TreatmentColumn("Bays", lambda one: one.bays_text, wraps=13),
    TreatmentColumn("What", lambda one: one.treatment.active_ingredient or one.treatment.product, wraps=13),
    TreatmentColumn("Group", lambda one: _group(one), wraps=16, beside=True),
    TreatmentColumn("Enter from", lambda one: one.enter_from, wraps=16, beside=True),
    TreatmentColumn("Pick from", lambda one: one.pick_from, wraps=16, beside=True),
    TreatmentColumn("Applied by", lambda one: one.applied_by or words.MISSING, wraps=16, beside=True),
)


def _group(one: TreatedBays) -> str:
    group = one.treatment.mode_of_action_group or words.MISSING
    return _("{group} ↻ again").format(group=group) if one.repeated else group


class TreatmentTableModel(QAbstractTableModel):
    """Rows are treatments as handed over."""

    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[TreatedBays, ...] = ()
        self._rows: list[TreatedBays] = []
        self._filter = ""

    def show(self, treatments: Sequence[TreatedBays]) -> None:
        """Show these treatments."""
        self.beginResetModel()
        self._all = tuple(treatments)
        parts = self._filter.casefold().split()
        self._rows = [one for one in self._all if all(part in _words_of(one) for part in parts)]
        self.endResetModel()

    def narrow(self, text: str) -> None:
        """List only those in which every word of *text* stands."""
        self._filter = text
        self.show(self._all)

    def row(self, place: int) -> TreatedBays | None:
        """Return the treatment of a row."""
        return self._rows[place] if 0 <= place < len(self._rows) else None

    def place_of(self, treatment_id: str) -> int:
        """Return the row of a treatment, or −1."""
        return next((place for place, one in enumerate(self._rows) if one.treatment.id == treatment_id), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many treatments are listed."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows."""
        if not index.isValid() or role not in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole}:
            return None
        return COLUMNS[index.column()].text(self._rows[index.row()])

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return _(COLUMNS[section].heading)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        return None


def _words_of(one: TreatedBays) -> str:
    item = one.treatment
    return " ".join(
        (*(column.text(one) for column in COLUMNS), *one.bays, item.product, item.target, item.note)
    ).casefold()
