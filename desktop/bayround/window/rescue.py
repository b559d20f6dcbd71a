"""A farm file that can't be opened, or is to be replaced: restore a backup, or save what can be read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMainWindow

from bayround.actions import backups
from bayround.actions.backups import Offer
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import FarmFileProblem
from bayround.window.parts.damaged_dialog import RESTORE, SALVAGE, DamagedDialog
from bayround.window.parts.message import MessageDialog
from bayround.window.tasks_qt import QtTasks
from bayround.words import _


class Rescue(QObject):
    """One file at a time, on the farm's own thread; no farm is open meanwhile.

    Attributes:
        dialog: what was shown last, if anything.
    """

    def __init__(
        self,
        tasks: QtTasks,
        window: Callable[[], QMainWindow],
        show_farm: Callable[[OpenFarm], None],
        show_error: Callable[[BaseException], None],
        open_file: Callable[[Path], None],
    ) -> None:
        super().__init__()
        self._tasks, self._window, self._show_farm = tasks, window, show_farm
        self._show_error, self._open = show_error, open_file
        self.dialog: DamagedDialog | MessageDialog | None = None

    def offer(self, path: Path, error: BaseException) -> None:
        """Say why a file could not be opened, and what can be done where a backup or the file itself allows."""
        if not isinstance(error, FarmFileProblem):
            self._show_error(error)
            return
        self._tasks.ask(
            lambda: backups.offer(path),
            lambda found: self._show(error, found) if found else self._show_error(error),
            lambda _other: self._show_error(error),
        )

    def restore(self, path: Path, backup: Path, *, damaged: bool = False) -> None:
        """Put a backup in the place of a file and open it; when that fails open the file again, unless *damaged*."""

        def done(found: tuple[OpenFarm, str]) -> None:
            farm, told = found
            self._show_farm(farm)
            self._window().statusBar().showMessage(told)

        def failed(error: BaseException) -> None:
            self._show_error(error)
            if not damaged:
                self._open(path)

        self._tasks.ask(lambda: backups.restore(path, backup), done, failed)

    def _show(self, problem: FarmFileProblem, found: Offer) -> None:
        dialog = DamagedDialog(problem, found, self._window())
        self.dialog = dialog
        dialog.finished.connect(lambda _result: self._decided(dialog.wanted, found))
        dialog.open()

    def _decided(self, wanted: str, found: Offer) -> None:
        if wanted == RESTORE and found.backup is not None:
            self.restore(found.path, found.backup.path, damaged=True)
        elif wanted == SALVAGE:
            self._salvage(found)

    def _salvage(self, found: Offer) -> None:
        target = backups.free_name(found.path)
        backup = found.backup.path if found.backup else None

        def done(lines: tuple[str, ...]) -> None:
            self._open(target)
            self._tasks.drain()
            self.dialog = MessageDialog(
                _("Saved what can be read"),
                _("Written: “{name}”. Look it through.").format(name=target.name),
                "\n".join(lines),
                self._window(),
            )
            self.dialog.open()

        self._tasks.ask(lambda: backups.salvage(found.path, target, backup), done, self._show_error)
