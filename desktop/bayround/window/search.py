"""Ctrl+K: go to any bay, marked plant, job, treatment or person by typing parts of its name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from bayround import words
from bayround.actions import setup, treatments
from bayround.actions.treatments import TreatedBays
from bayround.facts.problems import Problem
from bayround.facts.season import SeasonFacts, walk_order
from bayround.week.snapshot import WeekSnapshot
from bayround.window.desk import Desk
from bayround.words import _

_AT_MOST = 60
_TREATMENTS = 300


@dataclass(frozen=True, slots=True)
class Place:
    """Something to go to: its words, the screen that shows it and its id there."""

    text: str
    screen: str
    key: str


def read_places(desk: Desk) -> tuple[Place, ...]:
    """Read the farm and return every bay, job, marked plant, person, and the newest treatments.

    Runs on the farm's thread.
    """
    known = setup.read(desk.farm)
    try:
        snapshot: WeekSnapshot | None = desk.weeks.as_of_today(desk.farm, desk.today())
    except Problem:
        snapshot = None
    book = treatments.read(desk.farm, desk.today())
    return places_of(known, snapshot, book.treatments[:_TREATMENTS])


def places_of(
    known: SeasonFacts, snapshot: WeekSnapshot | None, treated: Sequence[TreatedBays] = ()
) -> tuple[Place, ...]:
    """Return what can be gone to, bays first."""
    houses = {house.id: house.name for house in known.houses}
    names = {bay.id: f"{houses[bay.house_id]} · {bay.name}" for bay in known.bays}
    standing = {planting.bay_id: planting for planting in known.plantings if planting.removed_on is None}
    found = []
    for bay in walk_order(known.houses, known.bays):
        planting = standing.get(bay.id)
        crop = f"  {planting.crop.replace('_', ' ')} {planting.variety}" if planting else ""
        found.append(Place(_("Bay {name}").format(name=names[bay.id]) + crop, "bay", bay.id))
    for job in snapshot.jobs if snapshot else ():
        text = _("Job {kind}, {bay}, due {day}").format(
            kind=job.kind_text.lower(), bay=job.bay_name, day=job.due_text
        )
        found.append(Place(text, "jobs", job.key))
    found += [_treatment(one) for one in treated]
    bay_of = {planting.id: planting.bay_id for planting in known.plantings}
    for plant in known.marked_plants:
        if plant.ended_on is None:
            bay_id = bay_of[plant.planting_id]
            found.append(
                Place(_("Plant {plant}, {bay}").format(plant=plant.label, bay=names[bay_id]), "bay", bay_id)
            )
    found += [
        Place(_("Person {name}").format(name=person.name), "farm", person.id) for person in known.people
    ]
    return tuple(found)


def _treatment(one: TreatedBays) -> Place:
    what = one.treatment.active_ingredient or one.treatment.product
    text = _("Treatment {moment}, {what}, {bays}").format(
        moment=words.moment(one.treatment.ended_at.astimezone()), what=what, bays=one.bays_text
    )
    return Place(text, "treatments", one.treatment.id)


class SearchDialog(QDialog):
    """Type, choose with Up and Down, Enter goes there, Escape leaves."""

    def __init__(
        self, places: Sequence[Place], go: Callable[[str, str], None], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Go to"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(560, 400)
        self._places, self._go = tuple(places), go
        self.line = QLineEdit()
        self.line.setPlaceholderText(_("Part of a bay, plant, job, treatment or person"))
        self.line.setAccessibleName(_("Search"))
        self.line.textChanged.connect(self._narrow)
        self.line.installEventFilter(self)
        self.list = QListWidget()
        self.list.setAccessibleName(_("Found"))
        self.list.setUniformItemSizes(True)
        self.list.itemActivated.connect(lambda _item: self._take())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(8)
        layout.addWidget(self.line)
        layout.addWidget(self.list, 1)
        self._narrow("")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Up, Down and Enter in the line act on the list."""
        if watched is self.line and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in {Qt.Key.Key_Up, Qt.Key.Key_Down}:
                step = 1 if event.key() == Qt.Key.Key_Down else -1
                self.list.setCurrentRow(max(0, min(self.list.count() - 1, self.list.currentRow() + step)))
                return True
            if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
                self._take()
                return True
        return super().eventFilter(watched, event)

    def _narrow(self, text: str) -> None:
        parts = text.casefold().split()
        found = [place for place in self._places if all(part in place.text.casefold() for part in parts)]
        self.list.clear()
        for place in found[:_AT_MOST]:
            item = QListWidgetItem(place.text)
            item.setData(Qt.ItemDataRole.UserRole, place)
            self.list.addItem(item)
        self.list.setCurrentRow(0)

    def _take(self) -> None:
        item = self.list.currentItem()
        if item is not None:
            place = item.data(Qt.ItemDataRole.UserRole)
            self.accept()
            self._go(place.screen, place.key)
