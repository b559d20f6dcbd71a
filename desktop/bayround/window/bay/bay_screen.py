"""The Bay screen: one bay's season in charts, and every reading behind them."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSplitter,
    QStackedLayout,
    QTableView,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from bayround.facts.problems import Problem
from bayround.facts.weeks import Week
from bayround.window import theme
from bayround.window.bay import season as season_reading
from bayround.window.bay.bay_pages import BayPages
from bayround.window.bay.readings_table import ReadingsModel
from bayround.window.bay.season import BaySeason
from bayround.window.bay.season_chart import SeasonChart
from bayround.window.desk import Desk
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.explain import explain
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.lead_to import lead_to
from bayround.window.parts.screen import Screen
from bayround.window.parts.short_label import ShortLabel
from bayround.words import _, counted

_CHIPS = (
    "age_weeks",
    "days_since_visit",
    "growth_cm_week",
    "days_to_tie",
    "fruit_to_remove",
    "picks_kg_next",
)


_MEASURED = 60
"""So many rows say how wide the columns have to be."""


class BayScreen(Screen):
    """Shows one `BaySeason`; the last bay shown until another is asked for."""

    name = "bay"
    title = "Bay"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.season: BaySeason | None = None
        self._bay_id = ""
        self.heading = ShortLabel()
        self.heading.setFont(theme.scaled(self.font(), 1.3, bold=True))
        self.before = QPushButton(_("Bay bef&ore"))
        self.after = QPushButton(_("Bay &after"))
        self.jobs = QPushButton()
        self.chips = FigureChips()
        self.chart = SeasonChart()
        self.model = ReadingsModel()
        self.table = QTableView()
        self.filter = QLineEdit()
        self.count = QLabel()
        self.tabs = QTabWidget()
        self.empty = EmptyState()
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._build_page())
        self._pages.addWidget(self.empty)
        self._join()

    def show_again(self, key: str = "") -> None:
        """Read a bay's season again; *key* is the bay's id."""
        self._bay_id = key or self._bay_id
        desk, bay_id, today = self.desk, self._bay_id, self.desk.today()
        self.desk.tasks.ask(
            lambda: season_reading.read(desk.farm, desk.weeks, bay_id, today), self._show, self._show_problem
        )

    def kept(self) -> dict[str, str]:
        """Return the bay and the page of it that is shown."""
        return {"key": self._bay_id, "page": str(self.tabs.currentIndex()), "filter": self.filter.text()}

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Turn to the page again."""
        self.tabs.setCurrentIndex(int(kept.get("page", "0")))
        self.filter.setText(kept.get("filter", ""))

    def first_focus(self) -> QWidget:
        """Return the charts, or the button where there is nothing."""
        return self.empty.button if self._pages.currentWidget() is self.empty else self.chart

    def _build_page(self) -> QWidget:
        self._dress_table()
        self.filter.setPlaceholderText(_("Filter readings  (Ctrl+F)"))
        self.filter.setAccessibleName(_("Filter readings"))
        self.filter.setClearButtonEnabled(True)
        self.count.setObjectName("quiet")
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.heading, 1)
        for button in (self.jobs, self.before, self.after):
            top.addWidget(button)
        lower = QWidget()
        column = QVBoxLayout(lower)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(8)
        line = QHBoxLayout()
        line.addWidget(self.filter, 1)
        line.addWidget(self.count)
        column.addLayout(line)
        column.addWidget(self.table, 1)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.chart)
        split.addWidget(lower)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 2)
        split.setChildrenCollapsible(False)
        self.tabs.addTab(split, _("Season"))
        self.tabs.setAccessibleName(_("Pages of the bay"))
        self.pages = BayPages(self.desk, self.tabs)
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.chips)
        layout.addWidget(self.tabs, 1)
        return page

    def _find(self) -> None:
        """The readings stand on the first page: turn to it, then to their filter."""
        self.tabs.setCurrentIndex(0)
        self.filter.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _dress_table(self) -> None:
        self.table.setModel(self.model)
        self.table.setAccessibleName(_("Readings"))
        self.table.setAlternatingRowColors(True)
        self.table.setShowGrid(False)
        self.table.setTabKeyNavigation(False)
        self.table.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setHighlightSections(False)
        self.table.horizontalHeader().setStretchLastSection(True)

    def _join(self) -> None:
        self.before.clicked.connect(lambda: self._step(-1))
        self.after.clicked.connect(lambda: self._step(1))
        self.jobs.clicked.connect(lambda: self.desk.go("jobs", self._bay_id))
        self.pages.arrived.connect(lambda insight: self.chart.show_curve(insight.curve_points))
        self.chart.asked_why.connect(lambda figure: explain(figure, self))
        self.chart.week_read.connect(self._go_to_week)
        self.filter.textChanged.connect(self._narrow)
        QShortcut(QKeySequence("Alt+Up"), self).activated.connect(lambda: self._step(-1))
        QShortcut(QKeySequence("Alt+Down"), self).activated.connect(lambda: self._step(1))
        lead_to(self.filter, self.table)
        QShortcut(QKeySequence.StandardKey.Find, self).activated.connect(self._find)

    def _show(self, season: BaySeason) -> None:
        self.season = season
        self._bay_id = season.now.bay.id
        self._pages.setCurrentIndex(0)
        self.heading.setText(season.title)
        jobs = len(season.now.jobs)
        self.jobs.setText(counted("{n} &job due", "{n} &jobs due", jobs))
        self.jobs.setEnabled(jobs > 0)
        self.before.setEnabled(bool(season.beside(-1)))
        self.after.setEnabled(bool(season.beside(1)))
        figures = (season.now.latest[key] for key in _CHIPS if key in season.now.latest)
        self.chips.show_figures([figure for figure in figures if figure.value is not None])
        self.chart.show_season(season)
        self.pages.show_bay(season.now.bay.id)
        self.model.show_season(season)
        self._narrow(self.filter.text())
        self._fit()

    def _go_to_week(self, week: Week) -> None:
        """Let the table follow the charts: the readings of the week come up."""
        row = self.model.row_of(week)
        if row >= 0:
            self.table.selectRow(row)
            self.table.scrollTo(self.model.index(row, 0), QTableView.ScrollHint.PositionAtTop)

    def _narrow(self, text: str) -> None:
        self.model.narrow(text)
        self.count.setText(counted("{n} reading", "{n} readings", self.model.rowCount()))

    def _fit(self) -> None:
        measure = QFontMetrics(self.table.font())
        self.table.verticalHeader().setDefaultSectionSize(measure.height() + 6)
        for section in range(self.model.columnCount()):
            title = str(self.model.headerData(section, Qt.Orientation.Horizontal))
            texts = title.split("\n")
            shown = (self.model.text(row, section) for row in range(min(self.model.rowCount(), _MEASURED)))
            texts += sorted(shown, key=len)[-3:]
            self.table.setColumnWidth(section, max(measure.horizontalAdvance(text) for text in texts) + 28)

    def _step(self, step: int) -> None:
        beside = self.season.beside(step) if self.season else ""
        if beside:
            self.show_again(beside)

    def _show_problem(self, error: BaseException) -> None:
        if not isinstance(error, Problem):
            raise error
        self.empty.say(
            error.message,
            _("A bay's season grows with every finished visit."),
            _("Go to &Visit"),
            lambda: self.desk.go("visit", ""),
        )
        self._pages.setCurrentWidget(self.empty)
