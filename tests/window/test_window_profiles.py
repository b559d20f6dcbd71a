"""The Crop numbers screen by real keys: look a number up, put in the farm's own, take it back."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from window_hands import TODAY, alt, ctrl, focused, press, type_text

from bayround.actions import profiles
from bayround.actions.farm import OpenFarm
from bayround.actions.profiles import NumberLine
from bayround.window.main_window import MainWindow
from bayround.window.profiles.profiles_screen import ProfilesScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm) -> ProfilesScreen:
    return cast(ProfilesScreen, make_window(farm, page="profiles").pages.current)


def number(farm: OpenFarm, name: str) -> NumberLine:
    found = profiles.read(farm, "sweet_pepper", TODAY)
    return next(line for line in found.numbers if line.name == name)


def look_up(words: str) -> None:
    ctrl(Qt.Key.Key_F)
    type_text(words)
    press(Qt.Key.Key_Tab)  # past the clear button, into the table


def test_every_number_of_the_farms_main_crop_is_listed_with_its_source(screen: ProfilesScreen) -> None:
    model = screen.numbers_page.model
    assert screen.crop.currentText() == "Sweet pepper"
    assert model.rowCount() == len(screen.numbers.numbers)  # type: ignore[union-attr]
    for row in range(model.rowCount()):
        texts = [str(model.data(model.index(row, column))) for column in range(model.columnCount())]
        assert all(texts), texts


def test_a_number_is_replaced_and_put_back_by_keyboard(
    screen: ProfilesScreen, farm: OpenFarm, settled: Settled
) -> None:
    look_up("tie: trellising is due")
    assert screen.numbers_page.model.rowCount() == 1
    press(Qt.Key.Key_Return)
    type_text("22")
    press(Qt.Key.Key_Return)
    type_text("our own strings")
    press(Qt.Key.Key_Return)
    settled()
    line = number(farm, "tie_every_cm")
    assert (line.value, line.basis, line.changes[0].reason) == (22.0, "farm", "our own strings")
    assert screen.numbers_page.form.line == line
    texts = [label.text() for label in screen.numbers_page.form.findChildren(QLabel)]
    assert any("our own strings" in text for text in texts)
    alt(Qt.Key.Key_R)
    settled()
    assert number(farm, "tie_every_cm").basis == "memory"
    assert number(farm, "tie_every_cm").value == 25.0


def test_what_contradicts_is_refused_in_words_and_the_typing_stays(
    screen: ProfilesScreen, farm: OpenFarm, settled: Settled
) -> None:
    look_up("tie: trellising is due")
    press(Qt.Key.Key_Return)
    type_text("60")
    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Return)  # no reason yet
    settled()
    form = screen.numbers_page.form
    assert "needs a reason" in form.notice.text.text()
    type_text("because")
    press(Qt.Key.Key_Return)
    settled()
    assert "must be above tie_every_cm (60)" in form.notice.text.text()
    assert form.value.text() == "60"
    assert number(farm, "tie_every_cm").value == 25.0


def test_typing_is_not_lost_by_leaving_the_page(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    window = make_window(farm, page="profiles")
    screen = cast(ProfilesScreen, window.pages.current)
    press(Qt.Key.Key_Return)
    type_text("3")
    assert not window.go("week")
    settled()
    assert window.pages.current is screen
    press(Qt.Key.Key_Escape)
    assert focused() is screen.numbers_page.table
    assert window.go("week")


def test_a_stop_plan_says_what_it_costs(screen: ProfilesScreen, settled: Settled) -> None:
    alt(Qt.Key.Key_S)
    screen.plans_page.list.setFocus()
    for _plan in screen.numbers.plans:  # type: ignore[union-attr]
        if screen.plans_page.title.text().startswith("Aphids"):
            break
        press(Qt.Key.Key_Down)
    settled()
    words = screen.plans_page.words.text()
    assert "act needlessly in 6 of 100 rounds; on average 20 are inspected" in words
    assert "13:  leave ≤ 0   act ≥ 3" in screen.plans_page.table.text()
    assert words.splitlines()[0] in screen.plans_page.chart.accessibleDescription()
    picture = screen.plans_page.chart.grab().toImage()
    colours = {
        picture.pixelColor(x, y).name()
        for x in range(60, picture.width(), 3)
        for y in range(30, picture.height(), 3)
    }
    assert len(colours) > 4, "the curves are drawn"


def test_the_band_can_be_taken_over_from_the_farms_own_weeks(
    screen: ProfilesScreen, farm: OpenFarm, settled: Settled
) -> None:
    alt(Qt.Key.Key_B)
    settled()
    assert screen.numbers is not None
    proposed = [row for row in screen.numbers.band if row.proposed_low is not None]
    assert screen.band_page.take.isEnabled() == bool(proposed)
    screen.band_page.table.setFocus()
    press(Qt.Key.Key_Home, Qt.KeyboardModifier.ControlModifier)
    press(Qt.Key.Key_Right)
    press(Qt.Key.Key_Right)
    press(Qt.Key.Key_Down, times=5)
    line = screen.band_page.form.line
    assert line is not None
    assert line.name == "load_band.12.high_per_m2"
    alt(Qt.Key.Key_V)
    type_text("33,5")
    press(Qt.Key.Key_Return)
    type_text("two good seasons")
    press(Qt.Key.Key_Return)
    settled()
    point = next(p for p in farm.crops.profile("sweet_pepper").load_band if p.weeks_after_transplanting == 12)
    assert (point.high_per_m2, point.basis) == (33.5, "farm")


def test_the_farms_own_card_counts_stand_below_the_plans(screen: ProfilesScreen) -> None:
    page = screen.plans_page
    titles = [page.list.item(row).text() for row in range(page.list.count())]
    assert titles[-2:] == ["Thrips · cards", "Whiteflies · cards"]
    page.list.setCurrentRow(len(titles) - 2)
    assert "Taylor's line" in page.words.text()
    assert "Green's plan" in page.words.text()
    assert not page.chart.isVisibleTo(page)
    assert "Green 1970" in page.source.text()
    page.list.setCurrentRow(0)
    assert page.chart.isVisibleTo(page)
