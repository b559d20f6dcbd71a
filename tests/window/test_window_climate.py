"""House climate by real keys: days typed are kept, changes need a reason, nothing is lost on the way out."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest
from PySide6.QtCore import Qt
from window_hands import TODAY, ctrl, focused, press, type_text

from bayround.actions import climate
from bayround.actions.farm import OpenFarm
from bayround.window.climate.screen import ClimateScreen
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]
CTRL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm, settled: Settled) -> ClimateScreen:
    window = make_window(farm, page="week")
    press(Qt.Key.Key_H, CTRL_SHIFT)
    settled()
    return cast(ClimateScreen, window.pages.current)


def type_example_6() -> None:
    """FAO-56 example 6: 18 and 25 °C, 54 and 82 %; light beside it."""
    for text in ("18", "25", "54", "82", "14,5"):
        type_text(text)
        press(Qt.Key.Key_Return)


def test_a_day_is_typed_along_its_row_and_kept(
    screen: ClimateScreen, farm: OpenFarm, settled: Settled
) -> None:
    assert focused() is screen.grid.fields[0]["low_c"]
    type_example_6()
    assert focused() is screen.grid.fields[1]["low_c"]
    ctrl(Qt.Key.Key_S)
    settled()
    assert not screen.grid.edited()
    assert screen.grid.deficits[0].text() == "0.91"
    (day,) = [one.kept for one in climate.read(farm, str(screen.house.currentData()), TODAY).days if one.kept]
    assert (day.low_c, day.high_c, day.humidity_low_percent, day.light_mol_m2) == (18, 25, 54, 14.5)


def test_a_kept_day_is_changed_with_a_reason_only(
    screen: ClimateScreen, farm: OpenFarm, settled: Settled
) -> None:
    type_example_6()
    ctrl(Qt.Key.Key_S)
    settled()
    screen.grid.fields[0]["high_c"].setFocus()
    screen.grid.fields[0]["high_c"].selectAll()
    type_text("27")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "already was changed" in screen.notice.text.text()
    assert screen.grid.edited()
    screen.reason.setFocus()
    type_text("read again")
    ctrl(Qt.Key.Key_S)
    settled()
    assert not screen.grid.edited()
    assert climate.read(farm, str(screen.house.currentData()), TODAY).days[0].kept.high_c == 27  # type: ignore[union-attr]


def test_what_is_not_kept_holds_the_screen_and_the_house(screen: ClimateScreen, settled: Settled) -> None:
    type_text("18")
    screen.house.setCurrentIndex(1)
    screen.house.activated.emit(1)
    settled()
    assert screen.house.currentIndex() == 0
    assert "Keep the days typed here first" in screen.notice.text.text()
    assert not screen.commit_open_edit()
    assert "both needed" in screen.notice.text.text()
    press(Qt.Key.Key_Escape)
    settled()
    assert screen.commit_open_edit()


def test_arrows_go_along_a_column_and_a_wrong_number_says_which(
    screen: ClimateScreen, settled: Settled
) -> None:
    press(Qt.Key.Key_Down)
    assert focused() is screen.grid.fields[1]["low_c"]
    type_text("warm")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "“warm” is not a number" in screen.notice.text.text()
    press(Qt.Key.Key_Up)
    assert focused() is screen.grid.fields[0]["low_c"]
