"""The Season screen: one year, put together as one likes; its yields, its course, its money, and what if."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedLayout,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import money_entries, season, season_report
from bayround.actions.money_entries import MoneyBook
from bayround.actions.season import SeasonBook
from bayround.facts.problems import Problem
from bayround.figures.money import MoneyLineOfGroup
from bayround.figures.season import GroupBy, SeasonLine
from bayround.figures.season_report import SeasonReport
from bayround.window import report_paper
from bayround.window.desk import Desk
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.screen import Screen
from bayround.window.season.books_page import BooksPage
from bayround.window.season.curves_page import CurvesPage
from bayround.window.season.money_page import MoneyPage
from bayround.window.season.season_page import SeasonPage
from bayround.window.season.what_if_page import WhatIfPage
from bayround.words import _


@dataclass(frozen=True, slots=True)
class _Seen:
    """A season put together in one way."""

    book: SeasonBook
    by: GroupBy
    lines: tuple[SeasonLine, ...]
    ages: dict[str, int]
    money: tuple[MoneyLineOfGroup, ...]
    entries: MoneyBook


class SeasonScreen(Screen):
    """Year and grouping above; five pages below."""

    name = "season"
    title = "Season"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.seen: _Seen | None = None
        self.year, self.by = QComboBox(), QComboBox()
        self.year.setAccessibleName(_("Year of transplanting"))
        self.by.setAccessibleName(_("Put together by"))
        for by in (GroupBy.VARIETY, *(one for one in GroupBy if one is not GroupBy.VARIETY)):
            self.by.addItem(_(by.value), by.value)
        self.season_page, self.curves_page = SeasonPage(), CurvesPage(desk)
        self.money_page, self.what_if_page = MoneyPage(), WhatIfPage(desk)
        self.books_page, self.empty = BooksPage(desk), EmptyState()
        self.report = QPushButton(_("Season r&eport …"))
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(_("Pages of the season"))
        for page, title in (
            (self.season_page, _("&Season")),
            (self.curves_page, _("Over &weeks")),
            (self.money_page, _("&Money")),
            (self.what_if_page, _("What &if")),
            (self.books_page, _("&Costs and prices")),
        ):
            self.tabs.addTab(page, title)
        self._lay_out()
        self.year.activated.connect(lambda _place: self.show_again())
        self.by.activated.connect(lambda _place: self.show_again())
        self.books_page.changed.connect(self.show_again)
        self.report.clicked.connect(self.write_report)

    def show_again(self, key: str = "") -> None:
        """Read the season again; *key* is a year."""
        farm, today = self.desk.farm, self.desk.today()
        wanted = int(key) if key.isascii() and key.isdigit() else self.year.currentData()
        by = GroupBy(self.by.currentData())

        def read() -> _Seen:
            book = season.read(farm, today, wanted)
            lines, ages = season.year_lines(book) if by is GroupBy.YEAR else (season.lines(book, by), {})
            entries = money_entries.of_facts(book.facts, farm)
            return _Seen(book, by, lines, dict(ages), season.money_lines(book, by), entries)

        self.desk.tasks.ask(read, self._show, self._refused)

    def write_report(self) -> None:
        """Write the report of the year shown; a change reckoned under What if goes with it."""
        if self.seen is None:
            return
        book, farm, reckoned = self.seen.book, self.desk.farm, self.what_if_page.report
        also = (reckoned,) if reckoned is not None else ()
        self.desk.tasks.ask(lambda: season_report.build(book, farm, also=also), self._write)

    def _write(self, report: SeasonReport) -> None:
        to = report_paper.where(self.desk, report)
        if to is not None:
            self.desk.tasks.ask(
                lambda: report_paper.write(report, to),
                lambda written: self.desk.tell(_("{file}: written.").format(file=written.name)),
            )

    def commit_open_edit(self) -> bool:
        """An entry that is typed but not kept stays in sight."""
        if self.books_page.is_changed:
            self.tabs.setCurrentWidget(self.books_page)
        return not self.books_page.is_changed

    def kept(self) -> dict[str, str]:
        """Return year, grouping and page."""
        year, by = str(self.year.currentData() or ""), str(self.by.currentData())
        return {"key": year, "by": by, "page": str(self.tabs.currentIndex())}

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Choose grouping and page again."""
        self.by.setCurrentIndex(max(self.by.findData(kept.get("by", "")), 0))
        self.tabs.setCurrentIndex(int(kept.get("page", "0")))

    def first_focus(self) -> QWidget:
        """Return what the page is walked with."""
        if self._pages.currentWidget() is self.empty:
            return self.empty.button
        page = self.tabs.currentWidget()
        if page is self.curves_page:
            return self.curves_page.chart
        if page is self.what_if_page:
            return self.what_if_page.bays
        if page is self.books_page:
            return self.books_page.form.kind
        return self.money_page.table if page is self.money_page else self.season_page.table

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape throws away what is typed of an entry."""
        if event.key() == Qt.Key.Key_Escape and self.books_page.is_changed:
            self.books_page.clear()
        else:
            super().keyPressEvent(event)

    def _show(self, seen: _Seen) -> None:
        self.seen = seen
        self._pages.setCurrentIndex(0)
        self.year.clear()
        for year in seen.book.years:
            self.year.addItem(str(year), year)
        self.year.setCurrentIndex(self.year.findData(seen.book.year))
        self.season_page.show_lines(seen.book, seen.lines, seen.by, seen.ages)
        self.curves_page.show_book(seen.book, seen.by)
        self.money_page.show_lines(seen.book, seen.money)
        self.what_if_page.show_book(seen.book)
        self.books_page.show_book(seen.entries)

    def _refused(self, error: BaseException) -> None:
        if not isinstance(error, Problem):
            raise error
        self.empty.say(error.message, error.to_do, _("&Set up the farm"), lambda: self.desk.go("farm", ""))
        self._pages.setCurrentWidget(self.empty)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(8)
        for text, box in ((_("&Year"), self.year), (_("Put together &by"), self.by)):
            label = QLabel(text)
            label.setBuddy(box)
            top.addWidget(label)
            top.addWidget(box)
        top.addStretch(1)
        top.addWidget(self.report)
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.tabs, 1)
        self._pages = QStackedLayout(self)
        self._pages.addWidget(page)
        self._pages.addWidget(self.empty)
