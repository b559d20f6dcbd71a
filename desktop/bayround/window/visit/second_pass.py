"""The second pass: some cells of the bay are asked for again, one by one, without showing what was keyed in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from bayround.figures import second_pass
from bayround.window import theme
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.parts.number_entry import NumberRule, shown
from bayround.window.visit.keying_page import KeyingPage
from bayround.window.visit.sheet_in_hand import Cell, SheetInHand
from bayround.words import _

_KEY = Qt.ItemDataRole.UserRole


@dataclass(frozen=True, slots=True)
class Asked:
    """A cell to type again: where it is, in words, and what was keyed in first."""

    cell: Cell
    place: str
    rule: NumberRule
    first: float


def drawn(hand: SheetInHand) -> tuple[Asked, ...]:
    """Return the cells of a sheet to type again, in walking order; none while nothing is keyed in."""
    found = []
    for row, line in enumerate(hand.sheet.rows):
        for column, field in enumerate(hand.sheet.fields):
            value = hand.value(row, column)
            if value is not None:
                place = _("Plant {plant}: {field}").format(plant=line.plant.label, field=_(field.label))
                found.append(Asked(hand.cell(row, column), place, hand.rule(row, column), value))
    return second_pass.draw(found, hand.sheet.visit.id)


def start(page: KeyingPage) -> None:
    """F8: ask for some cells of the open bay again and compare."""
    hand = page.readings.hand
    if hand is None or not page.isVisible() or not page.commit_open():
        return
    asked = drawn(hand)
    if asked:
        SecondPassDialog(asked, page.to_cell, page).open()
    else:
        page.message.say(_("Nothing is keyed in yet that could be typed again."))


class SecondPassDialog(QDialog):
    """Enter takes the number and goes on; Enter on an empty line passes the cell over; Escape leaves.

    At the end it says how many were alike; Enter on one that differs goes to its cell.
    """

    def __init__(self, asked: Sequence[Asked], go: Callable[[Cell], None], parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Second pass"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setMinimumWidth(520)
        self.asked, self._go = tuple(asked), go
        self.second: list[float | None] = []
        self.progress, self.place, self.refused = QLabel(), QLabel(), QLabel()
        self.progress.setObjectName("quiet")
        self.place.setFont(theme.scaled(self.font(), 1.35, bold=True))
        self.refused.setWordWrap(True)
        self.differing = QListWidget()
        self.differing.setAccessibleName(_("Cells that differ"))
        self.differing.hide()
        self.chips = FigureChips()
        self.editor: NumberEditor | None = None
        hint = QLabel(
            _(
                "Type what stands on the sheet again, without looking at the screen. Enter goes on; Escape leaves."
            )
        )
        hint.setWordWrap(True)
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(24, 24, 24, 16)
        self._layout.setSpacing(12)
        for part in (hint, self.progress, self.place, self.refused, self.chips, self.differing):
            self._layout.addWidget(part)
        self._ask_next()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; the rest is the dialog's own."""
        if event.key() not in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            super().keyPressEvent(event)
        elif self.editor is not None:
            self._take(self.editor)
        elif self.differing.currentRow() >= 0:
            cell = self.differing.currentItem().data(_KEY)
            self.accept()
            self._go(cell)
        else:
            self.accept()

    def _ask_next(self) -> None:
        at, count = len(self.second), len(self.asked)
        if at == count:
            self._say_result()
            return
        one = self.asked[at]
        self.progress.setText(_("{n} of {count}").format(n=at + 1, count=count))
        self.place.setText(f"{one.place} ({one.rule.unit})" if one.rule.unit else one.place)
        self._end_editor()
        editor = NumberEditor(one.rule, self)
        editor.moves_on = False
        editor.setFrame(True)
        self._layout.insertWidget(3, editor)
        self.refused.clear()
        editor.show()
        editor.setFocus(Qt.FocusReason.OtherFocusReason)
        editor.returnPressed.connect(lambda: self._take(editor))
        self.editor = editor

    def _end_editor(self) -> None:
        if self.editor is not None:
            self._layout.removeWidget(self.editor)
            self.editor.hide()
            self.editor.deleteLater()
            self.editor = None

    def _take(self, editor: NumberEditor) -> None:
        why = editor.refusal()
        if why:
            editor.show_refused(True)
            self.refused.setText(why)
            return
        self.second.append(editor.value())
        self._ask_next()

    def _say_result(self) -> None:
        self._end_editor()
        typed = [
            (one, again) for one, again in zip(self.asked, self.second, strict=True) if again is not None
        ]
        other = [(one, again) for one, again in typed if again != one.first]
        figure = second_pass.agreement(len(typed) - len(other), len(typed))
        alike = _("{same} of {n} cells were typed alike.").format(same=len(typed) - len(other), n=len(typed))
        reach = _("In the whole bay {interval} % may be alike (95 % interval).")
        self.progress.setText(reach.format(interval=figure.interval_text) if figure.interval_text else "")
        self.progress.setWordWrap(True)
        self.place.setText(alike if typed else figure.missing)
        self.chips.show_figures([figure])
        for one, again in other:
            text = _("{place}: first {first}, now {again}").format(
                place=one.place,
                first=shown(one.first, one.rule.decimals),
                again=shown(again, one.rule.decimals),
            )
            item = QListWidgetItem(text)
            item.setData(_KEY, one.cell)
            self.differing.addItem(item)
        if other:
            self.refused.setText(_("Look at the sheet. Enter goes to the cell that differs."))
            self.differing.setCurrentRow(0)
            rows = self.differing.sizeHintForRow(0) * min(max(len(other), 2), 8)
            self.differing.setFixedHeight(rows + 2 * self.differing.frameWidth() + 4)
            self.differing.show()
            self.differing.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.adjustSize()
