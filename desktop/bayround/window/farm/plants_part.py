"""The marked plants of a bay: drawn by the program over the rows, or typed one by one."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.actions import setup
from bayround.facts.farm import Bay, MarkedPlant, PlantChoice, Planting
from bayround.facts.ids import new_id, seed_of
from bayround.facts.season import SeasonFacts
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.notice import STOP, Notice
from bayround.words import _, counted

_HEADINGS = ("No.", "Row", "Place", "How chosen", "Marked on", "Gone on", "Why")
_MARKED_AT_FIRST = 10


class PlantsPart(QWidget):
    """Lists the marked plants and adds to them; each step is kept at once.

    Attributes:
        changed: the plants in the file are no longer those shown.
    """

    changed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._bay: Bay | None = None
        self._planting: Planting | None = None
        self._plants: tuple[MarkedPlant, ...] = ()
        self.title = QLabel()
        self.title.setObjectName("heading")
        self.wanted = AmountField(_("How many plants to mark"), low=1, high=200)
        self.mark = QPushButton(_("Mar&k plants for me"))
        self.mark.clicked.connect(self._mark)
        self.row_field = AmountField(_("Row"), low=1, high=1000)
        self.place = AmountField(_("Place in the row"), low=1, high=100_000)
        self.aside = QCheckBox(_("chosen for what is on it: in no mean"))
        self.add = QPushButton(_("&Add plant"))
        self.add.clicked.connect(self._add)
        self.why = QLineEdit()
        self.why.setPlaceholderText(_("Why it is gone"))
        self.why.setAccessibleName(_("Why the plant is gone"))
        self.gone = QPushButton(_("Plant is g&one"))
        self.gone.clicked.connect(self._end)
        self.notice = Notice()
        self.table = self._build_table()
        self._lay_out()

    def show_plants(self, bay: Bay | None, planting: Planting | None, known: SeasonFacts) -> None:
        """Show the marked plants of a planting."""
        self._bay, self._planting = bay, planting
        there = [plant for plant in known.marked_plants if planting and plant.planting_id == planting.id]
        choices = {choice.marked_plant_id: choice for choice in known.plant_choices}
        self._plants = tuple(sorted(there, key=lambda plant: plant.number))
        standing = sum(1 for plant in self._plants if plant.ended_on is None)
        self.title.setText(counted("{n} marked plant", "{n} marked plants", standing))
        self.wanted.show_amount(max(_MARKED_AT_FIRST - standing, 1))
        self.notice.clear()
        self.table.setRowCount(len(self._plants))
        for line, plant in enumerate(self._plants):
            for column, text in enumerate(_texts(plant, choices.get(plant.id))):
                item = QTableWidgetItem(text)
                item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                self.table.setItem(line, column, item)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in one of the fields does what stands beside it."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            acts = {
                self.wanted: self._mark,
                self.row_field: self.place.setFocus,
                self.place: self._add,
                self.why: self._end,
            }
            act = acts.get(self.focusWidget())  # type: ignore[call-overload]
            if act is not None:
                act()
                return
        super().keyPressEvent(event)

    def _build_table(self) -> QTableWidget:
        table = QTableWidget(0, len(_HEADINGS))
        table.setHorizontalHeaderLabels([_(text) for text in _HEADINGS])
        table.setAccessibleName(_("Marked plants"))
        table.verticalHeader().hide()
        table.setShowGrid(False)
        table.setAlternatingRowColors(True)
        table.setTabKeyNavigation(False)
        table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        table.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        table.horizontalHeader().setStretchLastSection(True)
        table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        table.verticalHeader().setDefaultSectionSize(table.fontMetrics().height() + 6)
        table.horizontalHeader().setHighlightSections(False)
        table.setMinimumHeight(112)
        return table

    def _lay_out(self) -> None:
        controls = QGridLayout()
        controls.setSpacing(8)
        for field in (self.wanted, self.row_field, self.place):
            field.setMaximumWidth(64)
        row = QLabel(_("Row"))
        place = QLabel(_("place"))
        controls.addWidget(self.wanted, 0, 0)
        controls.addWidget(self.mark, 0, 1, 1, 4)
        for column, part in enumerate((self.row_field, place, self.place, self.add)):
            controls.addWidget(part, 1, column + 1)
        controls.addWidget(row, 1, 0, Qt.AlignmentFlag.AlignRight)
        controls.addWidget(self.aside, 2, 0, 1, 5)
        controls.addWidget(self.why, 3, 0, 1, 4)
        controls.addWidget(self.gone, 3, 4)
        controls.setRowStretch(4, 1)
        both = QHBoxLayout()
        both.setSpacing(24)
        both.addLayout(controls)
        both.addWidget(self.table, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(self.title)
        layout.addWidget(self.notice)
        layout.addLayout(both, 1)

    def _mark(self) -> None:
        bay, planting, wanted = self._bay, self._planting, self.wanted.whole()
        if bay is None or planting is None:
            return
        if wanted is None:
            self._refuse(self.wanted.problem() or _("How many plants shall be marked?"))
            return
        farm, today = self.desk.farm, self.desk.today()
        seed = seed_of(planting.id)  # the same planting draws the same start again
        self.desk.tasks.change(
            lambda: setup.mark_plants(farm, bay, planting, wanted, seed, today),
            lambda drawn: self._told(counted("{n} plant marked.", "{n} plants marked.", len(drawn))),
            self.notice.refuse,
        )

    def _add(self) -> None:
        planting, row, place = self._planting, self.row_field.whole(), self.place.whole()
        if planting is None or self._bay is None:
            return
        if row is None or place is None or row > self._bay.rows:
            self._refuse(
                _("A plant needs its row (1 to {rows}) and its place in the row.").format(rows=self._bay.rows)
            )
            return
        if any(
            (plant.row, plant.position) == (row, place) and plant.ended_on is None for plant in self._plants
        ):
            self._refuse(
                _("The plant in row {row}, place {place} is marked already.").format(row=row, place=place)
            )
            return
        number = max((plant.number for plant in self._plants), default=0) + 1
        plant = MarkedPlant(new_id(), planting.id, number, row, place, marked_on=self.desk.today())
        choice = PlantChoice(new_id(), plant.id, targeted=self.aside.isChecked())
        farm = self.desk.farm
        self.desk.tasks.change(
            lambda: setup.add(farm, plant, choice), lambda _nothing: self._added(), self.notice.refuse
        )

    def _added(self) -> None:
        self.row_field.clear()
        self.place.clear()
        self.aside.setChecked(False)
        self.row_field.setFocus(Qt.FocusReason.OtherFocusReason)
        self._told(_("Plant marked."))

    def _end(self) -> None:
        line = self.table.currentRow()
        if not 0 <= line < len(self._plants) or not self.why.text().strip():
            self._refuse(_("Choose the plant in the list and write why it is gone."))
            return
        ended = replace(self._plants[line], ended_on=self.desk.today(), ended_why=self.why.text().strip())
        farm, who, now = self.desk.farm, self.desk.person_id, self.desk.now()
        self.desk.tasks.change(
            lambda: setup.change(farm, ended, who, now), lambda _nothing: self._ended(), self.notice.refuse
        )

    def _ended(self) -> None:
        self.why.clear()
        self._told(_("Noted; its readings stay."))

    def _refuse(self, text: str) -> None:
        self.notice.say(STOP, text)

    def _told(self, text: str) -> None:
        self.desk.tell(text)
        self.changed.emit()


def _how(choice: PlantChoice | None) -> str:
    if choice is None:
        return ""
    if choice.targeted:
        return _("in no mean")
    return _("by hand") if choice.seed is None else _("seed {seed}").format(seed=choice.seed)


def _texts(plant: MarkedPlant, choice: PlantChoice | None) -> tuple[str, ...]:
    return (
        str(plant.number),
        str(plant.row),
        str(plant.position),
        _how(choice),
        words.day(plant.marked_on),
        words.day(plant.ended_on) if plant.ended_on else "",
        plant.ended_why,
    )
