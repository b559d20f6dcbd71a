"""Hand the weekly workbook over: read the week, ask where to, write it beside the window, say where it is."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from bayround.actions import week as week_actions
from bayround.facts.weeks import Week
from bayround.week.snapshot import WeekSnapshot
from bayround.window.desk import Desk
from bayround.window.parts.message import MessageDialog
from bayround.window.parts.progress import ProgressDialog
from bayround.window.tasks_qt import QtTasks
from bayround.words import _


class Handover(QObject):
    """One workbook at a time; the window stays usable while it is written."""

    def __init__(self, desk: Desk, tasks: QtTasks, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._tasks, self._window = desk, tasks, window
        self._progress: ProgressDialog | None = None
        self.message: MessageDialog | None = None

    def start(self, week: Week | None) -> None:
        """Hand over a week, or the newest one."""
        if self._progress is not None:
            return
        desk, today = self._desk, self._desk.today()
        self._tasks.ask(
            lambda: week_actions.with_history(desk.farm, desk.weeks.picture(desk.farm, week, today)),
            self._ask_where,
        )

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

        progress = ProgressDialog(
            _("Writing the workbook of {week} …").format(week=snapshot.week), self._window
        )
        self._progress = progress
        progress.open()
        crops = self._desk.farm.crops
        self._tasks.aside(
            lambda: workbook.write_week(
                snapshot,
                path,
                lambda share, text: progress.report(round(share * 100), 100, text),
                progress.cancelled.is_set,
                crops,
            ),
            lambda written: self._done(written, snapshot),
            self._failed,
        )

    def _done(self, written: Path, snapshot: WeekSnapshot) -> None:
        self._end_progress()
        self.message = MessageDialog(
            _("Weekly workbook"),
            _("The workbook of {week} is written.").format(week=snapshot.week),
            _("{path}\n\nIt shows the farm as of {day}, revision {revision}.").format(
                path=written, day=snapshot.as_of.isoformat(), revision=snapshot.revision
            ),
            self._window,
        )
        self.message.open()

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
            self._progress.deleteLater()
            self._progress = None
