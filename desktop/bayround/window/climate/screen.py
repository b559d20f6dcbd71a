"""The climate of a house, typed day by day: temperatures, humidity and light; the figures of each day beside them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import climate
from bayround.actions.climate import HouseClimate
from bayround.actions.jobs import Moment
from bayround.facts.work import ClimateDay
from bayround.window import theme
from bayround.window.climate.day_grid import DayGrid
from bayround.window.desk import Desk
from bayround.window.parts.day_field import DayField
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.explain import explain
from bayround.window.parts.notice import STOP, Notice
from bayround.window.parts.screen import Screen
from bayround.words import _, counted


class ClimateScreen(Screen):
    """One house and fourteen days at a time; what is typed is kept with Ctrl+S."""

    name = "climate"
    title = "House climate"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.shown: HouseClimate | None = None
        self.house = QComboBox()
        self.house.setAccessibleName(_("House"))
        self.last = DayField(_("Last day shown"), needed=True, start=desk.today())
        self.last.show_day(desk.today())
        self.grid = DayGrid()
        self.reason = QLineEdit()
        self.reason.setAccessibleName(_("Why a kept day is changed"))
        self.reason.setPlaceholderText(_("Only where a day that is kept already is changed"))
        self.keep = QPushButton(_("&Keep the days  (Ctrl+S)"))
        self.keep.setProperty("main", True)
        self.back = QPushButton(_("Back to the week (Esc)"))
        self.notice = Notice()
        self.empty = EmptyState()
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._build_page())
        self._pages.addWidget(self.empty)
        self._join()

    def show_again(self, key: str = "") -> None:
        """Read the days again; *key* is the id of a house or of a bay in it."""
        farm, last = self.desk.farm, self.last.day() or self.desk.today()
        wanted = key or str(self.house.currentData() or "")
        self.desk.tasks.ask(lambda: climate.read(farm, wanted, last), self._show)

    def kept(self) -> dict[str, str]:
        """Return the house that is shown."""
        return {"key": str(self.house.currentData() or "")}

    def commit_open_edit(self) -> bool:
        """Keep what was typed; false when it is refused."""
        if not self.grid.edited():
            return True
        self.keep_days()
        self.desk.tasks.drain()
        return not self.grid.edited()

    def first_focus(self) -> QWidget:
        """Return the first number, or the button of a farm without houses."""
        empty = self._pages.currentWidget() is self.empty
        return self.empty.button if empty else self.grid.first_empty()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape throws the typing away and goes back; F4 explains the figure of the day under the cursor."""
        if event.key() == Qt.Key.Key_Escape:
            self._show_days()
            self.desk.go("week", "")
        elif event.key() == Qt.Key.Key_F4 and (figure := self.grid.figure_here()) is not None:
            explain(figure, self)
        else:
            super().keyPressEvent(event)

    def keep_days(self) -> None:
        """Keep the days that were typed."""
        if problem := self.grid.problem():
            self.notice.say(STOP, problem)
            return
        typed, house_id, reason = self.grid.typed(), str(self.house.currentData() or ""), self.reason.text()
        seen = self._seen()
        farm, moment = self.desk.farm, Moment(self.desk.today(), self.desk.now(), self.desk.person_id)
        self.desk.tasks.change(
            lambda: climate.record(farm, house_id, typed, seen, moment, reason),
            self._kept,
            self.notice.refuse,
        )

    def _join(self) -> None:
        self.keep.clicked.connect(self.keep_days)
        self.back.clicked.connect(lambda: self.desk.go("week", ""))
        self.house.activated.connect(lambda _place: self._choose())
        self.last.editingFinished.connect(self._choose)
        QShortcut(QKeySequence("Ctrl+S"), self).activated.connect(self.keep_days)

    def _choose(self) -> None:
        """Show another house or other days, once what was typed is kept."""
        now = self.shown.days[0].day if self.shown and self.shown.days else None
        here = self.shown.houses[0].id if self.shown and self.shown.houses else ""
        if self.last.problem() or (self.last.day() == now and self.house.currentData() == here):
            return
        wanted = str(self.house.currentData() or "")
        if self.grid.edited():
            self.house.setCurrentIndex(self.house.findData(here))
            self.last.show_day(now)
            self.notice.say(
                STOP, _("Keep the days typed here first (Ctrl+S), or throw them away with Escape.")
            )
            return
        self.show_again(wanted)

    def _build_page(self) -> QWidget:
        top = QHBoxLayout()
        title = QLabel(_("House climate"))
        title.setFont(theme.scaled(self.font(), 1.3, bold=True))
        top.addWidget(title)
        top.addSpacing(24)
        for text, field, stretch in ((_("H&ouse"), self.house, 1), (_("La&st day"), self.last, 0)):
            label = QLabel(text)
            label.setBuddy(field)
            top.addWidget(label)
            top.addWidget(field, stretch)
        why = QHBoxLayout()
        label = QLabel(_("&Why"))
        label.setBuddy(self.reason)
        why.addWidget(label)
        why.addWidget(self.reason, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        buttons.addWidget(self.keep)
        buttons.addWidget(self.back)
        buttons.addStretch(1)
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(24, 12, 24, 12)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.grid, 1)
        layout.addLayout(why)
        layout.addWidget(self.notice)
        layout.addLayout(buttons)
        return page

    def _show(self, shown: HouseClimate) -> None:
        self.shown = shown
        if not shown.houses:
            self.empty.say(
                _("This farm has no house yet."),
                _("Enter its houses first; then the climate of each can be kept here."),
                _("&Set up the farm"),
                lambda: self.desk.go("farm", ""),
            )
            self._pages.setCurrentWidget(self.empty)
            return
        self._pages.setCurrentIndex(0)
        self.house.clear()
        for house in shown.houses:
            self.house.addItem(house.name, house.id)
        self._show_days()

    def _show_days(self) -> None:
        self.notice.clear()
        self.reason.clear()
        if self.shown is not None:
            self.grid.show_days(self.shown.days)

    def _seen(self) -> Mapping[date, ClimateDay]:
        days = self.shown.days if self.shown else ()
        return {one.day: one.kept for one in days if one.kept is not None}

    def _kept(self, counts: tuple[int, int]) -> None:
        self.grid.clear_edited()
        self.reason.clear()
        self.notice.clear()
        self.desk.tell(counted("{n} day is kept.", "{n} days are kept.", sum(counts)))
        self.show_again()
