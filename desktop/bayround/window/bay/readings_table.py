"""Every reading of one bay's planting as a table model, newest visit first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from bayround import words
from bayround.crops.profile import ReadingField
from bayround.facts.bay_past import VisitRecord
from bayround.facts.farm import MarkedPlant
from bayround.facts.rounds import Reading
from bayround.facts.weeks import Week
from bayround.figures import sampled
from bayround.window.bay.season import BaySeason
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex
Row = tuple[VisitRecord, Reading]
_FIRST = 4  # day, scout, plant, state


class ReadingsModel(QAbstractTableModel):
    """Rows are readings; columns are day, scout, plant, state, the crop's fields and the note."""

    def __init__(self) -> None:
        super().__init__()
        self._headings: list[str] = []
        self._fields: tuple[ReadingField, ...] = ()
        self._scouts: Mapping[str, str] = {}
        self._plants: dict[str, MarkedPlant] = {}
        self._all: list[Row] = []
        self._rows: list[Row] = []

    def show_season(self, season: BaySeason) -> None:
        """Show the readings of a season."""
        self.beginResetModel()
        self._fields = season.profile.fields if season.profile else ()
        titles = [
            f"{_(field.label)}\n{field.unit}" if field.unit else _(field.label) for field in self._fields
        ]
        self._headings = [_("Day"), _("Scout"), _("Plant"), _("State"), *titles, _("Note")]
        self._scouts = season.scouts
        self._plants = {plant.id: plant for plant in season.now.past.plants}
        self._all = [
            (record, reading)
            for record in reversed(season.now.past.visits)
            for reading in sorted(
                record.readings.values(), key=lambda item: _order(self._plants.get(item.marked_plant_id))
            )
        ]
        self._rows = self._all
        self.endResetModel()

    def narrow(self, text: str) -> None:
        """Show only the rows in which every word of *text* stands."""
        self.beginResetModel()
        parts = text.casefold().split()
        self._rows = [row for row in self._all if not parts or self._holds(row, parts)]
        self.endResetModel()

    def row_of(self, week: Week) -> int:
        """Return the first row shown that was read in a week, or −1."""
        first, last = week.monday, week.sunday
        return next(
            (at for at, (record, _reading) in enumerate(self._rows) if first <= record.day <= last), -1
        )

    def text(self, row: int, column: int) -> str:
        """Return what a cell shows."""
        return self._cell(self._rows[row], column)

    def _holds(self, row: Row, parts: list[str]) -> bool:
        whole = " ".join(self._cell(row, column) for column in range(len(self._headings))).casefold()
        return all(part in whole for part in parts)

    def _cell(self, row: Row, column: int) -> str:
        record, reading = row
        place = column - _FIRST
        if 0 <= place < len(self._fields):
            return _number(reading, self._fields[place].key, self._fields[place].decimals)
        if place >= 0:
            return reading.note
        plant = self._plants.get(reading.marked_plant_id)
        scout = self._scouts.get(record.visit.scout_id, "")
        state = sampled.state_text(record, reading.marked_plant_id)
        return (words.day(record.day), scout, plant.label if plant else "", state)[column]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many readings are shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._headings)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows."""
        if not index.isValid():
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(index.row(), index.column())
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._across(index.column())
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self._headings):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._headings[section]
        return self._across(section) if role == Qt.ItemDataRole.TextAlignmentRole else None

    def _across(self, column: int) -> Qt.AlignmentFlag:
        is_number = _FIRST <= column < len(self._headings) - 1
        across = Qt.AlignmentFlag.AlignRight if is_number else Qt.AlignmentFlag.AlignLeft
        return across | Qt.AlignmentFlag.AlignVCenter


def _order(plant: MarkedPlant | None) -> tuple[int, int]:
    return (0, plant.number) if plant else (1, 0)


def _number(reading: Reading, field: str, decimals: int) -> str:
    value = reading.value(field)
    return words.MISSING if value is None else words.number(value, decimals)
