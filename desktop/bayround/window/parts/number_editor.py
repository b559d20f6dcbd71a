"""The editor of a number cell: lets no wrong key in, says why a number is refused, moves on when it is complete."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QValidator
from PySide6.QtWidgets import QLineEdit, QWidget

from bayround.window.parts.number_entry import (
    NumberRule,
    Settled,
    can_stand,
    parse,
    plain_digits,
    refusal,
    settled,
)

_COMMAND_KEYS = (
    Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier
)


class _OnlyNumbers(QValidator):
    """Keeps everything out that can't stand in the cell, whichever way it comes (key, paste, drop)."""

    def __init__(self, rule: NumberRule, parent: QWidget) -> None:
        super().__init__(parent)
        self._rule = rule

    def validate(self, text: str, place: int) -> tuple[QValidator.State, str, int]:
        fits = can_stand(text, self._rule)
        return (QValidator.State.Acceptable if fits else QValidator.State.Invalid), text, place


class NumberEditor(QLineEdit):
    """One line for one number.

    Signals:
        complete: the number can't go on; carries the digit that belongs to the next cell, or nothing.
    """

    complete = Signal(str)

    def __init__(self, rule: NumberRule, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rule = rule
        self.moves_on = True
        """False while a person edits a number that stands there (F2): then only Enter ends it."""
        self.setValidator(_OnlyNumbers(rule, self))
        self.setFrame(False)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setAccessibleName(rule.label)
        self.textEdited.connect(lambda _text: self.show_refused(False))

    def value(self) -> float | None:
        """Return the number typed, or none when the cell is empty."""
        return parse(self.text())

    def refusal(self) -> str:
        """Return why the number can't be kept, or nothing."""
        value = self.value()
        return "" if value is None else refusal(value, self.rule)

    def show_refused(self, refused: bool) -> None:
        """Mark the editor as holding a refused number (the style sheet draws its border)."""
        if bool(self.property("wrong")) != refused:
            self.setProperty("wrong", refused)
            self.style().unpolish(self)
            self.style().polish(self)

    def type_in(self, text: str) -> None:
        """Take typed characters as if they came from the keyboard."""
        for mark in plain_digits(text):
            if self._belongs_to_the_next_cell(mark):
                self.complete.emit(mark)
                return
            before = self.text()
            self.insert(mark)
            if self.text() != before:
                self.show_refused(False)
        if self.moves_on and settled(self.text(), self.rule) is Settled.FULL:
            self.complete.emit("")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take digits and the decimal mark; leave caret keys, Backspace and the clipboard to Qt."""
        if event.text().isprintable() and event.text() and not event.modifiers() & _COMMAND_KEYS:
            if not event.isAutoRepeat():  # a key that stays down must not run on through the cells
                self.type_in(event.text())
        else:
            super().keyPressEvent(event)
        event.accept()  # what means nothing here must not reach the grid behind

    def _belongs_to_the_next_cell(self, mark: str) -> bool:
        at_the_end = self.cursorPosition() == len(self.text()) and not self.hasSelectedText()
        return (
            self.moves_on
            and at_the_end
            and mark.isdigit()
            and settled(self.text(), self.rule) is Settled.HELD
        )
