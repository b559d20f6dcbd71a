"""A farm on a server changes without us: look every few seconds whether others wrote, and read again then."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer

from bayround.facts.problems import Problem
from bayround.window.desk import Desk
from bayround.window.tasks_qt import QtTasks

LOOK_EVERY_MS = 5_000


class Others(QObject):
    """Does nothing for a farm file: nobody else writes to it while it is open here."""

    def __init__(self, desk: Desk, tasks: QtTasks, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk, self._tasks = desk, tasks
        self._seen: int | None = None
        self._asked = False
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_EVERY_MS)
        self._timer.timeout.connect(self.look)
        if desk.farm.shared:
            self._timer.start()

    def stop(self) -> None:
        """Look no more."""
        self._timer.stop()

    def look(self) -> None:
        """Ask for the farm's revision; when it rose, the screens are told to read again."""
        if self._asked:
            return  # the server is slow to answer, or away: one question at a time
        self._asked = True
        farm = self._desk.farm
        self._tasks.ask(lambda: farm.info.revision, self._answered, self._failed)

    def _answered(self, revision: int) -> None:
        self._asked = False
        before, self._seen = self._seen, revision
        if before is not None and revision != before:
            self._tasks.changed.emit()

    def _failed(self, error: BaseException) -> None:
        self._asked = False
        if not isinstance(error, Problem):
            raise error
        self._desk.tell(error.message)
