"""Every change typed in the open bay: saved in a draft, corrected in a finished bay, and the way to take it back."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from PySide6.QtCore import QObject

from bayround.facts.rounds import PlantState
from bayround.window.visit.correcting import Wanted
from bayround.window.visit.keying_page import KeyingPage
from bayround.window.visit.record_row import Record
from bayround.window.visit.sheet_in_hand import CellChange
from bayround.window.visit.undo import UndoStep
from bayround.window.visit.visit_work import VisitWork
from bayround.words import _


class TypedChanges(QObject):
    """Listens to the tables and the note of one page."""

    def __init__(self, page: KeyingPage, work: VisitWork, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._page, self._work = page, work
        page.readings.typed.connect(self._cells)
        page.readings.state_typed.connect(self._state)
        page.readings.replace_wanted.connect(self._replace)
        for name, model in page.sections.models.items():
            model.record_typed.connect(lambda before, after, name=name: self._record(name, before, after))
            model.record_removed.connect(lambda record, name=name: self._removed(name, record))
        page.sections.note.typed.connect(self._note)

    @property
    def _visit_id(self) -> str:
        return self._page.readings.in_hand.sheet.visit.id

    def _keep(
        self,
        key: set[Hashable],
        save: Callable[[], None],
        correct: Callable[[str], None],
        step: UndoStep | None,
        go_back: Callable[[], None],
    ) -> None:
        page = self._page
        if not page.readings.in_hand.done:
            save()
            page.undo.add(step)
            return

        def put_right(reason: str) -> None:
            page.message.say(_("Corrected: {reason}.").format(reason=reason))
            correct(reason)
            page.undo.add(step)

        page.correcting.want(Wanted(frozenset(key), put_right, go_back))

    def _cells(self, changes: tuple[CellChange, ...]) -> None:
        page, visit_id = self._page, self._visit_id
        first = page.readings.index_of(changes[0].cell)
        what = page.readings.rule(first).label if len(changes) == 1 else _("the pasted block")
        self._keep(
            {("cell", visit_id, change.cell) for change in changes},
            lambda: self._work.save_cells(changes),
            lambda reason: self._work.correct_cells(visit_id, changes, reason),
            UndoStep(what, lambda: self._put_back(changes)),
            lambda: page.to_cell(changes[0].cell),
        )

    def _put_back(self, changes: tuple[CellChange, ...]) -> None:
        readings = self._page.readings
        places = [(readings.index_of(change.cell), change.before) for change in changes]
        readings.put_all([(index, before) for index, before in places if index.isValid()])
        self._page.to_cell(changes[0].cell)

    def _state(self, plant_id: str, before: PlantState, after: PlantState) -> None:
        page, visit_id = self._page, self._visit_id
        hand = page.readings.in_hand
        cell = (plant_id, hand.field(0).key)
        place = hand.place(cell)
        if place is None:
            return
        row = place[0]
        number = hand.row(row).plant.number
        page.message.say(
            _("Plant {number}: {state}.").format(number=number, state=_(after.value)), of_bay=True
        )
        self._keep(
            {("state", visit_id, plant_id)},
            lambda: self._work.save_state(plant_id, after),
            lambda reason: self._work.correct_state(visit_id, plant_id, before, after, reason),
            UndoStep(_("plant {number}").format(number=number), lambda: page.readings.put_state(row, before)),
            lambda: page.to_cell(cell),
        )

    def _replace(self, plant_id: str) -> None:
        page, hand = self._page, self._page.readings.in_hand
        if hand.done:
            page.message.say(_("This bay is finished: put its marked plants right under Farm."))
            return
        place = hand.place((plant_id, hand.field(0).key))
        if place is None:
            return
        number, before = hand.row(place[0]).plant.number, hand.state(place[0])
        self._work.replace_plant(plant_id)
        page.undo.add(
            UndoStep(
                _("plant {number}").format(number=number),
                lambda: self._work.take_back_replacing(plant_id, before),
            )
        )
        page.message.say(
            _("Plant {number} is dead; another one next to it is marked, last in the table.").format(
                number=number
            )
        )

    def _record(self, name: str, before: Record | None, after: Record) -> None:
        model, table = self._page.sections.models[name], self._page.sections.tables[name]
        step = UndoStep(table.accessibleName(), lambda: model.put_record(before)) if before else None
        self._keep(
            {("record", after.visit_id, after.id)},
            lambda: self._work.save_record(after),
            lambda reason: self._work.correct_record(before, after, reason),
            step,
            lambda: self._page.enter(table),
        )

    def _removed(self, name: str, record: Record) -> None:
        model, table = self._page.sections.models[name], self._page.sections.tables[name]
        self._work.remove_record(record)
        self._page.undo.add(UndoStep(table.accessibleName(), lambda: model.put_record(record)))
        self._page.message.say(
            _("{what}: a row was taken out; Ctrl+Z brings it back.").format(what=table.accessibleName())
        )

    def _note(self, visit_id: str, text: str) -> None:
        sheet = self._page.readings.in_hand.sheet
        if visit_id != sheet.visit.id:  # the note of the bay that was just left
            self._work.save_note(visit_id, text)
            return
        self._keep(
            {("note", visit_id)},
            lambda: self._work.save_note(visit_id, text),
            lambda reason: self._work.correct_note(visit_id, sheet.visit.note, text, reason),
            None,
            lambda: self._page.enter(self._page.sections.note),
        )
