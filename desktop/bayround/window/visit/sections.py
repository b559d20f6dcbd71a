"""What is keyed in besides the marked plants: checks, cards, weeds and the note, all in sight at once."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QLabel, QVBoxLayout, QWidget

from bayround.week.visit_sheet import VisitSheet
from bayround.window import theme
from bayround.window.visit.cards_model import CardsModel
from bayround.window.visit.checks_model import ChecksModel
from bayround.window.visit.entry_table import EntryTable
from bayround.window.visit.note_box import NoteBox
from bayround.window.visit.record_model import RecordModel
from bayround.window.visit.table_looks import height_for
from bayround.window.visit.weeds_model import WeedsModel
from bayround.words import _


class Sections(QWidget):
    """Checks at the left; cards, weeds and note at the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.models: dict[str, RecordModel] = {
            "checks": ChecksModel(self),
            "cards": CardsModel(self),
            "weeds": WeedsModel(self),
        }
        self.checks = _table(self.models["checks"], _("Pests and disease"), (26, 14, 11, 13, 13, 13, 10))
        self.cards = _table(self.models["cards"], _("Sticky cards"), (14, 31, 19, 17, 19))
        self.weeds = _table(self.models["weeds"], _("Weeds"), (20, 21, 29, 30))
        self.note = NoteBox()
        self.tables = {"checks": self.checks, "cards": self.cards, "weeds": self.weeds}
        left, right = QVBoxLayout(), QVBoxLayout()
        for column in (left, right):
            column.setSpacing(2)
        _add(left, _("Pests and disease"), self.checks, 1, _("N  none found"))
        _add(right, _("Sticky cards"), self.cards, 3)
        _add(right, _("Weeds"), self.weeds, 0)
        _add_note(right, self.note)
        row_height = self.weeds.verticalHeader().defaultSectionSize()
        self.note.setMinimumHeight(row_height + 8)
        self.note.setMaximumHeight(4 * row_height)
        for column in (left, right):
            column.addStretch(0)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.setSpacing(12)
        layout.addLayout(left, 64)
        layout.addLayout(right, 36)

    def show_sheet(self, sheet: VisitSheet | None, waiting: set[str], note_waits: bool) -> None:
        """Show what a visit holds; rows in *waiting* keep what was typed."""
        for name, model in self.models.items():
            model.show(sheet, waiting)
            table = self.tables[name]
            table.setMinimumHeight(height_for(table, 1))
            table.setMaximumHeight(height_for(table, max(model.rowCount(), 3 if name == "cards" else 1)))
        self.note.show_sheet(sheet, note_waits)

    def being_typed(self) -> set[str]:
        """Return the records whose row is open or half typed."""
        found = {row.id for model in self.models.values() for row in model.rows if row.begun}
        for name, table in self.tables.items():
            cell = table.open_cell()
            if cell.isValid():
                found.add(self.models[name].row(cell).id)
        return found

    def wanted_height(self) -> int:
        """Return the height at which every organism is in sight."""
        return height_for(self.checks, self.models["checks"].rowCount()) + self.fontMetrics().height() + 12

    def show_not_saved(self, ids: set[str]) -> None:
        """Mark the rows that could not be saved yet."""
        for model in self.models.values():
            model.show_not_saved(ids)

    def rest(self, why: str) -> None:
        """Take nothing more for the moment; an empty text ends that."""
        for model in self.models.values():
            model.resting = why

    def commit_open(self) -> bool:
        """Keep what stands in open editors and in the note."""
        self.note.keep()
        kept = [table.commit_open() for table in self.tables.values()]
        return all(kept)


def _add(layout: QVBoxLayout, title: str, part: QWidget, stretch: int, keys: str = "") -> None:
    label, legend = QLabel(title), QLabel(keys)
    label.setObjectName("heading")
    label.setBuddy(part)
    legend.setObjectName("quiet")
    legend.setFont(theme.scaled(legend.font(), 0.86))
    line = QHBoxLayout()
    line.addWidget(label)
    line.addStretch(1)
    line.addWidget(legend)
    layout.addLayout(line)
    layout.addWidget(part, stretch)


def _add_note(layout: QVBoxLayout, note: NoteBox) -> None:
    label = QLabel(_("Note"))
    label.setObjectName("heading")
    label.setBuddy(note)
    line = QHBoxLayout()
    line.addWidget(label, 0, Qt.AlignmentFlag.AlignTop)
    line.addWidget(note, 1)
    layout.addSpacing(4)
    layout.addLayout(line, 1)


def _table(model: RecordModel, name: str, shares: tuple[int, ...]) -> EntryTable:
    table = EntryTable(model, name)
    table.verticalHeader().hide()
    table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    across = table.horizontalHeader()
    across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
    table.shares = shares
    return table
