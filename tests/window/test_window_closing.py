"""Closing a week from the menu: a question, the workbook, a line in the farm file; the screen says so."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot
from window_hands import TODAY, Answers, press

from bayround.actions import verify
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.window.main_window import MainWindow


def test_the_week_is_closed_with_its_workbook(
    make_window: Callable[..., MainWindow], farm: OpenFarm, tmp_path: Path,
    settled: Callable[[], None], qtbot: QtBot, faults: list[BaseException],
) -> None:  # fmt: skip
    answers = Answers(path=tmp_path / "week.xlsx", yes=False)
    window = make_window(farm, answers)
    window.actions_made["close week"].trigger()
    settled()
    assert answers.asked[-1].startswith("Hand over and close 2026-W")
    assert not (tmp_path / "week.xlsx").exists()
    answers.yes = True
    window.actions_made["close week"].trigger()
    qtbot.waitUntil(lambda: window.handover.message is not None, timeout=20_000)
    settled()
    assert faults == []
    said = " ".join(label.text() for label in window.handover.message.findChildren(QLabel))
    assert "the week is closed" in said
    press(Qt.Key.Key_Escape)
    settled()
    close = week_actions.picture(farm, None, TODAY).close
    assert close is not None
    assert verify.verify(farm, tmp_path / "week.xlsx").differs == ()
    assert "Closed on" in window.pages.current.notice.text.text()
