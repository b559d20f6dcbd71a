"""A field for one number: comma or point as decimal mark, refused in words when it can't be right."""

from __future__ import annotations

import re

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QWidget

from bayround import words
from bayround.words import _

_NUMBER = re.compile(r"^[+-]?[0-9]+([.,][0-9]+)?$", re.ASCII)


class AmountField(QLineEdit):
    """Keeps what was typed; `amount` reads it, `problem` says what is wrong with it.

    Attributes:
        edited: emitted at every change by the person or the program.
    """

    edited = Signal()

    def __init__(
        self,
        name: str,
        *,
        decimals: int = 0,
        low: float = 0.0,
        high: float = 1_000_000.0,
        needed: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.name, self.decimals, self.low, self.high, self.needed = name, decimals, low, high, needed
        self.setAccessibleName(name)
        self.setMaxLength(12)
        self.textChanged.connect(self._changed)

    def show_amount(self, value: float | None) -> None:
        """Show a number without needless zeros, or nothing."""
        if value is None:
            self.setText("")
            return
        text = words.number(value, self.decimals)
        self.setText(text.rstrip("0").rstrip(".,") if self.decimals else text)

    def amount(self) -> float | None:
        """Return the number typed; nothing for an empty field or one with a problem."""
        text = self.text().strip()
        return None if not text or self.problem() else float(text.replace(",", "."))

    def whole(self) -> int | None:
        """Return the whole number typed."""
        value = self.amount()
        return None if value is None else int(value)

    def problem(self) -> str:
        """Return what is wrong, in words; empty when nothing is."""
        text = self.text().strip()
        if not text:
            return _("{name} is needed.").format(name=self.name) if self.needed else ""
        if not _NUMBER.match(text):
            return _("{name}: “{text}” is not a number.").format(name=self.name, text=text)
        value = float(text.replace(",", "."))
        if self.decimals == 0 and value != int(value):
            return _("{name} is a whole number.").format(name=self.name)
        if not self.low <= value <= self.high:
            low, high = (words.number(limit, 0) for limit in (self.low, self.high))
            return _("{name} lies between {low} and {high}.").format(name=self.name, low=low, high=high)
        return ""

    def _changed(self) -> None:
        mark_wrong(self, bool(self.text().strip()) and bool(self.problem()))
        self.edited.emit()


def mark_wrong(field: QLineEdit, wrong: bool) -> None:
    """Show a field as wrong or not; the words stand beside it."""
    if bool(field.property("wrong")) == wrong:
        return
    field.setProperty("wrong", wrong)
    field.style().unpolish(field)
    field.style().polish(field)
