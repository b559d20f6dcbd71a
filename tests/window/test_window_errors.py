"""What a person sees of an error: what happened, what was kept, what to do; never a traceback."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot
from window_hands import press

from bayround import logs, places
from bayround.facts.problems import FarmFileProblem
from bayround.window import errors
from bayround.window.parts.message import MessageDialog


@pytest.fixture
def window(qtbot: QtBot) -> QWidget:
    shown = QWidget()
    qtbot.addWidget(shown)
    with qtbot.waitExposed(shown):
        shown.show()
    return shown


@pytest.fixture
def log_file(own_data_dir: Path) -> Iterator[Path]:
    logs.start_logging()
    yield places.log_file()
    logs.stop_logging()


def texts(box: MessageDialog) -> str:
    return "\n".join(label.text() for label in box.findChildren(QLabel))


def test_a_problem_says_what_happened_what_was_kept_and_what_to_do(window: QWidget, qtbot: QtBot) -> None:
    box = errors.show(
        FarmFileProblem("The stick is full.", "Everything before is kept.", "Free some room."), window
    )
    assert texts(box) == "The stick is full.\nEverything before is kept.\n\nFree some room."
    assert [button.text() for button in box.findChildren(QPushButton)] == ["&Close"]
    qtbot.wait(1)
    press(Qt.Key.Key_Escape)
    assert QApplication.activeModalWidget() is None
    assert window.isVisible()


def test_a_fault_names_the_log_and_shows_no_traceback(window: QWidget, log_file: Path, qtbot: QtBot) -> None:
    try:
        raise KeyError("height")
    except KeyError as error:
        box = errors.show(error, window)
    shown = texts(box)
    assert str(log_file) in shown
    assert "what you typed is still in the window" in shown
    for word in ("Traceback", "KeyError", ".py", "line "):
        assert word not in shown
    assert "KeyError" in log_file.read_text(encoding="utf-8")
    copy = next(button for button in box.findChildren(QPushButton) if button.text() == "C&opy")
    qtbot.wait(1)
    copy.setFocus()
    press(Qt.Key.Key_Space)
    assert "KeyError" in QGuiApplication.clipboard().text()
    assert box.isVisible(), "Copy closed the box"
    box.accept()


def test_an_error_in_a_slot_reaches_the_person(
    window: QWidget, log_file: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    shown: list[BaseException] = []
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(errors, "show", lambda error, parent: shown.append(error))
    errors.install(lambda: window)
    with qtbot.captureExceptions() as caught:
        QTimer.singleShot(0, lambda: 1 / 0)
        qtbot.wait(10)
    for kind, error, trace in caught:  # pytest-qt stands before the hook; hand on what it caught
        sys.excepthook(kind, error, trace)
    assert [type(error) for error in shown] == [ZeroDivisionError]


def test_the_keyboard_interrupt_is_not_swallowed(
    monkeypatch: pytest.MonkeyPatch, qapp: QApplication, log_file: Path
) -> None:
    passed_on: list[type[BaseException]] = []
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(sys, "__excepthook__", lambda kind, _error, _trace: passed_on.append(kind))
    errors.install()
    sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert passed_on == [KeyboardInterrupt]
