"""What the Visit screen changes in the farm; what it reads is in `visit_reads`. No widgets."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QObject

from bayround.actions import corrections, replacing_plants, round_days, rounds, stand_counts
from bayround.actions.corrections import CellCorrection
from bayround.actions.jobs import Moment
from bayround.facts.ids import new_id
from bayround.facts.rounds import DoubtAnswer, PlantState
from bayround.facts.typed import Place, Typed
from bayround.figures.doubts import CellDoubt
from bayround.window.desk import Desk
from bayround.window.visit import record_actions
from bayround.window.visit.keeper import Keeper
from bayround.window.visit.known_values import KnownValues
from bayround.window.visit.record_row import Record
from bayround.window.visit.sheet_in_hand import Cell, CellChange
from bayround.window.visit.visit_reads import VisitReads


class VisitWork(VisitReads):
    """Reads and changes for one screen; each change is kept by *keeper* until it is in the farm."""

    def __init__(self, desk: Desk, in_sight: Callable[[], bool], parent: QObject | None = None) -> None:
        super().__init__(desk, in_sight, parent)
        self.keeper = Keeper(desk.tasks, self)
        self.known = KnownValues()

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

    def save_cells(self, changes: tuple[CellChange, ...]) -> None:
        """Save typed cells: one by itself, a pasted block as a whole."""
        farm, visit_id, moment = self._desk.farm, self.visit_id, self._moment()

        def write(block: tuple[CellChange, ...], here: str, typed: Typed) -> None:
            if len(block) == 1:
                rounds.save_cell(farm, here, *block[0].cell, block[0].after, typed)
            else:
                rounds.save_cells(farm, here, [(*change.cell, change.after) for change in block], typed)

        def save(block: tuple[CellChange, ...], here: str) -> None:
            changes: dict[Hashable, tuple[Place, object]] = {
                ("cell", visit_id, change.cell): (change.cell, change.after) for change in block
            }
            self.known.saving(changes, moment.person_id, moment.now, partial(write, block, here))

        self._keep_cells(visit_id, changes, save)

    def correct_cells(self, visit_id: str, changes: tuple[CellChange, ...], reason: str) -> None:
        """Correct cells of a finished visit: one by itself, a pasted block as a whole."""
        farm, moment = self._desk.farm, self._moment()

        def correct(block: tuple[CellChange, ...], here: str) -> object:
            cells = [CellCorrection(*change.cell, change.before, change.after) for change in block]
            return corrections.correct_cells(farm, here, cells, moment, reason)

        self._keep_cells(visit_id, changes, correct)

    def _keep_cells(
        self,
        visit_id: str,
        changes: tuple[CellChange, ...],
        save: Callable[[tuple[CellChange, ...], str], object],
    ) -> None:
        works: dict[Hashable, Callable[[], object]] = {
            ("cell", visit_id, change.cell): self._blank.begun(visit_id, partial(save, (change,)))
            for change in changes
        }
        is_new = self._blank.get(visit_id) is not None
        self.keeper.keep_all(works, self._blank.begun(visit_id, partial(save, changes)))
        self._after_keeping(is_new)

    def correct_state(
        self, visit_id: str, plant_id: str, before: PlantState, after: PlantState, reason: str
    ) -> None:
        """Correct what was found in place of a plant at a finished visit."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("state", visit_id, plant_id),
            lambda here: corrections.correct_state(farm, here, plant_id, before, after, moment, reason),
        )

    def correct_record(self, before: Record | None, after: Record, reason: str) -> None:
        """Correct a check, card or weed note of a finished visit, or add one that was left out."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("record", after.visit_id, after.id),
            lambda _here: corrections.correct_record(farm, before, after, moment, reason),
        )

    def correct_note(self, visit_id: str, before: str, after: str, reason: str) -> None:
        """Correct the note of a finished visit."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("note", visit_id),
            lambda here: corrections.correct_note(farm, here, before, after, moment, reason),
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
            lambda here, typed: rounds.save_plant_state(farm, here, marked_plant_id, state, typed),
        )

    def replace_plant(self, plant_id: str) -> None:
        """Save that a plant is dead and another one is marked in its place."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("state", self.visit_id, plant_id),
            lambda here: replacing_plants.replace_plant(farm, here, plant_id, moment.person_id, moment.now),
        )

    def take_back_replacing(self, plant_id: str, before: PlantState) -> None:
        """Save that a plant was not replaced after all."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("state", self.visit_id, plant_id),
            lambda here: replacing_plants.take_back_replacing(
                farm, here, plant_id, before, moment.person_id, moment.now
            ),
        )

    def save_record(self, record: Record) -> None:
        """Save a check, card or weed note."""
        farm = self._desk.farm
        self._keep_over(
            ("record", record.visit_id, record.id),
            (record.id, ""),
            record,
            lambda here, typed: record_actions.save(farm, replace(record, visit_id=here), typed),
        )

    def remove_record(self, record: Record) -> None:
        """Take a check, card or weed note out of a draft."""
        farm, moment = self._desk.farm, self._moment()
        key = ("record", record.visit_id, record.id)

        def work(_here: str) -> None:
            record_actions.remove(farm, record, moment)
            self.known.saved(key, None)

        self._keep(key, work)

    def save_note(self, visit_id: str, text: str) -> None:
        """Save the visit's note."""
        farm = self._desk.farm
        self._keep_over(
            ("note", visit_id),
            (visit_id, "note"),
            text,
            lambda here, typed: rounds.save_note(farm, here, text, typed),
        )

    def let_stand(self, doubt: CellDoubt) -> None:
        """Save that a doubtful number is right."""
        farm, visit_id = self._desk.farm, self.visit_id
        answer = DoubtAnswer(
            new_id(), visit_id, doubt.marked_plant_id, doubt.field, doubt.value, doubt.rule, self._desk.now()
        )
        key = ("answer", visit_id, doubt.marked_plant_id, doubt.field)
        self._keep(key, lambda here: rounds.let_stand(farm, replace(answer, visit_id=here)))

    def confirm_stand(self, plants: int, refused: Callable[[BaseException], None]) -> None:
        """Save how many plants stand."""
        farm, visit_id, moment = self._desk.farm, self.visit_id, self._moment()
        self._desk.tasks.change(
            self._blank.begun(visit_id, lambda here: stand_counts.confirm(farm, here, plants, moment)),
            lambda _count: self.refresh(),
            refused,
        )

    def correct_stand(self, visit_id: str, before: int, plants: int, reason: str) -> None:
        """Put the number of standing plants that was kept at a finished visit right."""
        farm, moment = self._desk.farm, self._moment()
        self._keep(
            ("stand", visit_id),
            lambda here: stand_counts.put_right(farm, here, before, plants, moment, reason),
        )

    def _keep(self, key: Hashable, work: Callable[[str], object]) -> None:
        visit_id = str(key[1]) if isinstance(key, tuple) else ""
        is_new = self._blank.get(visit_id) is not None
        self.keeper.keep(key, self._blank.begun(visit_id, work))
        self._after_keeping(is_new)

    def _after_keeping(self, is_new: bool) -> None:
        self.refresh()
        if is_new:
            self.read_walk(self.round_id)

    def _keep_over(
        self, key: Hashable, place: Place, value: object, save: Callable[[str, Typed], None]
    ) -> None:
        """Save a value over what this desk knows to be there, and over nothing else."""
        moment = self._moment()

        def work(here: str) -> None:
            at = (here, place[1]) if place[1] == "note" else place
            self.known.saving({key: (at, value)}, moment.person_id, moment.now, partial(save, here))

        self._keep(key, work)

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
        if (
            self._blank.get(visit_id) is not None and self._blank.kept_as(visit_id) == visit_id
        ):  # nothing was kept in it, so nothing is written
            self.not_finished.emit(rounds.nothing_keyed())
            return
        self._desk.tasks.change(
            self._blank.begun(visit_id, lambda here: rounds.finish(farm, here, now)),
            lambda _nothing: self.finished.emit(visit_id),
            self.not_finished.emit,
        )

    def cells(self, keys: frozenset[Hashable]) -> set[Cell]:
        """Return the cells of the open visit among the keeper's keys."""
        return {key[2] for key in keys if isinstance(key, tuple) and key[:2] == ("cell", self.visit_id)}

    def ids(self, kind: str, keys: frozenset[Hashable]) -> set[str]:
        """Return the plants ("state") or records ("record") of the open visit among the keeper's keys."""
        return {key[2] for key in keys if isinstance(key, tuple) and key[:2] == (kind, self.visit_id)}
