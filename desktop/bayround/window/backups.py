"""Backups without asking: when a farm is opened, after half an hour of changes, and when the person wants one."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, QTimer

from bayround import places
from bayround.actions import farm as farm_actions
from bayround.facts.problems import Problem
from bayround.window.desk import Desk
from bayround.words import _

EVERY_MS = 30 * 60 * 1000


class Backups(QObject):
    """Runs on the farm's own thread, so that a backup is never of half a change."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._changed = True  # the first one comes at opening
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.if_changed)
        self._timer.start()

    def farm_changed(self) -> None:
        """Note that there is something to back up."""
        self._changed = True

    def stop(self) -> None:
        """Make no more backups by itself."""
        self._timer.stop()
        self._changed = False

    def if_changed(self) -> None:
        """Back up when something changed since the last time; a failure is told, not shown in a box.

        A farm on a server is looked after there; a copy of it is made when the person wants one.
        """
        if self._changed and not self._desk.farm.shared:
            self._begin(lambda _made: None, self._tell_failure)

    def now(self) -> None:
        """Back up because the person wants it."""
        self._begin(lambda made: self._desk.tell(_("Backed up: {path}").format(path=made)), None)

    def _begin(self, done: object, failed: object) -> None:
        farm, folder, moment = self._desk.farm, places.backups_dir(self._desk.farm.path), self._desk.now()
        self._changed = False

        def work() -> Path:
            return farm_actions.back_up(farm, folder, moment)

        self._desk.tasks.ask(work, done, failed)  # type: ignore[arg-type]

    def _tell_failure(self, error: BaseException) -> None:
        self._changed = True
        if not isinstance(error, Problem):
            raise error
        self._desk.tell(_("No backup could be made: {why}").format(why=error.message))
