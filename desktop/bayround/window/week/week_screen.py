"""The Week screen: where every bay stands, on the map and in the table."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.facts.problems import Problem
from bayround.facts.weeks import Week
from bayround.week import changed, closed
from bayround.week.snapshot import WeekSnapshot
from bayround.window.desk import Desk
from bayround.window.parts.bay_view import SINCE, BayView
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.notice import ASK, GOOD, Notice
from bayround.window.parts.screen import Screen
from bayround.window.week.arrange_houses import ArrangeHouses
from bayround.window.week.bay_card import BayCard
from bayround.window.week.farm_map import FarmMap
from bayround.window.week.measures import MEASURES
from bayround.words import _

_NARROWEST_MAP = 326
_TOTALS = ("bays_planted", "bays_visited", "readings_count", "jobs_due", "hours_due")


class WeekScreen(Screen):
    """Shows one `WeekSnapshot`; the newest week with a round until another is stepped to."""

    name = "week"
    title = "Week"
    steps_weeks = True

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.snapshot: WeekSnapshot | None = None
        self._wanted: Week | None = None
        self.map = FarmMap()
        self.bays = BayView()
        self.card = BayCard()
        self.measure = QComboBox()
        self.measure.setAccessibleName(_("Shade the map by"))
        for measure in MEASURES:
            self.measure.addItem(_(measure.title), measure)
        self.measure.currentIndexChanged.connect(lambda _place: self.map.shade_by(self.measure.currentData()))
        self.as_of = QLabel()
        self.as_of.setObjectName("quiet")
        self.totals = FigureChips()
        self.notice = Notice()
        self.compare = QPushButton(_("&Compare weeks"))
        self.compare.setCheckable(True)
        self.compare.setAccessibleName(_("Compare with last week"))
        self.compare.setToolTip(_("Marks what changed since last week by more than its uncertainty"))
        self.arrange = QPushButton(_("Ar&range houses"))
        self.arrange.setCheckable(True)
        self.arranging = ArrangeHouses(desk, self.map, self.notice, self)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self._shared_out = False
        self.empty = EmptyState()
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._build_page())
        self._pages.addWidget(self.empty)
        self._join()

    def show_again(self, key: str = "") -> None:
        """Read the week again; *key* may be a bay to put the cursor on, or a week, ``2026-W47``."""
        if len(key) == 8 and key[4:6] == "-W":
            self._wanted, key = Week.parse(key), ""
        desk, week, today, compared = self.desk, self._wanted, self.desk.today(), self.compare.isChecked()

        def read() -> WeekSnapshot:
            snapshot = desk.weeks.picture(desk.farm, week, today)
            return changed.with_changes(snapshot) if compared else snapshot

        self.desk.tasks.ask(read, lambda snapshot: self._show(snapshot, key), self._show_problem)

    def commit_open_edit(self) -> bool:
        """Keep where the houses were moved; false while two lie on one another."""
        return self.arranging.keep()

    def kept(self) -> dict[str, str]:
        """Return the bay under the cursor, the week, what the map is shaded by, and the table's choices."""
        return {
            "key": self.bays.bay_id,
            "week": str(self._wanted or ""),
            "measure": str(self.measure.currentIndex()),
            "columns": str(self.bays.columns.currentIndex()),
            "filter": self.bays.filter.text(),
            "compare": "1" if self.compare.isChecked() else "",
        }

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Choose the week, the shading and the table's columns again."""
        self._wanted = Week.parse(kept["week"]) if kept.get("week") else None
        self.measure.setCurrentIndex(int(kept.get("measure", "0")))
        self.bays.columns.setCurrentIndex(int(kept.get("columns", "0")))
        self.bays.filter.setText(kept.get("filter", ""))
        if bool(kept.get("compare")) != self.compare.isChecked():
            self.compare.toggle()

    def step_week(self, weeks: int) -> None:
        """Show the week before or after."""
        if self.snapshot is not None:
            self._wanted = self.snapshot.week.plus(weeks)
            self.show_again()

    def first_focus(self) -> QWidget:
        """Return the table, or the button when the farm is empty."""
        return self.empty.button if self._pages.currentWidget() is self.empty else self.bays.table

    def _build_page(self) -> QWidget:
        page = QWidget()
        left = QWidget()
        left_column = QVBoxLayout(left)
        left_column.setContentsMargins(0, 0, 8, 0)
        left_column.setSpacing(8)
        left_column.addLayout(self._build_bar())
        left_column.addWidget(self.map, 1)
        left_column.addWidget(self.card)
        right = QWidget()
        right_column = QVBoxLayout(right)
        right_column.setContentsMargins(8, 0, 0, 0)
        right_column.addWidget(self.bays)
        split = self.split
        split.addWidget(left)
        split.addWidget(right)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 1)
        split.setChildrenCollapsible(False)
        top = QHBoxLayout()
        top.setSpacing(16)
        top.addWidget(self.totals, 1)
        top.addWidget(self.as_of)
        layout = QVBoxLayout(page)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.notice)
        layout.addWidget(split, 1)
        return page

    def _build_bar(self) -> QVBoxLayout:
        label = QLabel(_("&Shade by"))
        label.setBuddy(self.measure)
        bar, choice, buttons = QVBoxLayout(), QHBoxLayout(), QHBoxLayout()
        for line in (choice, buttons):
            line.setSpacing(8)
            bar.addLayout(line)
        choice.addWidget(label)
        choice.addWidget(self.measure, 1)
        buttons.addWidget(self.compare, 1)
        buttons.addWidget(self.arrange, 1)
        return bar

    def _join(self) -> None:
        self.map.moved.connect(self.bays.choose)
        self.bays.moved.connect(self.map.choose)
        self.bays.moved.connect(self._show_card)
        self.card.open_bay.clicked.connect(lambda: self._open_bay(self.bays.bay_id))
        self.map.opened.connect(self._open_bay)
        self.bays.opened.connect(self._open_bay)
        self.compare.toggled.connect(self._compare)
        self.bays.columns.currentIndexChanged.connect(self._view_chosen)
        self.arrange.toggled.connect(self._arrange)
        self.arranging.ended.connect(lambda: self.arrange.setChecked(False))
        self.arranging.kept.connect(self.show_again)
        find = QShortcut(QKeySequence.StandardKey.Find, self)
        find.activated.connect(self.bays.filter.setFocus)

    def _show(self, snapshot: WeekSnapshot, bay_id: str) -> None:
        self.snapshot = snapshot
        self._pages.setCurrentIndex(0)
        self.map.show_bays(snapshot.bays, str(snapshot.week.plus(-1)) if self.compare.isChecked() else "")
        self.bays.show_week(snapshot)
        if bay_id:
            self.bays.choose(bay_id)
        self.map.choose(self.bays.bay_id)
        self._show_card()
        self._share_width()
        self.totals.show_figures([snapshot.totals[key] for key in _TOTALS if key in snapshot.totals])
        self.as_of.setText(
            _("As of {day} · revision {revision}").format(
                day=words.weekday_day(snapshot.as_of), revision=snapshot.revision
            )
        )
        self._say_notes(snapshot)
        self._tell_week(snapshot)

    def _say_notes(self, snapshot: WeekSnapshot) -> None:
        if self.arranging.is_on:
            return
        told = [changed.sentence(snapshot)] if self.compare.isChecked() else []
        told += [text for text in (closed.told(snapshot), *snapshot.warnings) if text]
        if told:
            only_closed = not self.compare.isChecked() and not snapshot.warnings
            self.notice.say(GOOD if only_closed else ASK, "\n".join(told))
        else:
            self.notice.clear()

    def _compare(self, on: bool) -> None:
        """Mark what changed since last week on the map, and show it in the table."""
        view = str(self.bays.columns.currentData())
        if on and view != SINCE:
            self.bays.show_view(SINCE)
        elif not on and view == SINCE:
            self.bays.show_view("overview")
        if self.snapshot is not None:
            self.show_again()

    def _view_chosen(self, _place: int) -> None:
        if self.bays.columns.currentData() == SINCE:
            self.compare.setChecked(True)

    def _arrange(self, on: bool) -> None:
        if on and self.snapshot is not None and not self.arranging.is_on:
            self.arranging.start()
        elif not on and self.arranging.is_on and not self.arranging.keep():
            self.arrange.setChecked(True)
        if not on and self.snapshot is not None:
            self._say_notes(self.snapshot)

    def _tell_week(self, snapshot: WeekSnapshot) -> None:
        known, week = snapshot.weeks_with_rounds, snapshot.week
        newest = max((*known, Week.of(self.desk.today())))
        self.week_shown.emit(str(week), bool(known) and week > known[0], week < newest)

    def _show_problem(self, error: BaseException) -> None:
        if not isinstance(error, Problem):
            raise error
        if self.snapshot is not None and self._wanted != self.snapshot.week:
            self._wanted = self.snapshot.week
            self.desk.tell(str(error))
            return
        self.snapshot = None
        self.week_shown.emit("", False, False)
        self.empty.say(
            error.message,
            _("Set the farm up, then key in the first round. The week appears here by itself."),
            _("&Set up the farm"),
            lambda: self.desk.go("farm", ""),
        )
        self._pages.setCurrentWidget(self.empty)

    def _share_width(self) -> None:
        """Give the table what its columns need and the map the rest, once; afterwards the person's hand decides."""
        if not self._shared_out and self.isVisible():
            self._shared_out = True
            room = self.split.width()
            map_width = max(_NARROWEST_MAP, room - self.bays.wanted_width)
            self.split.setSizes([map_width, room - map_width])

    def _show_card(self) -> None:
        self.card.show_bay(self.bays.current)

    def _open_bay(self, bay_id: str) -> None:
        self.desk.go("bay", bay_id)
