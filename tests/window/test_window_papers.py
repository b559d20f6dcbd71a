"""Walk sheets, the workbook to fill in and job sheets are written from the menu, to where the person says."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from window_hands import Answers, press, settle

from bayround.actions.farm import OpenFarm
from bayround.window import theme
from bayround.window.main_window import MainWindow


@pytest.mark.parametrize(
    ("entry", "name", "begins"),
    [
        ("walk", "walk.pdf", b"%PDF-"),
        ("walk book", "walk.xlsx", b"PK"),
        ("job sheets", "jobs.pdf", b"%PDF-"),
        ("season report", "season.pdf", b"%PDF-"),
        ("season report", "season.xlsx", b"PK"),
        ("package", "farm.zip", b"PK"),
    ],
)
def test_a_sheet_from_the_menu(
    farm: OpenFarm, make_window: Callable[..., MainWindow], qapp: QApplication, tmp_path: Path,
    faults: list[BaseException], entry: str, name: str, begins: bytes,
) -> None:  # fmt: skip
    path = tmp_path / name
    theme.apply(qapp, "dark", large=False)  # not the look that is chosen on this computer
    window = make_window(farm, Answers(path=path))
    revision = farm.info.revision
    window.actions_made[entry].trigger()
    settle(qapp, window._tasks)
    if entry == "job sheets":
        assert window.papers.people is not None
        press(Qt.Key.Key_Space)  # not the first
        assert len(window.papers.people.list.ticked) == window.papers.people.list.count() - 1
        press(Qt.Key.Key_Return)
        settle(qapp, window._tasks)
    assert faults == []
    assert theme.now().name == "dark", "printing changed the look of the window from another thread"
    assert path.read_bytes().startswith(begins)
    assert window.papers.message is not None
    assert str(path) in window.papers.message.rest.text()
    assert farm.info.revision == revision
