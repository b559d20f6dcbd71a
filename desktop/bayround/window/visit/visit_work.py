"""What the Visit screen asks of the farm file, and what comes back. No widgets."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance

from bayround.actions import corrections, rounds, setup
from bayround.actions.corrections import CellCorrection
from bayround.actions.jobs import Moment
from bayround.actions.rounds import WalkStop
from bayround.facts.farm import Role
from bayround.facts.ids import new_id
from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, PlantState, WeedNote
from bayround.facts.typed import Place, Typed
from bayround.figures.doubts import CellDoubt
from bayround.window.desk import Desk
from bayround.window.visit.keeper import Keeper
from bayround.window.visit.known_values import KnownValues
from bayround.window.visit.one_at_a_time import OneAtATime
from bayround.window.visit.record_row import Record
from bayround.window.visit.sheet_in_hand import Cell, CellChange


class VisitWork(QObject):
    """Reads and changes for one screen; results come back as signals.

    Signals:
        rounds_read: (rounds newest first, people who can be the scout).
        walk_read: the stops of the round. opened, sheet_read: a sheet. panel_read: the side panel.
        round_started: date and scout. finished: the visit's id. fault: an error to be told.
    """

    rounds_read = Signal(object, object)
    walk_read = Signal(object)
    opened = Signal(object)
    sheet_read = Signal(object)
    panel_read = Signal(object)
    round_started = Signal(object, str)
    finished = Signal(str)
    not_finished = Signal(object)
    fault = Signal(object)

    def __init__(self, desk: Desk, in_sight: Callable[[], bool], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._in_sight = in_sight
        self.keeper = Keeper(desk.tasks, self)
        self.known = KnownValues()
        self.round_id = ""
        self.visit_id = ""
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
        farm = self._desk.farm
        self._desk.tasks.change(
            lambda: rounds.start_round(farm, held_on, scout_id),
            lambda _round: self.round_started.emit(held_on, scout_id),
            self.fault.emit,
        )

    def read_walk(self, round_id: str) -> None:
        """Read the stops of a round."""
        farm, self.round_id = self._desk.farm, round_id

        def show(stops: tuple[WalkStop, ...]) -> None:
            if round_id == self.round_id:
                self.walk_read.emit(stops)

        self._desk.tasks.ask(lambda: rounds.walk(farm, round_id), show, self.fault.emit)

    def open(self, stop: WalkStop) -> None:
        """Take up a bay's visit, or begin it."""
        farm, round_id, now = self._desk.farm, self.round_id, self._desk.now()
        visit_id = stop.visit_id
        if visit_id is not None:
            self._desk.tasks.ask(lambda: rounds.read_sheet(farm, visit_id), self._opened, self.fault.emit)
            return
        self._desk.tasks.change(
            lambda: rounds.open_visit(farm, round_id, stop.bay.id, now), self._opened, self.fault.emit
        )

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

        self._ask_one(lambda: rounds.read_sheet(farm, visit_id), self.sheet_read, over)

    def _ask_panel(self, over: Callable[[], None]) -> None:
        farm, visit_id = self._desk.farm, self.visit_id

        self._ask_one(lambda: rounds.read_panel(farm, visit_id), self.panel_read, over)

    def _ask_one(self, read: Callable[[], Any], shown: SignalInstance, over: Callable[[], None]) -> None:
        visit_id = self.visit_id

        def show(found: Any) -> None:
            if visit_id == self.visit_id:
                shown.emit(found)
            over()

        def fail(error: BaseException) -> None:
            self.fault.emit(error)
            over()

        self._desk.tasks.ask(read, show, fail)

    def save_cells(self, changes: tuple[CellChange, ...]) -> None:
        """Save typed cells: one by itself, a pasted block as a whole."""
        farm, visit_id, moment = self._desk.farm, self.visit_id, self._moment()

        def write(block: tuple[CellChange, ...], typed: Typed) -> None:
            if len(block) == 1:
                rounds.save_cell(farm, visit_id, *block[0].cell, block[0].after, typed)
            else:
                rounds.save_cells(farm, visit_id, [(*change.cell, change.after) for change in block], typed)

        def save(block: tuple[CellChange, ...]) -> None:
            changes: dict[Hashable, tuple[Place, object]] = {
                ("cell", visit_id, change.cell): (change.cell, change.after) for change in block
            }
            self.known.saving(changes, moment.person_id, moment.now, partial(write, block))

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
            ("cell", visit_id, change.cell): partial(save, (change,)) for change in changes
        }
        self.keeper.keep_all(works, lambda: save(changes))
        self.refresh()

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
        self._keep_over(
            ("state", visit_id, marked_plant_id),
            (marked_plant_id, "state"),
            state,
            lambda typed: rounds.save_plant_state(farm, visit_id, marked_plant_id, state, typed),
        )

    def save_record(self, record: Record) -> None:
        """Save a check, card or weed note."""
        farm = self._desk.farm

        save = _of_kinds(rounds.save_check, rounds.save_card, rounds.save_weed)[type(record)]
        key = ("record", record.visit_id, record.id)
        self._keep_over(key, (record.id, ""), record, lambda typed: save(farm, record, typed))

    def remove_record(self, record: Record) -> None:
        """Take a check, card or weed note out of a draft."""
        farm, moment = self._desk.farm, self._moment()

        remove = _of_kinds(rounds.remove_check, rounds.remove_card, rounds.remove_weed)
        key = ("record", record.visit_id, record.id)

        def work() -> None:
            remove[type(record)](farm, record.id, moment.person_id, moment.now)
            self.known.saved(key, None)

        self._keep(key, work)

    def save_note(self, visit_id: str, text: str) -> None:
        """Save the visit's note."""
        farm = self._desk.farm
        self._keep_over(
            ("note", visit_id),
            (visit_id, "note"),
            text,
            lambda typed: rounds.save_note(farm, visit_id, text, typed),
        )

    def let_stand(self, doubt: CellDoubt) -> None:
        """Save that a doubtful number is right."""
        farm, visit_id = self._desk.farm, self.visit_id
        answer = DoubtAnswer(
            new_id(), visit_id, doubt.marked_plant_id, doubt.field, doubt.value, doubt.rule, self._desk.now()
        )
        key = ("answer", visit_id, doubt.marked_plant_id, doubt.field)
        self._keep(key, lambda: rounds.let_stand(farm, answer))

    def _keep(self, key: Hashable, work: Callable[[], object]) -> None:
        self.keeper.keep(key, work)
        self.refresh()

    def _keep_over(self, key: Hashable, place: Place, value: object, save: Callable[[Typed], None]) -> None:
        """Save a value over what this desk knows to be there, and over nothing else."""
        moment = self._moment()
        self._keep(key, lambda: self.known.saving({key: (place, value)}, moment.person_id, moment.now, save))

    def read_before_finishing(self, then: Callable[[Any], None]) -> None:
        """Read the sheet once everything asked for before is done."""
        farm, visit_id = self._desk.farm, self.visit_id
        self._desk.tasks.ask(lambda: rounds.read_sheet(farm, visit_id), then, self.not_finished.emit)

    def finish(self) -> None:
        """Finish the open visit."""
        farm, visit_id, now = self._desk.farm, self.visit_id, self._desk.now()
        self._desk.tasks.change(
            lambda: rounds.finish(farm, visit_id, now),
            lambda _nothing: self.finished.emit(visit_id),
            self.not_finished.emit,
        )

    def cells(self, keys: frozenset[Hashable]) -> set[Cell]:
        """Return the cells of the open visit among the keeper's keys."""
        return {key[2] for key in keys if isinstance(key, tuple) and key[:2] == ("cell", self.visit_id)}

    def ids(self, kind: str, keys: frozenset[Hashable]) -> set[str]:
        """Return the plants ("state") or records ("record") of the open visit among the keeper's keys."""
        return {key[2] for key in keys if isinstance(key, tuple) and key[:2] == (kind, self.visit_id)}


def _of_kinds(
    check: Callable[..., None], card: Callable[..., None], weed: Callable[..., None]
) -> dict[type, Callable[..., None]]:
    return {PestCheck: check, CardCount: card, WeedNote: weed}
