"""The Visit screen: walk the bays of a round and key each one in without the mouse."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from bayround import settings
from bayround.actions.rounds import WalkStop
from bayround.facts.farm import Person
from bayround.facts.problems import Problem
from bayround.facts.rounds import Round, VisitState
from bayround.week.visit_sheet import VisitSheet
from bayround.window.desk import Desk
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.explain import explain
from bayround.window.parts.screen import Screen
from bayround.window.visit import part_ring, second_pass
from bayround.window.visit.finishing import Finishing
from bayround.window.visit.keying_page import KeyingPage
from bayround.window.visit.panel_lines import CHECKS, FIGURES
from bayround.window.visit.round_bar import RoundBar, StartForm
from bayround.window.visit.side_panel import SidePanel
from bayround.window.visit.typed_changes import TypedChanges
from bayround.window.visit.visit_work import VisitWork
from bayround.window.visit.walk_list import WalkList
from bayround.words import _


class VisitScreen(Screen):
    """The walk at the left, the open bay in the middle, what it says already at the right."""

    name = "visit"
    title = "Visit"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.work = VisitWork(desk, self.isVisible, self)
        self.round_bar = RoundBar()
        self.walk = WalkList()
        self.page = KeyingPage(self.work)
        self.start_form = StartForm()
        self.empty = EmptyState()
        self.panel = SidePanel()
        self.changes = TypedChanges(self.page, self.work, self)
        self.finishing = Finishing(self.page, self.work, self)
        self._rounds: Sequence[Round] = ()
        self._people: Sequence[Person] = ()
        self._wanted = ""
        self._wanted_round: tuple[date, str] | None = None
        self._pages = QStackedWidget()
        for part in (self.page, self.start_form, self.empty):
            self._pages.addWidget(part)
        self._pages.currentChanged.connect(lambda _page: self._panel_beside_bay())
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        self._left = QWidget()
        column = QVBoxLayout(self._left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.round_bar)
        column.addWidget(self.walk, 1)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 8)
        layout.setSpacing(12)
        layout.addWidget(self._left)
        layout.addWidget(self._pages, 1)
        layout.addWidget(self.panel)

    def _connect(self) -> None:
        work = self.work
        work.rounds_read.connect(self._show_rounds)
        work.walk_read.connect(self._show_walk)
        work.opened.connect(self._show_opened)
        work.panel_read.connect(self.panel.show_panel)
        work.round_started.connect(self._round_started)
        work.round_refused.connect(lambda error: self.start_form.show_problem(_words_of(error)))
        work.finished.connect(self._finished)
        work.fault.connect(self._tell)
        self.round_bar.chosen.connect(self._choose_round)
        self.round_bar.new_wanted.connect(self.offer_round)
        self.round_bar.change_wanted.connect(self.offer_change)
        self.start_form.start.connect(work.start_round)
        self.start_form.change.connect(work.change_round)
        self.start_form.cancelled.connect(self._cancel_round)
        self.walk.chosen.connect(self._open)
        self.panel.asked.connect(lambda figure: explain(figure, self))
        for table in (self.page.sections.checks, self.page.sections.cards):
            table.entered.connect(lambda: self.panel.show_part(_(CHECKS)))
        self.page.grid.entered.connect(lambda: self.panel.show_part(_(FIGURES)))
        for keys, act in (
            ("F6", lambda: self.go_round(1)),
            ("Shift+F6", lambda: self.go_round(-1)),
            ("Ctrl+Return", self.finishing.start),
            ("Ctrl+Enter", self.finishing.start),
            ("Ctrl+M", self.page.bar.advance.toggle),
            ("F8", lambda: second_pass.start(self.page)),
            ("Ctrl+PgDown", lambda: self._open_beside(1)),
            ("Ctrl+PgUp", lambda: self._open_beside(-1)),
        ):
            within = Qt.ShortcutContext.WidgetWithChildrenShortcut
            QShortcut(QKeySequence(keys), self, context=within).activated.connect(act)

    # -- what the main window asks of every screen ---------------------------------------------------------

    def show_again(self, key: str = "") -> None:
        """Read the rounds and the open bay again; *key* is a round or a bay to show."""
        self._wanted = key or self._wanted
        self.work.read_rounds()
        self.work.refresh()

    def commit_open_edit(self) -> bool:
        """Keep what stands in open editors; false when a number is refused, or can't be saved so far."""
        kept = self.page.commit_open()
        if kept and self.work.keeper.not_saved:
            self.work.keeper.retry()
            self.page.message.say(_("Not saved yet. What you typed stays here and is tried again."))
        return kept and not self.work.keeper.not_saved

    def kept(self) -> dict[str, str]:
        """Return the round walked and the bay that is open."""
        return {"key": self.walk.walk.open_bay_id, "round": self.work.round_id}

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Walk the same round; the bay comes with the key."""
        self.work.round_id = kept.get("round", "")

    @property
    def not_saved(self) -> int:
        """How many changes could not be saved yet; they are tried again while the program runs."""
        return len(self.work.keeper.not_saved)

    def first_focus(self) -> QWidget:
        """Return where the keyboard goes when the screen is shown."""
        if self._pages.currentWidget() is self.page:
            return self.page.grid
        return self.start_form.day if self._pages.currentWidget() is self.start_form else self.walk

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Walk and panel take a share of the width, within what can be read."""
        super().resizeEvent(event)
        letter, width = self.fontMetrics().averageCharWidth(), self.width()
        self._left.setFixedWidth(max(24 * letter, min(32 * letter, width * 14 // 100)))
        self.panel.setFixedWidth(max(27 * letter, min(46 * letter, width * 19 // 100)))

    def offer_round(self) -> None:
        """Ask for the day and the scout of a new round."""
        if self.page.commit_open():
            scout = str(settings.read(settings.LAST_SCOUT))
            self.start_form.offer(self.desk.today(), self._people, scout, bool(self._rounds))
            self._show_start_form()

    def offer_change(self) -> None:
        """Ask for the right day and scout of the round shown."""
        held = next((held for held in self._rounds if held.id == self.work.round_id), None)
        if held is not None and self.page.commit_open():
            self.start_form.offer_change(held, self.desk.today(), self._people)
            self._show_start_form()

    def _show_start_form(self) -> None:
        self._pages.setCurrentWidget(self.start_form)
        self.start_form.day.setFocus(Qt.FocusReason.OtherFocusReason)
        self.start_form.day.selectAll()

    def _show_rounds(self, rounds: Sequence[Round], people: Sequence[Person]) -> None:
        self._rounds, self._people = rounds, people
        self.page.overtaken.people = {person.id: person.name for person in people}
        chosen = self._round_to_show()
        self.round_bar.show_rounds(rounds, people, chosen)
        if chosen:
            self.work.read_walk(chosen)
        elif self._pages.currentWidget() is not self.start_form:
            self.offer_round()

    def _round_to_show(self) -> str:
        ids = [held.id for held in self._rounds]
        if self._wanted in ids:
            chosen, self._wanted = self._wanted, ""
            return chosen
        if self._wanted_round is not None:
            for held in self._rounds:
                if (held.held_on, held.scout_id) == self._wanted_round:
                    self._wanted_round = None
                    return held.id
        return self.work.round_id if self.work.round_id in ids else (ids[0] if ids else "")

    def _choose_round(self, round_id: str) -> None:
        if self.page.commit_open():
            self._forget_bay()
            self.work.read_walk(round_id)

    def _round_started(self, held_on: date, scout_id: str) -> None:
        with suppress(OSError):  # a choice that can't be kept is no reason to stop
            settings.write(settings.LAST_SCOUT, scout_id)
        self._wanted_round = (held_on, scout_id)
        self._forget_bay()
        self.work.read_rounds()

    def _cancel_round(self) -> None:
        self._pages.setCurrentWidget(self.page if self.work.visit_id else self.empty)
        self.first_focus().setFocus(Qt.FocusReason.OtherFocusReason)

    def _forget_bay(self) -> None:
        self.work.visit_id = ""
        self.panel.show_panel(None)
        self.walk.show_open("")
        self._pages.setCurrentWidget(self.empty)

    def _show_walk(self, stops: tuple[WalkStop, ...]) -> None:
        self.walk.show_walk(stops)
        self.round_bar.progress.setText(self.walk.progress())
        self.round_bar.change.setVisible(all(stop.state is None for stop in stops))
        key, self._wanted = self._wanted, ""
        asked = (stop for stop in stops if stop.bay.id == key)
        wanted = next(asked, None) or self.work.elsewhere(stops)  # what was typed goes there too
        if wanted is not None:
            self._open(wanted)
        elif not self.work.visit_id and self._pages.currentWidget() is not self.start_form:
            self._take_up(stops)
        if key and wanted is None:
            self.desk.tell(_("This bay is not on the walk of this round."))

    def _take_up(self, stops: tuple[WalkStop, ...]) -> None:
        """Open the bay that was begun, or put the cursor on the next one to do."""
        begun = next((stop for stop in stops if stop.state is VisitState.DRAFT), None)
        if begun is not None:
            self._open(begun)
            return
        to_do = next((stop for stop in stops if stop.is_to_do), None)
        self._show_between(to_do, bool(stops))

    def _show_between(self, to_do: WalkStop | None, any_stops: bool) -> None:
        self._pages.setCurrentWidget(self.empty)
        if to_do is not None:
            place = f"{to_do.house.name} · {to_do.bay.name}"
            text = _("Enter opens it, arrow keys choose another. Alt+R: a new round.")
            self.empty.say(place, text, _("Open this bay"), lambda: self._open(to_do))
            self.walk.go_to(to_do.bay.id)
        elif any_stops:
            self.empty.say(
                _("Every bay of this round is done."), _("Enter on a bay shows what was keyed in.")
            )
        else:
            self.empty.say(
                _("No crop stands in any bay on this day."), _("Enter the plantings under Farm first.")
            )
        self.walk.setFocus(Qt.FocusReason.OtherFocusReason)

    def _panel_beside_bay(self) -> None:
        self.panel.setVisible(self._pages.currentWidget() is self.page)

    def _open(self, stop: WalkStop) -> None:
        if self.page.commit_open():
            self.work.open(stop)

    def _show_opened(self, sheet: VisitSheet) -> None:
        self._pages.setCurrentWidget(self.page)
        self.page.open_sheet(sheet)
        self.walk.show_open(sheet.bay.id)
        self.work.read_walk(self.work.round_id)

    def _open_beside(self, by: int) -> None:
        stop = self.walk.walk.beside(by)
        if stop is not None:
            self._open(stop)

    def _finished(self, _visit_id: str) -> None:
        upcoming = self.walk.walk.upcoming()
        if upcoming is not None:
            self.work.open(upcoming)
            return
        self._forget_bay()
        self.work.read_walk(self.work.round_id)

    def _tell(self, error: BaseException) -> None:
        text = _words_of(error)
        self.page.message.say(text)
        self.desk.tell(text)

    def go_round(self, by: int) -> None:
        """F6: the next part of the screen; Shift+F6: the one before."""
        shown = self._pages.currentWidget() is self.page
        ring = part_ring.parts_of(self.page, self.panel, self.walk, shown)
        part = part_ring.part_after(ring, self.focusWidget(), by)
        if self.page.commit_open():
            self.page.enter(part)


def _words_of(error: BaseException) -> str:
    if not isinstance(error, Problem):
        raise error
    return str(error)
