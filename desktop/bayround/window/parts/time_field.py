"""A field for a time of day: 15:30, 15.30 or 1530; the arrow keys step a quarter of an hour."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from bayround.window.parts.amount_field import mark_wrong
from bayround.words import _

_TIME = re.compile(r"^([0-9]{1,2})[:.]?([0-9]{2})$", re.ASCII)
_STEPS = {Qt.Key.Key_Up: 15, Qt.Key.Key_Down: -15, Qt.Key.Key_PageUp: 60, Qt.Key.Key_PageDown: -60}


class TimeField(QLineEdit):
    """Keeps what was typed; `time_of_day` reads it, `problem` says what is wrong with it."""

    edited = Signal()

    def __init__(self, name: str, *, needed: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name, self.needed = name, needed
        self.setAccessibleName(name)
        self.setPlaceholderText(_("15:30"))
        self.setMaxLength(5)
        self.textChanged.connect(self._changed)

    def show_time(self, value: time | None) -> None:
        """Show a time, or nothing."""
        self.setText("" if value is None else f"{value:%H:%M}")

    def time_of_day(self) -> time | None:
        """Return the time typed; nothing for an empty field or one with a problem."""
        return read_time(self.text())

    def problem(self) -> str:
        """Return what is wrong, in words; empty when nothing is."""
        text = self.text().strip()
        if not text:
            return _("{name} is needed.").format(name=self.name) if self.needed else ""
        if read_time(text) is None:
            return _("{name}: “{text}” is not a time; write it like 15:30.").format(name=self.name, text=text)
        return ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step by quarters and hours; the rest is typing."""
        step, base = _STEPS.get(Qt.Key(event.key())), self.time_of_day()
        if step is None or base is None:
            super().keyPressEvent(event)
            return
        moved = datetime.combine(date(2000, 1, 2), base) + timedelta(minutes=step)
        self.show_time(moved.time())

    def _changed(self) -> None:
        mark_wrong(self, len(self.text().strip()) >= 4 and bool(self.problem()))
        self.edited.emit()


def read_time(text: str) -> time | None:
    """Return the time of day in a text, hours first; else nothing."""
    found = _TIME.match(text.strip())
    if found is None:
        return None
    hour, minute = int(found[1]), int(found[2])
    return time(hour, minute) if hour < 24 and minute < 60 else None
