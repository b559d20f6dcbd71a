"""What goes out on paper: the entries of the menu “Paper”."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from bayround import words
from bayround.actions import data_package, file_names, sheets, walk_book
from bayround.facts.weeks import Week
from bayround.window import page_painting
from bayround.window.desk import Desk
from bayround.window.parts.message import MessageDialog
from bayround.window.parts.tick_dialog import TickDialog
from bayround.window.tasks_qt import QtTasks
from bayround.words import _

if TYPE_CHECKING:
    from bayround.figures.season_report import SeasonReport


class Papers(QObject):
    """Asks where to, reads on the farm's thread, writes beside it, says where it is."""

    def __init__(self, desk: Desk, tasks: QtTasks, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._tasks, self._window = desk, tasks, window
        self.message: MessageDialog | None = None
        self.people: TickDialog | None = None

    def acts(self) -> dict[str, Callable[[], object]]:
        """Return what each entry of the menu does."""
        return {
            "walk": self.walk_sheets,
            "walk book": self.walk_book,
            "job sheets": self.job_sheets,
            "season report": self.season_report,
            "package": self.data_package,
        }

    def walk_sheets(self) -> None:
        """Write the walk sheets of the week to walk next."""
        desk, today = self._desk, self._desk.today()
        self._pages(
            _("Walk sheets"),
            lambda: sheets.walk_sheets(desk.farm, None, today, scout_id=desk.person_id or ""),
        )

    def job_sheets(self) -> None:
        """Write the job sheets of today, of those who are chosen where several have jobs."""
        desk, today = self._desk, self._desk.today()
        self._tasks.ask(lambda: sheets.people_with_jobs(desk.farm, today), self._choose_people)

    def _choose_people(self, people: tuple[tuple[str, int], ...]) -> None:
        if len(people) < 2:
            self._job_sheets_of(None)
            return
        lines = [
            (name, f"{name or _('given to nobody yet')}  ({words.counted('{n} job', '{n} jobs', count)})")
            for name, count in people
        ]
        self.people = TickDialog(
            _("Job sheets to print"), _("Whose sheets? (Space ticks, Ctrl+A all)"), lines, self._job_sheets_of,
            self._window,
        )  # fmt: skip
        self.people.open()

    def _job_sheets_of(self, people: tuple[str, ...] | None) -> None:
        desk, today = self._desk, self._desk.today()
        self._pages(_("Job sheets"), lambda: sheets.job_sheets(desk.farm, None, today, people=people))

    def walk_book(self) -> None:
        """Write the walk sheets as a workbook to fill in."""
        desk, today = self._desk, self._desk.today()
        self._tasks.ask(lambda: sheets.coming_week(desk.farm, today), self._walk_book_of)

    def _walk_book_of(self, week: Week) -> None:
        desk, today, what = self._desk, self._desk.today(), _("Walk sheets to fill in")
        path = self._where(what, week, ".xlsx")
        if path is not None:
            self._tasks.ask(
                lambda: walk_book.write(desk.farm, path, week, today, desk.person_id or ""),
                lambda bays: self.tell(what, path, words.counted("{n} bay.", "{n} bays.", bays)),
            )

    def season_report(self) -> None:
        """Write the report of the newest season: a workbook or pages, as the name that is chosen ends."""
        from bayround.actions import season_report

        desk, today = self._desk, self._desk.today()
        self._tasks.ask(lambda: season_report.read(desk.farm, today), self._season_report_of)

    def _season_report_of(self, report: SeasonReport) -> None:
        from bayround.window import report_paper

        to = report_paper.where(self._desk, report)
        if to is not None:
            self._tasks.aside(
                lambda: report_paper.write(report, to), lambda written: self.tell(_("Season report"), written)
            )

    def data_package(self) -> None:
        """Write the whole farm as open data."""
        farm, what = self._desk.farm, _("Data package")
        kinds = _("Data package (*.zip)")
        proposed = farm.path.parent / data_package.default_name(farm)
        path = self._desk.questions.file_to_save(what, proposed, kinds)
        if path is not None:
            target = path if path.suffix else path.with_suffix(".zip")
            told = _("Every table of the farm as CSV, with a description. Names of people are in it.")
            self._tasks.ask(
                lambda: data_package.package(farm, target), lambda written: self.tell(what, written, told)
            )

    def tell(self, what: str, path: Path, rest: str = "") -> None:
        """Say that something is written, and where."""
        self.message = MessageDialog(
            what, _("{what}: written.").format(what=what), f"{path}\n\n{rest}".strip(), self._window
        )
        self.message.open()

    def _pages(self, what: str, make: Callable[[], sheets.Document]) -> None:
        self._tasks.ask(make, lambda document: self._paint(what, document))

    def _paint(self, what: str, document: sheets.Document) -> None:
        path = self._where(document.title, None, ".pdf")
        if path is None:
            return
        told = _("{n} pages. Open it to print; everything is black and white.").format(n=len(document.pages))
        self._tasks.aside(
            lambda: sheets.write_pages(document, path, page_painting.paint_pdf),
            lambda written: self.tell(what, written, told),
        )

    def _where(self, title: str, week: Week | None, suffix: str) -> Path | None:
        name = file_names.safe(f"{title} {week}" if week else title, suffix)
        kinds = {".pdf": _("Pages (*.pdf)"), ".xlsx": _("Workbook (*.xlsx)")}[suffix]
        path = self._desk.questions.file_to_save(title, self._desk.farm.path.parent / name, kinds)
        return path if path is None or path.suffix else path.with_suffix(suffix)
