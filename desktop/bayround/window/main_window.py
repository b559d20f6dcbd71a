"""The window: rail, header, screens, status line. It moves between screens and knows no numbers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLabel, QMainWindow, QVBoxLayout, QWidget

import bayround
from bayround import settings
from bayround.actions import pins, setup
from bayround.facts.farm import FarmInfo
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.window import menus, search, theme
from bayround.window.backups import Backups
from bayround.window.desk import Desk
from bayround.window.handover import Handover
from bayround.window.header import Header
from bayround.window.imports.bringing import Bringing
from bayround.window.inside_bar import InsideBar
from bayround.window.merging import Merging
from bayround.window.navigation import Rail
from bayround.window.others import Others
from bayround.window.page_stack import PageStack
from bayround.window.papers import Papers
from bayround.window.parts.help_dialog import HelpDialog
from bayround.window.parts.message import MessageDialog
from bayround.window.restoring import Restoring
from bayround.window.screens import SCREENS, MakeScreen
from bayround.window.tasks_qt import QtTasks
from bayround.window.whose_desk import WhoseDesk
from bayround.words import _

_TOLD_FOR_MS = 8000
_LOOK_AT_CLOCK_MS = 60_000


@dataclass(frozen=True, slots=True)
class Doors:
    """Ways to another farm; `start_window` leads them there."""

    new: Callable[[], None] = lambda: None
    open: Callable[[], None] = lambda: None
    server: Callable[[], None] = lambda: None
    sample: Callable[[], None] = lambda: None
    restore: Callable[[Path], None] = lambda _backup: None
    rebuild: Callable[[], None] = lambda: None


class MainWindow(QMainWindow):
    """One open farm. It closes the farm file when it is closed.

    Attributes:
        closed: the window is gone and the farm file is whole on disk.
    """

    closed = Signal()

    def __init__(
        self,
        desk: Desk,
        tasks: QtTasks,
        doors: Doors | None = None,
        screens: Mapping[str, MakeScreen] = SCREENS,
    ) -> None:
        super().__init__()
        self.desk, self._tasks = desk, tasks
        desk.go, desk.tell = self._go_from_screen, self.tell
        self.rail, self.header = Rail(), Header()
        self.pages = PageStack(desk, screens)
        self.handover = Handover(desk, tasks, self)
        self.papers = Papers(desk, tasks, self)
        desk.print_jobs = self.papers.job_sheets
        self.bringing = Bringing(desk, tasks, self)
        self.backups = Backups(desk, self)
        self.merging = Merging(desk, self)
        self.inside = InsideBar(desk, self)
        self.others = Others(desk, tasks, self)
        self.restoring = Restoring(desk, self, (doors or Doors()).restore)
        self.dialog: QWidget | None = None
        self.whose = WhoseDesk(desk, self, self._keep_open_edit)
        self._today = desk.today()
        self._lay_out()
        self.actions_made = menus.build(self, self._acts(doors or Doors()), self.go)
        for name, setting in (("dark", settings.THEME), ("large", settings.LARGE_TYPE)):
            self.actions_made[name].setChecked(settings.read(setting) in {"dark", True})
        self._join()
        self._refresh_header()
        QTimer.singleShot(0, self.backups.if_changed)

    def go(self, name: str, key: str = "") -> bool:
        """Go to a screen; false when the present one has something that can't be kept."""
        at = self.pages.current
        if name in {"house", "climate"} and not key and at is not None:
            key = at.bay_here()
        return self.pages.go(name, key)

    def tell(self, text: str) -> None:
        """Show a short message in the status line."""
        self.statusBar().showMessage(text, _TOLD_FOR_MS)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep what is open, finish what was begun, close the farm file."""
        screen = self.pages.current
        if screen is not None and not screen.commit_open_edit():
            question = _("Something typed here can't be kept as it is.")
            follows = _("Go back to put it right, or close without it. Everything else is kept.")
            if not self.desk.questions.confirm(question, follows, _("Close without it")):
                event.ignore()
                return
        self._clock.stop()
        self.others.stop()
        self.inside.stop()
        self.whose.stop()
        self._header_timer.stop()
        self._keep_size()
        self._tasks.drain()
        self._tasks.ask(self.desk.farm.close, lambda _nothing: None)
        self._tasks.drain()
        event.accept()
        self.closed.emit()

    def _acts(self, doors: Doors) -> dict[str, menus.Act]:
        return {
            "new": doors.new,
            "open": doors.open,
            "server": doors.server,
            "sample": doors.sample,
            "rebuild": doors.rebuild,
            **self.papers.acts(),
            **self.bringing.acts(),
            "workbook": self._hand_over,
            "all weeks": lambda: self.handover.start_all_weeks(),
            "close week": lambda: self._hand_over(close=True),
            "backup": self.backups.now,
            "restore": self.restoring.start,
            "merge": self.merging.start,
            "decide": self.merging.decide,
            "inside": self.inside.open_list,
            "quit": self.close,
            "search": self._search,
            "earlier": lambda: self._step_week(-1),
            "later": lambda: self._step_week(1),
            "dark": lambda: self._choose_look(settings.THEME, "dark" if self._checked("dark") else "light"),
            "large": lambda: self._choose_look(settings.LARGE_TYPE, self._checked("large")),
            "help": self._help,
            "about": self._about,
        }

    def _lay_out(self) -> None:
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        right.addWidget(self.header)
        right.addWidget(self.inside)
        right.addWidget(self.pages, 1)
        middle = QWidget()
        layout = QHBoxLayout(middle)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.rail)
        layout.addLayout(right, 1)
        self.setCentralWidget(middle)
        self._busy = QLabel(_("Working …"))
        self._busy.hide()
        self._state = QLabel()
        self.statusBar().addPermanentWidget(self._busy)
        self.statusBar().addPermanentWidget(self._state)
        self.resize(int(settings.read(settings.WINDOW_WIDTH)), int(settings.read(settings.WINDOW_HEIGHT)))

    def _join(self) -> None:
        self.rail.wanted.connect(self.go)
        self.header.stepped.connect(self._step_week)
        self.header.person_chosen.connect(self.whose.choose)
        self.whose.changed.connect(lambda: self.header.show_person(self.desk.person_id or ""))
        self.pages.came_up.connect(self.rail.show_page)
        self.pages.stayed.connect(self._say_why_it_stays)
        self.pages.week_shown.connect(self._show_week)
        self._tasks.changed.connect(self.pages.farm_changed)
        self._tasks.changed.connect(self.inside.farm_changed)
        QTimer.singleShot(0, self._look_inside)  # after the first screen has asked for what it shows
        self.handover.closed.connect(self.pages.day_changed)
        self._tasks.changed.connect(self.backups.farm_changed)
        self._tasks.busy.connect(self._busy.setVisible)
        self._header_timer = QTimer(self)
        self._header_timer.setSingleShot(True)
        self._header_timer.setInterval(500)
        self._header_timer.timeout.connect(self._refresh_header)
        self._tasks.changed.connect(self._header_timer.start)
        self._clock = QTimer(self)
        self._clock.setInterval(_LOOK_AT_CLOCK_MS)
        self._clock.timeout.connect(self._look_at_clock)
        self._clock.start()

    def _go_from_screen(self, name: str, key: str) -> None:
        self.go(name, key)

    def _look_inside(self) -> None:
        if self.isVisible():
            self.inside.look()

    def _say_why_it_stays(self, name: str) -> None:
        self.rail.show_page(name)
        self.tell(_("Not kept yet: look at what is marked. Escape throws the typing away."))

    def _show_week(self, week: str, has_earlier: bool, has_later: bool) -> None:
        self.header.show_week(week, has_earlier, has_later)
        for name, possible in (("earlier", has_earlier), ("later", has_later)):
            self.actions_made[name].setEnabled(possible)

    def _step_week(self, step: int) -> None:
        screen = self.pages.current
        if screen is not None and screen.steps_weeks and screen.commit_open_edit():
            screen.step_week(step)

    def _refresh_header(self) -> None:
        farm = self.desk.farm

        def read() -> tuple[FarmInfo, SeasonFacts, frozenset[str]]:
            return farm.info, setup.read(farm), pins.with_pin(farm)

        self._tasks.ask(read, lambda found: self._show_header(*found))

    def _show_header(self, info: FarmInfo, known: SeasonFacts, with_pin: frozenset[str]) -> None:
        self.setWindowTitle(f"{info.name} – Bayround")
        self.header.show_farm(info, known.people, self.whose.show_people(known.people, with_pin))
        self._state.setText(
            _("{file} · revision {revision}").format(file=self.desk.farm.name, revision=info.revision)
        )

    def _keep_open_edit(self) -> None:
        if self.pages.current is not None:
            self.pages.current.commit_open_edit()

    def _checked(self, name: str) -> bool:
        return self.actions_made[name].isChecked()

    def _choose_look(self, setting: settings.Setting, value: settings.Value) -> None:
        screen, app = self.pages.current, QApplication.instance()
        if not isinstance(app, QApplication) or (screen is not None and not screen.commit_open_edit()):
            return
        settings.write(setting, value)
        theme.apply_chosen(app)
        self.rail.draw()
        self.header.draw()
        self.pages.make_anew()

    def _hand_over(self, close: bool = False) -> None:
        screen = self.pages.current
        if screen is not None and screen.commit_open_edit():
            week = self.header.shown_week if screen.steps_weeks else ""
            self.handover.start(Week.parse(week) if week else None, close)

    def _search(self) -> None:
        self._tasks.ask(lambda: search.read_places(self.desk), self._open_search)

    def _open_search(self, places: tuple[search.Place, ...]) -> None:
        self._open(search.SearchDialog(places, self._go_from_screen, self))

    def _help(self) -> None:
        screen = self.pages.current
        if screen is not None:
            self._open(HelpDialog(screen.name, _(screen.title), menus.keys(self.actions_made), self))

    def _about(self) -> None:
        version = _("Bayround {version}").format(version=bayround.__version__)
        rest = _(
            "Weekly rounds of net houses and greenhouses. Every number can say how it is known: F4, or press it."
        )
        self._open(MessageDialog(_("About"), version, rest, self))

    def _open(self, dialog: HelpDialog | MessageDialog | search.SearchDialog) -> None:
        self.dialog = dialog
        dialog.finished.connect(lambda _result: self.activateWindow())
        dialog.open()

    def _look_at_clock(self) -> None:
        today: date = self.desk.today()
        if today != self._today:
            self._today = today
            self.pages.day_changed()

    def _keep_size(self) -> None:
        settings.write(settings.WINDOW_WIDTH, self.width())
        settings.write(settings.WINDOW_HEIGHT, self.height())
