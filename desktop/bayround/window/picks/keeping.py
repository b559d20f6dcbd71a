"""Keeping a row of the pick grid: asks for the explanation or the reason it needs, keeps it whole or not at all."""

from __future__ import annotations

from datetime import date, time

from PySide6.QtCore import QObject, Signal

from bayround.actions import picks
from bayround.actions.jobs import Moment
from bayround.actions.picks import PickEntry
from bayround.facts.problems import Problem
from bayround.facts.work import Pick
from bayround.window.desk import Desk
from bayround.window.parts.ask_line import AskLine
from bayround.window.parts.notice import ASK, STOP, Notice
from bayround.window.parts.time_field import TimeField
from bayround.window.picks.pick_model import PickGridModel
from bayround.words import _

Corrections = list[tuple[Pick, float, int | None]]


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
        added, corrected, wrong = self._model.settle(place)
        wrong = wrong or began.problem()
        if wrong:
            self._notice.say(STOP, wrong)
            self.stays.emit(place)
            return
        line = self._model.rows[place].line
        numbers = [(entry.kg, entry.fruit) for entry in added] + [
            (kg, fruit) for _pick, kg, fruit in corrected
        ]
        doubts = [text for kg, fruit in numbers if (text := picks.doubt(line, kg, fruit))]
        asked = [text for text in doubts if text not in self._sure]
        if asked:
            self._ask_if_right(asked, lambda: self.keep(place, day, began, picked_by), place)
            return
        if corrected:
            self._ask.ask(
                _("{bay}: a number that was kept is changed. Why?").format(bay=line.name),
                _("Reason for the change"),
                lambda reason: self._correct(
                    place, corrected, added, day, began.time_of_day(), picked_by, reason
                ),
                lambda: self.stays.emit(place),
            )
            return
        self._add(place, added, day, began.time_of_day(), picked_by)

    def _add(
        self,
        place: int,
        added: list[PickEntry],
        day: date,
        began: time | None,
        picked_by: str | None,
        explanation: str = "",
    ) -> None:
        if not added:
            self._done(place)
            return
        line = self._model.rows[place].line
        reasons = picks.stopped_by(line, day, began)
        if reasons and not explanation:
            self._ask.ask(
                _(
                    "✕ {bay} is not to be picked: {why}. The product label and local rules decide. If it was "
                    "picked all the same, write why; that is kept. Keep the fruit apart."
                ).format(bay=line.name, why="; ".join(reasons)),
                _("Why it was picked all the same"),
                lambda text: self._add(place, added, day, began, picked_by, text),
                lambda: self.stays.emit(place),
            )
            return
        farm, moment = self._desk.farm, self._moment()
        self._desk.tasks.change(
            lambda: picks.record(
                farm,
                day,
                line.bay_id,
                added,
                moment,
                picked_by_id=picked_by,
                began=began,
                explanation=explanation,
            ),
            lambda _made: self._done(place),
            lambda error: self._refused(error, place),
        )

    def _correct(
        self,
        place: int,
        corrected: Corrections,
        added: list[PickEntry],
        day: date,
        began: time | None,
        picked_by: str | None,
        reason: str,
    ) -> None:
        farm, moment = self._desk.farm, self._moment()

        def keep() -> None:
            for pick, kg, fruit in corrected:
                picks.correct(farm, pick, kg, fruit, moment, reason)

        self._desk.tasks.change(
            keep,
            lambda _nothing: self._add(place, added, day, began, picked_by),
            lambda error: self._refused(error, place),
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

        answers = ((_("It is &right"), right), (_("&Change it"), change))
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
