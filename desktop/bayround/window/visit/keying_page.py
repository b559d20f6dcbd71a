"""The sheet of one bay: grid, quiet line, checks, cards, weeds and note. Every key that is kept is saved at once."""

from __future__ import annotations

from collections.abc import Hashable

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from bayround.facts.problems import TypedMeanwhile
from bayround.week.visit_sheet import VisitSheet
from bayround.window.parts.ask_line import AskLine
from bayround.window.visit.bay_bar import BayBar
from bayround.window.visit.correcting import Correcting
from bayround.window.visit.entry_table import EntryTable
from bayround.window.visit.message_line import MessageLine
from bayround.window.visit.overtaken_values import OvertakenValues
from bayround.window.visit.pasted_block import NOTHING_PASTED, BadBlock, numbers_of
from bayround.window.visit.readings_model import ReadingsModel
from bayround.window.visit.reason_line import ReasonLine
from bayround.window.visit.review import Review
from bayround.window.visit.sections import Sections
from bayround.window.visit.sheet_in_hand import Cell
from bayround.window.visit.table_looks import height_for
from bayround.window.visit.undo import UndoSteps
from bayround.window.visit.visit_work import VisitWork
from bayround.words import _

ROWS_IN_SIGHT, FEWEST_ROWS = 12, 5
ROOMY_ROWS = (34, 30)
KEYS = "+ as last visit   * as above   − no value   S skipped   X dead   F6 next part"


class KeyingPage(QWidget):
    """Shows the open visit and hands every change to the work."""

    def __init__(self, work: VisitWork, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._work = work
        self.undo = UndoSteps()
        self.bar = BayBar()
        self.readings = ReadingsModel(self)
        self.grid = EntryTable(self.readings, _("Marked plants"))
        self.message = MessageLine(_(KEYS))
        self.ask = ReasonLine()
        self.standing = AskLine()
        self.correcting = Correcting(self.ask, self)
        self.overtaken = OvertakenValues(self, work)
        self.sections = Sections()
        self.review = Review()
        self._lower = QStackedWidget()
        self._lower.addWidget(self.sections)
        self._lower.addWidget(self.review)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.bar)
        layout.addWidget(self.grid, 1000)
        layout.addWidget(self.message)
        layout.addWidget(self.standing)
        layout.addWidget(self.ask)
        layout.addWidget(self.overtaken.notice)
        layout.addWidget(self._lower, 1)

    def _connect(self) -> None:
        tables = [self.grid, *self.sections.tables.values()]
        ring: list[QWidget] = [*tables, self.sections.note]
        for place, table in enumerate(tables):
            table.said.connect(lambda text: self.message.say(text, of_bay=True))
            table.given_up.connect(self.message.forget)
            table.undo_wanted.connect(self.take_back)
            table.past_end.connect(lambda by_itself, after=ring[place + 1]: self.enter(after, by_itself))
            if place:
                table.before_start.connect(lambda before=ring[place - 1]: self.enter(before))
        self.grid.at_cell.connect(self._hint)
        self.grid.paste_wanted.connect(self._paste)
        self.correcting.asking.connect(
            lambda asked: self.rest(_("First say why, or press Esc to leave it as it was.") if asked else "")
        )
        self.correcting.given_up.connect(self._show_file)
        self.bar.moves_on.connect(self._set_moves_on)
        self._work.keeper.changed.connect(self._show_not_saved)
        self._work.keeper.failed.connect(self._could_not_save)
        self._work.keeper.cleared.connect(
            lambda: self.message.say(_("Saved: everything typed is in the farm file."))
        )
        self._work.keeper.cleared.connect(self._work.refresh)
        self._work.keeper.refused.connect(self._refused)
        self._work.sheet_read.connect(self.show_sheet)

    def open_sheet(self, sheet: VisitSheet) -> None:
        """Show another visit: the cursor goes to the first empty cell, where the scout left off."""
        self.undo.clear()
        self.message.leave_bay()
        self.show_review(False)
        self.correcting.leave_bay()
        self.standing.hide()
        self.overtaken.leave_bay()
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)
        self.show_sheet(sheet)
        self.to_first_empty()

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the visit as it stands in the file; what is not saved yet stays as typed."""
        waiting: frozenset[Hashable] = self._work.keeper.waiting | self.correcting.waiting
        self._work.known.learn(sheet, self._work.keeper.waiting | self._being_typed())
        self.bar.show_sheet(sheet)
        self.readings.show(sheet, self._work.cells(waiting), self._work.ids("state", waiting))
        note_waits = ("note", sheet.visit.id) in waiting
        self.sections.show_sheet(sheet, self._work.ids("record", waiting), note_waits)
        self._fit_grid()
        self._show_not_saved()
        self._set_moves_on(self.bar.advance.isChecked())
        if not self.grid.currentIndex().isValid():
            self._to_first_empty_place()
        if self.grid.currentIndex().isValid():
            self._hint(self.grid.currentIndex())

    def _being_typed(self) -> set[Hashable]:
        """Return the keys of what is open: it is typed over what was seen before."""
        if self.readings.hand is None:
            return set()
        visit_id, cell = self.readings.hand.sheet.visit.id, self.grid.open_cell()
        keys: set[Hashable] = {("record", visit_id, row) for row in self.sections.being_typed()}
        if cell.isValid():
            keys.add(("cell", visit_id, self.readings.hand.cell(cell.row(), cell.column())))
        if self.sections.note.is_changed:
            keys.add(("note", visit_id))
        return keys

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the height out anew."""
        super().resizeEvent(event)
        self._fit_grid()

    def _fit_grid(self) -> None:
        """Twelve plants come first, then the tables below, then the other plants, then roomier rows."""
        plants, room = self.readings.rowCount(), self.height() - self.bar.height() - self.message.height()
        for row_height in (*ROOMY_ROWS, self.grid.least_row_height):
            self.grid.verticalHeader().setDefaultSectionSize(max(row_height, self.grid.least_row_height))
            if height_for(self.grid, plants) + self.sections.wanted_height() <= room:
                break
        self.grid.setMinimumHeight(height_for(self.grid, min(plants, FEWEST_ROWS)))
        beside = max(height_for(self.grid, ROWS_IN_SIGHT), room - self.sections.wanted_height())
        self.grid.setMaximumHeight(min(beside, height_for(self.grid, plants)))

    def _to_first_empty_place(self) -> None:
        empty = self.readings.in_hand.empty_cells()
        self.grid.setCurrentIndex(self.readings.index(*(empty[0] if empty else (0, 0))))

    def to_first_empty(self) -> None:
        """Go to the first cell that is still asked for."""
        self._to_first_empty_place()
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def to_cell(self, cell: Cell) -> None:
        """Go to a cell of the grid."""
        index = self.readings.index_of(cell)
        if index.isValid():
            self.grid.setCurrentIndex(index)
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_review(self, reviewing: bool) -> None:
        """Show the review in place of the lower tables, or the tables again."""
        self.sections.commit_open()
        self._lower.setCurrentWidget(self.review if reviewing else self.sections)

    @property
    def reviewing(self) -> bool:
        """Whether the review is shown."""
        return self._lower.currentWidget() is self.review

    def enter(self, part: QWidget, by_itself: bool = False) -> None:
        """Go to a part by keyboard, or because the last number of the part before was complete."""
        if isinstance(part, EntryTable):
            part.arrive()
            if by_itself:
                part.expect_enter()
        else:
            part.setFocus(Qt.FocusReason.OtherFocusReason)

    def commit_open(self) -> bool:
        """Keep what stands in every open editor; false when a number is refused and stays open."""
        kept = self.grid.commit_open() and self.sections.commit_open()
        return kept and not self.correcting.insist() and not self.overtaken.insist()

    def rest(self, why: str) -> None:
        """Take nothing more for the moment; an empty text ends that."""
        if self.readings.hand is not None:
            self.readings.hand.resting = why
        self.sections.rest(why)

    def take_back(self) -> None:
        """Take the newest step back."""
        what = self.undo.take_back()
        self.message.say(
            _("Taken back: {what}").format(what=what) if what else _("There is nothing to take back.")
        )

    def _show_file(self) -> None:
        """Show what is in the file in place of what was typed and left."""
        self.show_sheet(self.readings.in_hand.sheet)
        self.message.say(_("Left as it was."))

    def _refused(self, error: BaseException) -> None:
        if isinstance(error, TypedMeanwhile):
            self.overtaken.ask(error)
        self.message.say(_("Not saved: {why}").format(why=error))
        self._work.refresh()

    def _paste(self, text: str) -> None:
        hand, start = self.readings.in_hand, self.grid.currentIndex()
        size = (self.readings.rowCount(), self.readings.columnCount())
        try:
            found = numbers_of(
                text,
                (start.row(), start.column()),
                size,
                hand.rule,
                lambda row: hand.why_shut(row) if hand.shut(row) else "",
            )
        except BadBlock as bad:
            self.message.say(_(NOTHING_PASTED).format(why=bad))
            return
        self.readings.put_all([(self.readings.index(*place), number) for place, number in found])
        self.message.say(_("Pasted: {n} numbers.").format(n=len(found)))

    def _hint(self, index: QModelIndex) -> None:
        if index.isValid() and self.readings.hand is not None:
            self.message.hint(self.readings.hint(index))

    def _set_moves_on(self, moves_on: bool) -> None:
        done = self.readings.hand is not None and self.readings.hand.done
        for table in (self.grid, *self.sections.tables.values()):
            table.moves_on = moves_on and not done  # a correction waits for Enter

    def _show_not_saved(self) -> None:
        keys = self._work.keeper.not_saved
        self.readings.show_not_saved(self._work.cells(keys))
        self.sections.show_not_saved(self._work.ids("record", keys))

    def _could_not_save(self, error: BaseException) -> None:
        why = str(error) or _("the farm file can't be written")
        self.message.say(
            _("Not saved yet: {why} What you typed stays here and is tried again.").format(why=why)
        )
