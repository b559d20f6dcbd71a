"""Bring a file in from the menu: read beside the screen, looked at, agreed to, let in; or an import taken back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from bayround.actions import setup
from bayround.actions.imports import coming_back, preview_words
from bayround.actions.imports.coming_back import Book
from bayround.actions.imports.preview import Options, Preview
from bayround.actions.imports.preview_words import Import
from bayround.actions.jobs import Moment
from bayround.facts.season import SeasonFacts
from bayround.window.desk import Desk
from bayround.window.imports.imports_dialog import ImportsDialog
from bayround.window.imports.preview_dialog import PreviewDialog
from bayround.window.parts.progress import ProgressDialog
from bayround.window.tasks_qt import QtTasks
from bayround.words import _, counted

Found = tuple[Preview, SeasonFacts]


class Bringing(QObject):
    """One file at a time.

    Attributes:
        dialog: the one that is open, if any.
    """

    def __init__(self, desk: Desk, tasks: QtTasks, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._tasks, self._window = desk, tasks, window
        self._progress: ProgressDialog | None = None
        self.dialog: PreviewDialog | ImportsDialog | None = None

    def acts(self) -> dict[str, Callable[[], object]]:
        """Return what each entry of the menu does."""
        return {"bring in": self.start, "take back": self.list_imports}

    def start(self) -> None:
        """Ask for a file and read it."""
        if self._progress is not None:
            return
        kinds = _("Sheets and lists (*.xlsx *.csv *.tsv *.txt)")
        path = self._desk.questions.file_to_open(_("Bring in"), self._desk.farm.path.parent, kinds)
        if path is not None:
            self._read(path)

    def _read(self, path: Path) -> None:
        progress = ProgressDialog(_("Reading “{file}” …").format(file=path.name), self._window)
        self._progress = progress
        progress.open()
        tell = self._tell(progress, _("Reading “{file}” …").format(file=path.name))
        self._tasks.aside(
            lambda: coming_back.open_file(path, tell), lambda book: self._look(book, progress), self._failed
        )

    def _look(self, book: Book, progress: ProgressDialog) -> None:
        farm, moment = self._desk.farm, self._moment()
        tell = self._tell(progress, _("Comparing with the farm …"))

        def work() -> Found:
            return coming_back.look(farm, book, Options(), moment, tell), setup.read(farm)

        self._tasks.ask(work, lambda found: self._show(book, *found), self._failed)

    @staticmethod
    def _tell(progress: ProgressDialog, text: str) -> Callable[[float], bool]:
        def tell(share: float) -> bool:
            progress.report(round(share * 100), 100, text)
            return progress.cancelled.is_set()

        return tell

    def _show(self, book: Book, preview: Preview, known: SeasonFacts) -> None:
        self._end_progress()
        dialog = PreviewDialog(preview, known, self._window)
        dialog.said.connect(lambda: self._look_again(book, dialog))
        dialog.accepted.connect(lambda: self._bring_in(dialog.preview))
        self._open(dialog)

    def _look_again(self, book: Book, dialog: PreviewDialog) -> None:
        farm, moment, options = self._desk.farm, self._moment(), dialog.how.options()
        self._tasks.ask(
            lambda: coming_back.look(farm, book, options, moment), dialog.show_preview, dialog.refuse
        )

    def _bring_in(self, preview: Preview) -> None:
        farm, moment = self._desk.farm, self._moment()
        self._tasks.change(
            lambda: coming_back.bring_in(farm, preview, moment),
            lambda batch: self._desk.tell(
                counted("Brought in: {n} record or value.", "Brought in: {n} records and values.", batch.rows)
                + " "
                + _("Menu Paper takes it back.")
            ),
        )

    def list_imports(self) -> None:
        """Show the imports so far."""
        farm = self._desk.farm
        self._tasks.ask(lambda: coming_back.imports(farm), self._show_imports)

    def _show_imports(self, found: tuple[Import, ...]) -> None:
        dialog = ImportsDialog(found, self._window)
        dialog.wanted.connect(self._take_back)
        self._open(dialog)

    def _take_back(self, number: int) -> None:
        farm, moment, dialog = self._desk.farm, self._moment(), self.dialog
        question = _("Take import {n} back?").format(n=number)
        follows = _("What it brought goes out again; the history keeps what it said.")
        if not isinstance(dialog, ImportsDialog) or not self._desk.questions.confirm(
            question, follows, _("Take back")
        ):
            return

        def work() -> tuple[str, tuple[Import, ...]]:
            one, done = coming_back.back(farm, number, moment)
            return preview_words.taken_back_words(one, done), coming_back.imports(farm)

        def done(result: tuple[str, tuple[Import, ...]]) -> None:
            self._desk.tell(result[0])
            dialog.show_imports(result[1])

        self._tasks.change(work, done)

    def _moment(self) -> Moment:
        return Moment(self._desk.today(), self._desk.now(), self._desk.person_id)

    def _failed(self, error: BaseException) -> None:
        self._end_progress()
        if isinstance(error, coming_back.Stopped):
            self._desk.tell(_("Stopped; nothing was brought in."))
            return
        raise error

    def _end_progress(self) -> None:
        if self._progress is not None:
            self._progress.finish()
            self._progress = None

    def _open(self, dialog: PreviewDialog | ImportsDialog) -> None:
        self.dialog = dialog
        dialog.open()
