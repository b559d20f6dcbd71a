"""Take in another laptop's farm file: look at what it brings, then merge; decide what the files disagree on."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from bayround.actions import conflict_words, merge
from bayround.actions.conflict_words import ConflictWords
from bayround.actions.merge import MergeReport
from bayround.window.desk import Desk
from bayround.window.parts.conflict_dialog import ConflictDialog
from bayround.window.parts.merge_dialog import MergeDialog
from bayround.words import _


class Merging(QObject):
    """One merge at a time, on the farm's own thread.

    Attributes:
        dialog: the one that is open, if any.
    """

    def __init__(self, desk: Desk, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._window = desk, window
        self.dialog: MergeDialog | ConflictDialog | None = None

    def start(self) -> None:
        """Ask for the other file and show what it would bring."""
        desk = self._desk
        path = desk.questions.file_to_open(
            _("Merge another laptop's file"), desk.farm.path.parent, _("Bayround farm (*.bayround)")
        )
        if path is not None:
            desk.tasks.ask(lambda: merge.preview(desk.farm, [path]), lambda found: self._show(found, path))

    def decide(self) -> None:
        """Show what waits for a decision."""
        farm = self._desk.farm
        self._desk.tasks.ask(lambda: conflict_words.open_ones(farm), self._show_conflicts)

    def _show(self, report: MergeReport, path: Path) -> None:
        dialog = MergeDialog(report, path, self._window)
        dialog.accepted.connect(lambda: self._merge(path))
        self._open(dialog)

    def _merge(self, path: Path) -> None:
        desk = self._desk
        now = desk.now()
        desk.tasks.change(lambda: merge.merge_into(desk.farm, [path], now), self._merged)

    def _merged(self, report: MergeReport) -> None:
        self._desk.tell(_("Merged. The farm from before is {file}.").format(
            file=report.backup.name if report.backup else _("as it was")))  # fmt: skip
        if report.conflicts:
            self._show_conflicts(report.conflicts)

    def _show_conflicts(self, found: tuple[ConflictWords, ...]) -> None:
        if not found:
            self._desk.tell(_("Nothing waits for a decision."))
            return
        dialog = ConflictDialog(found, self._window)
        dialog.decided.connect(self._decide)
        self._open(dialog)

    def _decide(self, number: int, value: str, reason: str) -> None:
        desk, dialog = self._desk, self.dialog
        if not isinstance(dialog, ConflictDialog):
            return
        conflict, now, person = dialog.conflicts[number].conflict, desk.now(), desk.person_id

        def work() -> tuple[ConflictWords, ...]:
            conflict_words.decide(desk.farm, conflict, value, person, now, reason)
            return conflict_words.open_ones(desk.farm)

        desk.tasks.change(work, dialog.show_conflicts)

    def _open(self, dialog: MergeDialog | ConflictDialog) -> None:
        self.dialog = dialog
        dialog.open()
