"""A file comes in from the menu: read with progress, looked at, what is asked answered, let in, and taken back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from window_hands import TODAY, Answers, alt, press, settle

from bayround.actions.farm import OpenFarm
from bayround.actions.imports import coming_back
from bayround.actions.imports.preview import State
from bayround.facts.farm import House
from bayround.records import read_season
from bayround.window.imports.imports_dialog import ImportsDialog
from bayround.window.imports.preview_dialog import PreviewDialog
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]


def a_house(farm: OpenFarm) -> House:
    return read_season.read_season(farm.store).houses[0]


def logger(path: Path) -> Path:
    lines = [f"{TODAY:%d.%m.%Y};11,5;30,0", "23.11.2026;12,5;29,0", "someday;1;2"]
    path.write_text("Day;Min temp (°C);Max temp (°C)\n" + "\n".join(lines), encoding="utf-8")
    return path


def look(window: MainWindow, qapp: QApplication) -> PreviewDialog:
    window.actions_made["bring in"].trigger()
    settle(qapp, window._tasks)
    settle(qapp, window._tasks)
    dialog = window.bringing.dialog
    assert isinstance(dialog, PreviewDialog)
    return dialog


def test_asked_answered_let_in_and_taken_back(
    farm: OpenFarm, make_window: Make, qapp: QApplication, tmp_path: Path, faults: list[BaseException]
) -> None:
    window = make_window(farm, Answers(path=logger(tmp_path / "log.csv")))
    before = read_season.read_season(farm.store)
    dialog = look(window, qapp)
    assert dialog.asks.text() == "In which house did the logger hang? Say the house."
    assert not dialog.bring.isEnabled()
    assert dialog.how.house.hasFocus()
    house = a_house(farm)
    dialog.how.house.setCurrentIndex(dialog.how.house.findData(house.id))
    dialog.how.house.activated.emit(0)
    settle(qapp, window._tasks)
    assert dialog.sums.text() == "2 new, 1 refused"
    assert [item.state for item in dialog.model.rows] == [State.REFUSED, State.NEW, State.NEW]
    assert "no day can be read" in dialog.model.data(dialog.model.index(0, 3))
    assert read_season.read_season(farm.store) == before
    alt(Qt.Key.Key_B)
    settle(qapp, window._tasks)
    days = {
        one.day: one.low_c
        for one in read_season.read_season(farm.store).climate_days
        if one.house_id == house.id
    }
    assert days[TODAY] == 11.5
    again = look(window, qapp)
    assert again.sums.text() == "2 no change, 1 refused"
    assert "came in before" in again.notes.text()
    assert "matched as the last time" in again.notes.text()
    assert not again.bring.isEnabled()
    press(Qt.Key.Key_Escape)
    take_back(window, qapp)
    assert read_season.read_season(farm.store).climate_days == before.climate_days
    assert faults == []


def take_back(window: MainWindow, qapp: QApplication) -> None:
    window.actions_made["take back"].trigger()
    settle(qapp, window._tasks)
    listed = window.bringing.dialog
    assert isinstance(listed, ImportsDialog)
    assert listed.list.count() == 1
    listed.back.click()
    settle(qapp, window._tasks)
    assert not listed.back.isEnabled()
    listed.accept()


def test_columns_are_matched_with_the_keyboard(
    farm: OpenFarm, make_window: Make, qapp: QApplication, tmp_path: Path, faults: list[BaseException]
) -> None:
    path = tmp_path / "own.csv"
    path.write_text(f"when;cold;warm;where\n{TODAY:%d.%m.%Y};9;31;{a_house(farm).name}\n", encoding="utf-8")
    window = make_window(farm, Answers(path=path))
    dialog = look(window, qapp)
    assert dialog.how.kind.hasFocus()
    assert dialog.how.kind.currentIndex() == -1, "a kind was chosen for the person who is asked for it"
    dialog.how.kind.setCurrentIndex(dialog.how.kind.findData("climate"))
    dialog.how.kind.activated.emit(0)
    settle(qapp, window._tasks)
    assert "No column holds: day" in dialog.notes.text()
    for row, letter in enumerate("DLHH"):
        box = dialog.how.columns.box(row)
        box.setFocus()
        QTest.keyClick(box, letter)
        settle(qapp, window._tasks)
        if row == 2:
            QTest.keyClick(box, "i")
            settle(qapp, window._tasks)
    held = dialog.how.columns.columns()
    assert held == {1: "day", 2: "low", 3: "high", 4: "house"}
    assert dialog.sums.text() == "1 new"
    dialog.reject()
    assert faults == []


def test_a_file_that_is_none_is_told_and_a_stopped_reading_brings_nothing(
    farm: OpenFarm, make_window: Make, qapp: QApplication, tmp_path: Path, faults: list[BaseException],
    monkeypatch,
) -> None:  # fmt: skip
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(b"PK no workbook")
    window = make_window(farm, Answers(path=broken))
    window.actions_made["bring in"].trigger()
    settle(qapp, window._tasks)
    assert [str(fault).split(":")[0] for fault in faults] == ["“broken.xlsx” can't be read"]
    assert window.bringing._progress is None

    def slow(path: Path, tell: Callable[[float], bool]) -> None:
        progress = window.bringing._progress
        assert progress is not None
        progress.reject()
        assert tell(0.5)
        raise coming_back.Stopped("stopped")

    monkeypatch.setattr(coming_back, "open_file", slow)
    window.actions_made["bring in"].trigger()
    settle(qapp, window._tasks)
    assert window.bringing.dialog is None
    assert "nothing was brought in" in window.statusBar().currentMessage()
    assert len(faults) == 1
