"""Hand the weekly workbook over: read the week, ask where to, write it beside the window, say where it is.

Closing the week is the same with a question before and a line in the farm file after the workbook is written.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from bayround import words
from bayround.actions import week as week_actions
from bayround.actions.jobs import Moment
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.week.snapshot import WeekSnapshot
from bayround.window.desk import Desk
from bayround.window.parts.message import MessageDialog
from bayround.window.parts.progress import ProgressDialog
from bayround.window.tasks_qt import QtTasks
from bayround.words import _


class Handover(QObject):
    """One workbook at a time; the window stays usable while it is written."""

    closed = Signal()
    """A week was closed: the screen that is shown is to be read again."""

    def __init__(self, desk: Desk, tasks: QtTasks, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._tasks, self._window = desk, tasks, window
        self._progress: ProgressDialog | None = None
        self.message: MessageDialog | None = None

    def start(self, week: Week | None, close: bool = False) -> None:
        """Hand over a week, or the newest one; *close* it with that."""
        if self._progress is not None:
            return
        desk, today = self._desk, self._desk.today()
        self._tasks.ask(
            lambda: week_actions.with_history(desk.farm, desk.weeks.picture(desk.farm, week, today)),
            self._ask_to_close if close else self._ask_where,
        )

    def start_all_weeks(self) -> None:
        """Write the tables of all weeks into one workbook."""
        from bayround.actions import all_weeks

        farm = self._desk.farm
        if self._progress is None:
            self._tasks.ask(lambda: all_weeks.facts(farm), self._write_all_weeks)

    def _write_all_weeks(self, season: SeasonFacts) -> None:
        from bayround.actions import all_weeks

        desk, today = self._desk, self._desk.today()
        proposed = desk.farm.path.parent / all_weeks.default_name(season.farm.name)
        chosen = desk.questions.file_to_save(_("All weeks"), proposed, _("Workbook (*.xlsx)"))
        if chosen is None:
            return
        path = chosen if chosen.suffix else chosen.with_suffix(".xlsx")
        progress = self._open_progress(_("Writing the workbook of all weeks …"))
        self._tasks.aside(
            lambda: all_weeks.write(
                desk.farm,
                season,
                path,
                today,
                lambda share, text: progress.report(round(share * 100), 100, text),
                progress.cancelled.is_set,
            ),
            self._all_weeks_done,
            self._failed,
        )

    def _all_weeks_done(self, written: tuple[Path, int]) -> None:
        self._end_progress()
        path, count = written
        weeks = words.counted("{n} week", "{n} weeks", count)
        self._say(_("All weeks"), _("The workbook of {weeks} is written.").format(weeks=weeks), str(path))

    def _open_progress(self, text: str) -> ProgressDialog:
        progress = ProgressDialog(text, self._window)
        self._progress = progress
        progress.open()
        return progress

    def _say(self, title: str, text: str, rest: str) -> None:
        self.message = MessageDialog(title, text, rest, self._window)
        self.message.open()

    def _ask_to_close(self, snapshot: WeekSnapshot) -> None:
        from bayround.actions import closing

        desk = self._desk
        moment = Moment(desk.today(), desk.now(), desk.person_id)
        ready = closing.prepared(snapshot, moment)
        question = _("Hand over and close {week}?").format(week=snapshot.week)
        if ready is snapshot:
            question = _(
                "{week} is closed already and nothing changed since. Write its workbook again?"
            ).format(week=snapshot.week)
        if desk.questions.confirm(question, self._what_closing_means(snapshot), _("Hand over and close")):
            self._ask_where(ready)

    def _what_closing_means(self, snapshot: WeekSnapshot) -> str:
        who = snapshot.person_name(self._desk.person_id) or _("nobody chosen at the top right")
        means = _(
            "The farm file keeps what this workbook held, with your name ({who}). Nothing is locked: what is "
            "corrected later is listed in the next workbook."
        ).format(who=who)
        return "\n\n".join((means, *snapshot.warnings))

    def _ask_where(self, snapshot: WeekSnapshot) -> None:
        from bayround.actions import workbook

        proposed = self._desk.farm.path.parent / workbook.default_name(snapshot)
        path = self._desk.questions.file_to_save(
            _("Hand over weekly workbook"), proposed, _("Workbook (*.xlsx)")
        )
        if path is not None:
            self._write(snapshot, path if path.suffix else path.with_suffix(".xlsx"))

    def _write(self, snapshot: WeekSnapshot, path: Path) -> None:
        from bayround.actions import workbook

        progress = self._open_progress(_("Writing the workbook of {week} …").format(week=snapshot.week))
        crops = self._desk.farm.crops
        self._tasks.aside(
            lambda: workbook.write_week(
                snapshot,
                path,
                lambda share, text: progress.report(round(share * 100), 100, text),
                progress.cancelled.is_set,
                crops,
            ),
            lambda written: self._keep(written, snapshot),
            self._failed,
        )

    def _keep(self, written: Path, snapshot: WeekSnapshot) -> None:
        from bayround.actions import closing

        self._end_progress()
        farm, close = self._desk.farm, snapshot.close
        if close is None or close.revision != snapshot.revision:
            self._done(written, snapshot)
            return

        def kept(_new: bool) -> None:
            self._done(written, snapshot)
            self.closed.emit()

        self._tasks.change(lambda: closing.keep(farm, snapshot), kept)

    def _done(self, written: Path, snapshot: WeekSnapshot) -> None:
        self._say(
            _("Weekly workbook"),
            (
                _("The workbook of {week} is written and the week is closed.")
                if snapshot.close is not None
                else _("The workbook of {week} is written.")
            ).format(week=snapshot.week),
            _("{path}\n\nIt shows the farm as of {day}, revision {revision}.").format(
                path=written, day=snapshot.as_of.isoformat(), revision=snapshot.revision
            ),
        )

    def _failed(self, error: BaseException) -> None:
        from bayround.actions import workbook

        self._end_progress()
        if isinstance(error, workbook.Stopped):
            self._desk.tell(_("Stopped; no workbook was written."))
            return
        raise error

    def _end_progress(self) -> None:
        if self._progress is not None:
            self._progress.finish()
            self._progress = None
