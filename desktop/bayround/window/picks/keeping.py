"""Keeping a row of the pick grid: asks for the explanation or the reason it needs, keeps it whole or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time

from PySide6.QtCore import QObject, Signal

from bayround.actions import picks
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickChange, PickEntry
from bayround.facts.problems import Problem
from bayround.window.desk import Desk
from bayround.window.parts.ask_line import AskLine
from bayround.window.parts.notice import ASK, STOP, Notice
from bayround.window.parts.time_field import TimeField
from bayround.window.picks.pick_model import PickGridModel
from bayround.words import _


@dataclass(frozen=True, slots=True)
class _Typed:
    """What was typed in one row of a day."""

    place: int
    added: list[PickEntry]
    changed: list[PickChange]
    day: date
    began: time | None
    picked_by: str | None
    over_before: bool
    """Somebody said that picking was over before a treatment of that day began."""


class RowKeeper(QObject):
    """Keeps one row at a time.

    Attributes:
        kept: a row was kept; the day should be read again.
        stays: the row that could not be kept; the cursor should go back to it.
    """

    kept = Signal()
    stays = Signal(int)

    def __init__(self, desk: Desk, model: PickGridModel, ask: AskLine, notice: Notice) -> None:
        super().__init__(ask)
        self._desk, self._model, self._ask, self._notice = desk, model, ask, notice
        self._sure: set[str] = set()

    def keep(self, place: int, day: date, began: TimeField, picked_by: str | None) -> None:
        """Keep what was typed in a row, after asking what has to be asked."""
        added, changed, wrong = self._model.settle(place)
        wrong = wrong or began.problem()
        if wrong:
            self._notice.say(STOP, wrong)
            self.stays.emit(place)
            return
        line = self._model.rows[place].line
        numbers = [(one.kg, one.fruit) for one in added] + [(one.kg, one.fruit) for one in changed]
        doubts = [text for kg, fruit in numbers if (text := picks.doubt(line, kg, fruit))]
        starts = picks.doubt_of_start(line, day, began.time_of_day()) if added else []
        doubts += starts
        asked = [text for text in doubts if text not in self._sure]
        if asked:
            self._ask_if_right(asked, lambda: self.keep(place, day, began, picked_by), place)
            return
        typed = _Typed(place, added, changed, day, began.time_of_day(), picked_by, bool(starts))
        if changed:
            self._ask.ask(
                _("{bay}: a number that was kept is changed. Why?").format(bay=line.name),
                _("Reason for the change"),
                lambda reason: self._explain(typed, reason),
                lambda: self.stays.emit(place),
            )
        elif added:
            self._explain(typed, "")
        else:
            self._done(place)

    def _explain(self, typed: _Typed, reason: str) -> None:
        """Ask why a stopped bay was picked all the same, then keep the whole row."""
        line = self._model.rows[typed.place].line
        stopped = picks.stopped_by(line, typed.day, typed.began) if typed.added else ()
        if not stopped:
            self._write(typed, reason, "")
            return
        self._ask.ask(
            _(
                "✕ {bay} is not to be picked: {why}. The product label and local rules decide. If it was "
                "picked all the same, write why; that is kept. Keep the fruit apart."
            ).format(bay=line.name, why="; ".join(stopped)),
            _("Why it was picked all the same"),
            lambda text: self._write(typed, reason, text),
            lambda: self.stays.emit(typed.place),
        )

    def _write(self, typed: _Typed, reason: str, explanation: str) -> None:
        farm, moment, bay_id = self._desk.farm, self._moment(), self._model.rows[typed.place].line.bay_id
        self._desk.tasks.change(
            lambda: picks.record(
                farm,
                typed.day,
                bay_id,
                typed.added,
                moment,
                picked_by_id=typed.picked_by,
                began=typed.began,
                explanation=explanation,
                changes=typed.changed,
                reason=reason,
                over_before=typed.over_before,
            ),
            lambda _made: self._done(typed.place),
            lambda error: self._refused(error, typed.place),
        )

    def _ask_if_right(self, asked: list[str], again: object, place: int) -> None:
        def right() -> None:
            self._sure.update(asked)
            self._notice.clear()
            if callable(again):
                again()

        def change() -> None:
            self._notice.clear()
            self.stays.emit(place)

        answers = ((_("&Yes, it is right"), right), (_("Fi&x it"), change))
        self._notice.say(ASK, "\n".join(asked), answers)

    def _done(self, place: int) -> None:
        self._ask.hide()
        if place < self._model.rowCount():
            self._model.throw_away(place)
        self.kept.emit()

    def _refused(self, error: BaseException, place: int) -> None:
        if not isinstance(error, Problem):
            raise error
        self._ask.hide()
        self._notice.refuse(error)
        self.stays.emit(place)

    def _moment(self) -> Moment:
        return Moment(self._desk.today(), self._desk.now(), self._desk.person_id)
