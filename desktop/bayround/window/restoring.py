"""Show the backups of the open farm, say what restoring one would change, and ask for it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from bayround.actions import backups
from bayround.actions.backups import BackupWords
from bayround.facts.problems import Problem
from bayround.window.desk import Desk
from bayround.window.parts.backups_dialog import BackupsDialog
from bayround.words import _


class Restoring(QObject):
    """Lists and previews on the farm's own thread; *restore* is handed the backup that is wanted.

    Attributes:
        dialog: the one that is open, if any.
    """

    def __init__(self, desk: Desk, window: QWidget, restore: Callable[[Path], None]) -> None:
        super().__init__(window)
        self._desk, self._window, self._restore = desk, window, restore
        self.dialog: BackupsDialog | None = None

    def start(self) -> None:
        """Show the backups; of a farm on a server there are none here."""
        if self._desk.farm.shared:
            self._desk.tell(
                _("Backups of a farm on a server are kept there: ask who looks after the server.")
            )
            return
        path = self._desk.farm.path
        self._desk.tasks.ask(lambda: backups.listed(path), self._show)

    def _show(self, found: tuple[BackupWords, ...]) -> None:
        dialog = BackupsDialog(self._desk.farm.path.name, found, self._window)
        self.dialog = dialog
        dialog.looked_at.connect(self._look)
        dialog.accepted.connect(lambda: self._restore(found[dialog.chosen].path))
        dialog.open()
        if found:
            self._look(dialog.chosen)

    def _look(self, number: int) -> None:
        dialog, path = self.dialog, self._desk.farm.path
        if dialog is None:
            return

        def failed(error: BaseException) -> None:
            if not isinstance(error, Problem):
                raise error
            dialog.show_preview(number, (str(error),), possible=False)

        self._desk.tasks.ask(
            lambda: backups.preview(path, dialog.found[number].path),
            lambda lines: dialog.show_preview(number, lines, possible=True),
            failed,
        )
