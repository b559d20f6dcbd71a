"""Hands and answers of a person at the window: keys go to whatever has the focus, as on a real desk."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from bayround.window.tasks_qt import QtTasks

TODAY = date(2026, 11, 24)
NOW = datetime(2026, 11, 24, 9, 30, tzinfo=UTC)


class Answers:
    """Answers questions as a person would who has made up their mind beforehand; keeps what was asked."""

    def __init__(self, *, yes: bool = True, path: Path | None = None) -> None:
        self.yes, self.path = yes, path
        self.asked: list[str] = []

    def confirm(self, question: str, follows: str, yes: str) -> bool:
        self.asked.append(question)
        return self.yes

    def file_to_open(self, title: str, folder: Path, kinds: str) -> Path | None:
        self.asked.append(title)
        return self.path

    def file_to_save(self, title: str, proposed: Path, kinds: str) -> Path | None:
        self.asked.append(str(proposed))
        return self.path


def settle(app: QApplication, tasks: QtTasks) -> None:
    """Let everything that was asked for arrive and be drawn."""
    for _again in range(3):
        app.processEvents()
        tasks.drain()
    app.processEvents()


def focused() -> QWidget:
    """Return the part that has the keyboard."""
    widget = QApplication.focusWidget()
    assert widget is not None, "nothing has the keyboard"
    return widget


def press(
    key: Qt.Key, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier, times: int = 1
) -> None:
    """Press a key where the focus is."""
    for _again in range(times):
        QTest.keyClick(focused(), key, modifiers)


def ctrl(key: Qt.Key) -> None:
    """Press a key with Ctrl."""
    press(key, Qt.KeyboardModifier.ControlModifier)


def alt(key: Qt.Key) -> None:
    """Press a key with Alt, and wait until a button so named has gone down and up again (100 ms in Qt)."""
    press(key, Qt.KeyboardModifier.AltModifier)
    if Qt.Key.Key_A <= key <= Qt.Key.Key_Z:
        QTest.qWait(130)


def type_text(text: str) -> None:
    """Type where the focus is."""
    QTest.keyClicks(focused(), text)


def fill(text: str) -> None:
    """Replace what a field holds and go on to the next with Enter."""
    ctrl(Qt.Key.Key_A)
    type_text(text) if text else press(Qt.Key.Key_Delete)
    press(Qt.Key.Key_Return)
