"""What the Visit screen reads of the farm: rounds, the walk, the open sheet and its panel. No widgets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance

from bayround.actions import rounds, setup
from bayround.actions.rounds import WalkStop
from bayround.facts.farm import Role
from bayround.window.desk import Desk
from bayround.window.visit.blank_visits import BlankVisits
from bayround.window.visit.one_at_a_time import OneAtATime


class VisitReads(QObject):
    """Reads for one screen; results come back as signals.

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

        def opened(sheet: Any) -> None:
            is_blank = sheet.visit.started_at == now  # else somebody began it meanwhile
            self._opened(replace(sheet, visit=self._blank.add(sheet.visit)) if is_blank else sheet)

        self._desk.tasks.ask(
            lambda: rounds.sheet_to_open(farm, round_id, stop.bay.id, now), opened, self.fault.emit
        )

    def _opened(self, sheet: Any) -> None:
        self.visit_id = sheet.visit.id
        self.opened.emit(sheet)
        self._read_panel()

    def elsewhere(self, stops: tuple[WalkStop, ...]) -> WalkStop | None:
        """Return the open bay where it was begun under another visit meanwhile, by an import, a merge or somebody else."""
        blank = self._blank.get(self.visit_id)
        if blank is None:
            return None
        here = (stop for stop in stops if stop.bay.id == blank.bay_id and self.round_id == blank.round_id)
        return next((stop for stop in here if stop.visit_id not in (None, self.visit_id)), None)

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
        self._ask_one(
            lambda: rounds.read_sheet(farm, visit_id, self._blank.get(visit_id)), self.sheet_read, over
        )

    def _ask_panel(self, over: Callable[[], None]) -> None:
        farm, visit_id = self._desk.farm, self.visit_id
        self._ask_one(
            lambda: rounds.read_panel(farm, visit_id, self._blank.get(visit_id)), self.panel_read, over
        )

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
