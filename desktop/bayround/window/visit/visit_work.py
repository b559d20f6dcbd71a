"""What the Visit screen asks of the farm file, and what comes back. No widgets."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import date
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from bayround.actions import rounds, setup
from bayround.actions.rounds import WalkStop
from bayround.facts.farm import Role
from bayround.facts.ids import new_id
from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, PlantState, WeedNote
from bayround.figures.doubts import CellDoubt
from bayround.window.desk import Desk
from bayround.window.visit.keeper import Keeper
from bayround.window.visit.record_row import Record
from bayround.window.visit.sheet_in_hand import Cell, CellChange


class OneAtATime:
    """Asks for one reading; asked again while it is under way, it asks once more afterwards, never twice."""

    def __init__(self, ask: Callable[[Callable[[], None]], None]) -> None:
        self._ask = ask
        self._under_way = False
        self._again = False

    def __call__(self) -> None:
        """Ask, or note that it is to be asked again."""
        if self._under_way:
            self._again = True
            return
        self._under_way, self._again = True, False
        self._ask(self._over)

    def _over(self) -> None:
        self._under_way = False
        if self._again:
            self()


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

        def show(sheet: Any) -> None:
            if visit_id == self.visit_id:
                self.sheet_read.emit(sheet)
            over()

        def fail(error: BaseException) -> None:
            self.fault.emit(error)
            over()

        self._desk.tasks.ask(lambda: rounds.read_sheet(farm, visit_id), show, fail)

    def _ask_panel(self, over: Callable[[], None]) -> None:
        farm, visit_id = self._desk.farm, self.visit_id

        def show(panel: Any) -> None:
            if visit_id == self.visit_id:
                self.panel_read.emit(panel)
            over()

        def fail(error: BaseException) -> None:
            self.fault.emit(error)
            over()

        self._desk.tasks.ask(lambda: rounds.read_panel(farm, visit_id), show, fail)

    def save_cells(self, changes: tuple[CellChange, ...]) -> None:
        """Save typed cells: one by itself, a pasted block as a whole."""
        farm, visit_id = self._desk.farm, self.visit_id

        def one(cell: Cell, value: float | None) -> Callable[[], object]:
            return lambda: rounds.save_cell(farm, visit_id, cell[0], cell[1], value)

        works: dict[Hashable, Callable[[], object]] = {
            ("cell", visit_id, change.cell): one(change.cell, change.after) for change in changes
        }
        if len(changes) == 1:
            self.keeper.keep(*next(iter(works.items())))
        else:
            block = [(*change.cell, change.after) for change in changes]
            self.keeper.keep_all(works, lambda: rounds.save_cells(farm, visit_id, block))
        self.refresh()

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

        def work() -> None:
            if isinstance(record, PestCheck):
                rounds.save_check(farm, record)
            elif isinstance(record, CardCount):
                rounds.save_card(farm, record)
            elif isinstance(record, WeedNote):
                rounds.save_weed(farm, record)

        self._keep(("record", record.visit_id, record.id), work)

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
        self.keeper.keep(key, work)
        self.refresh()

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
