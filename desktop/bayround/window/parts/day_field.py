"""A field for a date: 2026-08-03, 3.8.2026 or 3/8/2026, the day first and never the month.

The arrow keys step a day, Page Up and Page Down a week.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from bayround import words
from bayround.window.parts.amount_field import mark_wrong
from bayround.words import _

_ISO = re.compile(r"^([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})$", re.ASCII)
_DAY_FIRST = re.compile(r"^([0-9]{1,2})([./])([0-9]{1,2})\2([0-9]{4})$", re.ASCII)
_STEPS = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1, Qt.Key.Key_PageUp: 7, Qt.Key.Key_PageDown: -7}


class DayField(QLineEdit):
    """Keeps what was typed; `day` reads it, `problem` says what is wrong with it."""

    edited = Signal()

    def __init__(
        self, name: str, *, needed: bool = False, start: date | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.name, self.needed, self._start = name, needed, start
        self.setAccessibleName(name)
        self.setPlaceholderText(_("2026-08-03"))
        self.setMaxLength(10)
        self.textChanged.connect(self._changed)

    def show_day(self, value: date | None) -> None:
        """Show a date, or nothing."""
        self.setText("" if value is None else words.day(value))

    def day(self) -> date | None:
        """Return the date typed; nothing for an empty field or one with a problem."""
        return read_day(self.text())

    def problem(self) -> str:
        """Return what is wrong, in words; empty when nothing is."""
        text = self.text().strip()
        if not text:
            return _("{name} is needed.").format(name=self.name) if self.needed else ""
        if read_day(text) is None:
            return _("{name}: “{text}” is not a date; write it like 2026-08-03 or 3.8.2026.").format(
                name=self.name, text=text
            )
        return ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step by days and weeks; the rest is typing."""
        step = _STEPS.get(Qt.Key(event.key()))
        base = self.day() or (self._start if not self.text().strip() else None)
        if step is None or base is None:
            super().keyPressEvent(event)
            return
        self.show_day(base + timedelta(days=step))

    def _changed(self) -> None:
        mark_wrong(self, len(self.text().strip()) >= 8 and bool(self.problem()))
        self.edited.emit()


def read_day(text: str) -> date | None:
    """Return the date in a text, year first with hyphens or day first with points or strokes; else nothing."""
    found = _ISO.match(text.strip())
    parts = found.groups() if found else None
    if parts is None and (found := _DAY_FIRST.match(text.strip())):
        parts = found.group(4, 3, 1)
    if parts is None:
        return None
    try:
        return date(int(parts[0]), int(parts[1]), int(parts[2]))
    except ValueError:
        return None
