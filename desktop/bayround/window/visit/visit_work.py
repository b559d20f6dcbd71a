"""What the Visit screen asks of the farm file, and what comes back. No widgets."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from bayround.actions import corrections, round_days, rounds, setup
from bayround.actions.corrections import CellCorrection
from bayround.actions.jobs import Moment
from bayround.actions.rounds import WalkStop
from bayround.facts.farm import Role
from bayround.facts.ids import new_id
from bayround.facts.rounds import DoubtAnswer, PlantState
from bayround.figures.doubts import CellDoubt
from bayround.window.desk import Desk
from bayround.window.visit import record_actions
from bayround.window.visit.blank_visits import BlankVisits
from bayround.window.visit.keeper import Keeper
from bayround.window.visit.one_at_a_time import OneAtATime
from bayround.window.visit.record_row import Record
from bayround.window.visit.sheet_in_hand import Cell, CellChange


class VisitWork(QObject):
    """Reads and changes for one screen; results come back as signals.

    Signals:
        rounds_read: (rounds newest first, people who can be the scout).
        walk_read: the stops of the round. opened, sheet_read: a sheet. panel_read: the side panel.
        round_started: date and scout. round_refused: why not. finished: the visit's id. fault: an error to be told.
    """

    rounds_read = Signal(object, object)
    walk_read = Signal(object)
    opened = Signal(object)
    sheet_read = Signal(object)
    panel_read = Signal(object)
    round_started = Signal(object, str)
    round_refused = Signal(object)
    finished = Signal(str)
    not_finished = Signal(object)
    fault = Signal(object)

    def __init__(self, desk: Desk, in_sight: Callable[[], bool], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._in_sight = in_sight
        self.keeper = Keeper(desk.tasks, self)
        self.round_id = ""
        self.visit_id = ""
        self._blank = BlankVisits(desk.farm)
        self._read_sheet = OneAtATime(self._ask_sheet)
        self._read_panel = OneAtATime(self._ask_panel)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self._read_both)

    def read_rounds(self) -> None:
        """Read the rounds and the people."""
        farm = self._desk.farm

        def work() -> tuple[Any, Any]:
            active = [person for person in setup.read(farm).people if person.active]
            scouts = [person for person in active if person.role is not Role.WORKER] or active
            return rounds.rounds(farm), tuple(scouts)

        self._desk.tasks.ask(work, lambda found: self.rounds_read.emit(*found), self.fault.emit)

    def start_round(self, held_on: date, scout_id: str) -> None:
        """Begin a round, or take up the one this scout has on this day."""
        farm, today = self._desk.farm, self._desk.today()
        self._desk.tasks.change(
            lambda: rounds.start_round(farm, held_on, scout_id, today=today),
            lambda _round: self.round_started.emit(held_on, scout_id),
            self.round_refused.emit,
        )

    def change_round(self, round_id: str, held_on: date, scout_id: str) -> None:
        """Put day and scout of a round right on which nothing was seen yet."""
        farm, moment = self._desk.farm, self._moment()
        self._desk.tasks.change(
            lambda: round_days.change_round(farm, round_id, held_on, scout_id, moment),
            lambda _round: self.round_started.emit(held_on, scout_id),
            self.round_refused.emit,
        )

    def read_walk(self, round_id: str) -> None:
        """Read the stops of a round."""
        farm, self.round_id = self._desk.farm, round_id

        def show(stops: tuple[WalkStop, ...]) -> None:
            if round_id == self.round_id:
                self.walk_read.emit(stops)

        self._desk.tasks.ask(lambda: rounds.walk(farm, round_id), show, self.fault.emit)

    def open(self, stop: WalkStop) -> None:
        """Take up a bay's visit, or show the sheet of one that begins with the first thing kept in it."""
        farm, round_id, now = self._desk.farm, self.round_id, self._desk.now()
        visit_id = stop.visit_id
        if visit_id is not None:
            self._desk.tasks.ask(lambda: rounds.read_sheet(farm, visit_id), self._opened, self.fault.emit)
            return
        self._desk.tasks.ask(
            lambda: rounds.sheet_to_open(farm, round_id, stop.bay.id, now), self._opened_new, self.fault.emit
        )

    def _opened_new(self, sheet: Any) -> None:
        self._blank.add(sheet.visit)
        self._opened(sheet)

    def _opened(self, sheet: Any) -> None:
        self.visit_id = sheet.visit.id
        self.opened.emit(sheet)
        self._read_panel()

    def refresh(self) -> None:
        """Read the open sheet and its panel again, soon and once."""
        if self.visit_id:
            self._soon.start()

    def _read_both(self) -> None:
        if self.visit_id and self._in_sight():
            self._read_sheet()
            self._read_panel()

    def _ask_sheet(self, over: Callable[[], None]) -> None:
        farm, visit_id = self._desk.farm, self.visit_id

        def show(sheet: Any) -> None:
            if visit_id == self.visit_id:
                self.sheet_read.emit(sheet)
            over()

        def fail(error: BaseException) -> None:
            self.fault.emit(error)
            over()

        self._desk.tasks.ask(lambda: rounds.read_sheet(farm, visit_id, self._blank.get(visit_id)), show, fail)

    def _ask_panel(self, over: Callable[[], None]) -> None:
        farm, visit_id = self._desk.farm, self.visit_id

        def show(panel: Any) -> None:
            if visit_id == self.visit_id:
                self.panel_read.emit(panel)
            over()

        def fail(error: BaseException) -> None:
            self.fault.emit(error)
            over()

        self._desk.tasks.ask(lambda: rounds.read_panel(farm, visit_id, self._blank.get(visit_id)), show, fail)

    def save_cells(self, changes: tuple[CellChange, ...]) -> None:
        """Save typed cells: one by itself, a pasted block as a whole."""
        farm, visit_id = self._desk.farm, self.visit_id

        def save(block: tuple[CellChange, ...]) -> None:
            if len(block) == 1:
                rounds.save_cell(farm, visit_id, *block[0].cell, block[0].after)
            else:
                rounds.save_cells(farm, visit_id, [(*change.cell, change.after) for change in block])

        self._keep_cells(visit_id, changes, save)

    def correct_cells(self, visit_id: str, changes: tuple[CellChange, ...], reason: str) -> None:
        """Correct cells of a finished visit: one by itself, a pasted block as a whole."""
        farm, moment = self._desk.farm, self._moment()

        def correct(block: tuple[CellChange, ...]) -> object:
            cells = [CellCorrection(*change.cell, change.before, change.after) for change in block]
            return corrections.correct_cells(farm, visit_id, cells, moment, reason)

        self._keep_cells(visit_id, changes, correct)

    def _keep_cells(
        self,
        visit_id: str,
        changes: tuple[CellChange, ...],
        save: Callable[[tuple[CellChange, ...]], object],
    ) -> None:
        works: dict[Hashable, Callable[[], object]] = {
            ("cell", visit_id, change.cell): self._blank.begun(visit_id, partial(save, (change,)))
            for change in changes
        }
        is_new = self._blank.get(visit_id) is not None
        self.keeper.keep_all(works, self._blank.begun(visit_id, lambda: save(changes)))
        self._after_keeping(is_new)

    def correct_state(
        self, visit_id: str, plant_id: str, before: PlantState, after: PlantState, reason: str
    ) -> None:
        """Correct what was found in place of a plant at a finished visit."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("state", visit_id, plant_id),
            lambda: corrections.correct_state(farm, visit_id, plant_id, before, after, moment, reason),
        )

    def correct_record(self, before: Record | None, after: Record, reason: str) -> None:
        """Correct a check, card or weed note of a finished visit, or add one that was left out."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("record", after.visit_id, after.id),
            lambda: corrections.correct_record(farm, before, after, moment, reason),
        )

    def correct_note(self, visit_id: str, before: str, after: str, reason: str) -> None:
        """Correct the note of a finished visit."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("note", visit_id),
            lambda: corrections.correct_note(farm, visit_id, before, after, moment, reason),
        )

    def _moment(self) -> Moment:
        return Moment(self._desk.today(), self._desk.now(), self._desk.person_id)

    def save_state(self, marked_plant_id: str, state: PlantState) -> None:
        """Save what was found in place of a plant."""
        farm, visit_id = self._desk.farm, self.visit_id
        self._keep(
            ("state", visit_id, marked_plant_id),
            lambda: rounds.save_plant_state(farm, visit_id, marked_plant_id, state),
        )

    def save_record(self, record: Record) -> None:
        """Save a check, card or weed note."""
        farm = self._desk.farm
        self._keep(("record", record.visit_id, record.id), lambda: record_actions.save(farm, record))

    def remove_record(self, record: Record) -> None:
        """Take a check, card or weed note out of a draft."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("record", record.visit_id, record.id), lambda: record_actions.remove(farm, record, moment)
        )

    def save_note(self, visit_id: str, text: str) -> None:
        """Save the visit's note."""
        farm = self._desk.farm
        self._keep(("note", visit_id), lambda: rounds.save_note(farm, visit_id, text))

    def let_stand(self, doubt: CellDoubt) -> None:
        """Save that a doubtful number is right."""
        farm, visit_id = self._desk.farm, self.visit_id
        answer = DoubtAnswer(
            new_id(), visit_id, doubt.marked_plant_id, doubt.field, doubt.value, doubt.rule, self._desk.now()
        )
        key = ("answer", visit_id, doubt.marked_plant_id, doubt.field)
        self._keep(key, lambda: rounds.let_stand(farm, answer))

    def _keep(self, key: Hashable, work: Callable[[], object]) -> None:
        visit_id = str(key[1]) if isinstance(key, tuple) else ""
        is_new = self._blank.get(visit_id) is not None
        self.keeper.keep(key, self._blank.begun(visit_id, work))
        self._after_keeping(is_new)

    def _after_keeping(self, is_new: bool) -> None:
        self.refresh()
        if is_new:
            self.read_walk(self.round_id)

    def read_before_finishing(self, then: Callable[[Any], None]) -> None:
        """Read the sheet once everything asked for before is done."""
        farm, visit_id = self._desk.farm, self.visit_id
        self._desk.tasks.ask(
            lambda: rounds.read_sheet(farm, visit_id, self._blank.get(visit_id)),
            then,
            self.not_finished.emit,
        )

    def finish(self) -> None:
        """Finish the open visit."""
        farm, visit_id, now = self._desk.farm, self.visit_id, self._desk.now()
        self._desk.tasks.change(
            self._blank.begun(visit_id, lambda: rounds.finish(farm, visit_id, now)),
            lambda _nothing: self.finished.emit(visit_id),
            self.not_finished.emit,
        )

    def cells(self, keys: frozenset[Hashable]) -> set[Cell]:
        """Return the cells of the open visit among the keeper's keys."""
        return {key[2] for key in keys if isinstance(key, tuple) and key[:2] == ("cell", self.visit_id)}

    def ids(self, kind: str, keys: frozenset[Hashable]) -> set[str]:
        """Return the plants ("state") or records ("record") of the open visit among the keeper's keys."""
        return {key[2] for key in keys if isinstance(key, tuple) and key[:2] == (kind, self.visit_id)}
