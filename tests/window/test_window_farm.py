"""Setting a farm up, from an empty file to a bay ready for a round, without touching the mouse."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton
from window_hands import TODAY, ctrl, fill, focused, press, type_text

from bayround.actions import setup
from bayround.actions.farm import OpenFarm
from bayround.facts.farm import HouseKind, Person, Planting
from bayround.window.farm.farm_screen import FarmScreen
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


def screen_of(window: MainWindow) -> FarmScreen:
    return cast(FarmScreen, window.pages.current)


def test_the_whole_farm_by_keyboard(make_window: Make, empty_farm: OpenFarm, settled: Settled) -> None:
    window = make_window(empty_farm, page="farm")
    screen = screen_of(window)
    assert screen.empty.isVisible()
    assert screen.empty.text.text().startswith("1   Add a person")

    ctrl(Qt.Key.Key_N)
    for text in ("Willow", "", "37,5", ""):
        fill(text) if text else press(Qt.Key.Key_Return)
    ctrl(Qt.Key.Key_S)
    settled()
    assert setup.read(empty_farm).people == (Person(screen.tree.node.id, "Willow", hours_per_week=37.5),)  # type: ignore[union-attr]

    ctrl(Qt.Key.Key_N)
    fill("West")
    press(Qt.Key.Key_Down)  # net house → greenhouse
    press(Qt.Key.Key_Return)
    for text in ("40,5", "10.0", "2,4"):
        fill(text)
    ctrl(Qt.Key.Key_S)
    settled()
    house = setup.read(empty_farm).houses[0]
    assert (house.name, house.kind, house.length_m, house.width_m, house.wire_height_m) == (
        "West", HouseKind.GREENHOUSE, 40.5, 10.0, 2.4,
    )  # fmt: skip

    ctrl(Qt.Key.Key_N)
    for text in ("W1", "10", "40", "10"):
        fill(text)
    ctrl(Qt.Key.Key_S)
    settled()
    bay = setup.read(empty_farm).bays[0]
    assert (bay.name, bay.rows, bay.area_m2) == ("W1", 10, 400)

    _plant_a_doubtful_crop(screen, empty_farm, settled)

    ctrl(Qt.Key.Key_N)  # the marked plants
    assert focused() is screen.bay_form.plants.wanted
    press(Qt.Key.Key_Return)
    settled()
    plants = setup.read(empty_farm).marked_plants
    assert len(plants) == 10
    assert all(1 <= plant.row <= 10 and plant.marked_on == TODAY for plant in plants)
    assert "ready for a round" in screen.guide.text()


def _plant_a_doubtful_crop(screen: FarmScreen, empty_farm: OpenFarm, settled: Settled) -> None:
    """The crop with a density that is asked about before it is kept."""
    ctrl(Qt.Key.Key_N)  # the crop
    assert focused() is screen.bay_form.planting.crop
    type_text("Sweet")
    press(Qt.Key.Key_Return)
    fill("P1")
    fill("3.8.2026")
    fill("4800")
    chips = [chip.text() for chip in screen.bay_form.chips.findChildren(QPushButton) if chip.isVisible()]
    assert "Plants per m²  12.00 plants/m²" in chips, "derived figures do not come at once"
    ctrl(Qt.Key.Key_S)
    settled()
    assert not setup.read(empty_farm).plantings, "a doubtful density was kept without asking"
    assert "12.00 plants/m² is dense for sweet pepper" in screen.bay_form.notice.text.text()
    press(Qt.Key.Key_Tab)
    press(Qt.Key.Key_Space)  # Change it
    assert focused() is screen.bay_form.planting.plants
    fill("2300")
    ctrl(Qt.Key.Key_S)
    settled()
    if screen.bay_form.notice.isVisible():
        press(Qt.Key.Key_Space)  # It is right
        settled()
    planting = setup.read(empty_farm).plantings[0]
    assert (planting.crop, planting.plants, planting.transplanted_on) == (
        "sweet_pepper",
        2300,
        date(2026, 8, 3),
    )


def test_it_is_right_keeps_a_doubtful_value_and_does_not_ask_again(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    bay = next(item for item in setup.read(farm).bays if item.name == "N1")
    window = make_window(farm, page="farm")
    window.go("farm", bay.id)
    settled()
    screen = screen_of(window)
    screen.bay_form.planting.plants.setFocus()
    fill("9000")
    ctrl(Qt.Key.Key_S)
    assert screen.bay_form.notice.isVisible()
    press(Qt.Key.Key_Space)  # It is right
    settled()
    assert _planting(farm, bay.id).plants == 9000
    screen.bay_form.planting.variety.setFocus()
    fill("P9")
    ctrl(Qt.Key.Key_S)
    settled()
    assert _planting(farm, bay.id).variety == "P9"


def test_impossible_values_are_refused_in_words_and_nothing_is_lost(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    bays = {bay.name: bay for bay in setup.read(farm).bays}
    window = make_window(farm, page="farm")
    window.go("farm", bays["S1"].id)
    settled()
    form = screen_of(window).bay_form
    for field, text, words in (
        (form.length, "12,5,3", "is not a number"),
        (form.rows, "7.5", "Rows is a whole number."),
        (form.rows, "0", "Rows lies between 1 and 1000."),
        (form.planting.planted, "2026-02-30", "is not a date"),
    ):
        before = field.text()
        field.setFocus()
        fill(text)
        ctrl(Qt.Key.Key_S)
        settled()
        assert words in form.notice.text.text()
        assert field.text() == text
        assert focused() is field
        fill(before)
    form.name.setFocus()
    fill("S3")  # in use already; only the file knows
    ctrl(Qt.Key.Key_S)
    settled()
    assert "in use already" in form.notice.text.text()
    assert form.name.text() == "S3"
    press(Qt.Key.Key_Escape)
    settled()
    assert form.name.text() == "S1"
    assert setup.read(farm).bays == tuple(bays.values())


def test_moving_in_the_tree_keeps_what_was_typed(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    bays = {bay.name: bay for bay in setup.read(farm).bays}
    window = make_window(farm, page="farm")
    window.go("farm", bays["S1"].id)
    settled()
    screen = screen_of(window)
    press(Qt.Key.Key_Return)  # from the tree into the form
    fill("S1 west")
    screen.tree.setFocus()
    press(Qt.Key.Key_Down)
    settled()
    assert {bay.name for bay in setup.read(farm).bays} >= {"S1 west"}
    assert screen.bay_form.name.text() == "S3"


def test_more_bays_like_this_one(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    known = setup.read(farm)
    bay = next(item for item in known.bays if item.name == "S4")
    window = make_window(farm, page="farm")
    window.go("farm", bay.id)
    settled()
    form = screen_of(window).bay_form
    form.many.setFocus()
    fill("3")
    settled()
    after = setup.read(farm)
    added = [item for item in after.bays if item.id not in {old.id for old in known.bays}]
    assert [item.name for item in added] == ["S5", "S6", "S7"]
    assert {(item.rows, item.length_m, item.width_m) for item in added} == {
        (bay.rows, bay.length_m, bay.width_m)
    }
    assert {_planting(farm, item.id).plants for item in added} == {_planting(farm, bay.id).plants}


def test_bays_are_pasted_from_a_spreadsheet(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    house = next(item for item in setup.read(farm).houses if item.name == "Tunnel")
    window = make_window(farm, page="farm")
    window.go("farm", house.id)
    settled()
    form = screen_of(window).house_form
    clipboard = QGuiApplication.clipboard()
    clipboard.setText("Bay\tRows\tLength\tWidth\nT7\t4\t15\tacht\n")
    form.paste_button.setFocus()
    press(Qt.Key.Key_Space)
    assert "Row 1: width “acht” is not a number." in form.notice.text.text()
    clipboard.setText(
        "Bay\tRows\tLength\tWidth\tCrop\tVariety\tPlanted\tPlants\tStems\n"
        "T7\t4\t15\t8\tTomato\tVariety T1\t2026-09-01\t300\t1\nT8\t4\t15,5\t8\n"
    )
    form.paste_button.setFocus()
    press(Qt.Key.Key_Space)
    assert "Add 2 bays: T7, T8?" in form.notice.text.text()
    press(Qt.Key.Key_Space)
    settled()
    bays = {bay.name: bay for bay in setup.read(farm).bays}
    assert bays["T8"].length_m == 15.5
    assert (_planting(farm, bays["T7"].id).crop, _planting(farm, bays["T7"].id).plants) == ("tomato", 300)


def test_a_removed_crop_makes_room_for_the_next(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    bay = next(item for item in setup.read(farm).bays if item.name == "N1")
    window = make_window(farm, page="farm")
    window.go("farm", bay.id)
    settled()
    form = screen_of(window).bay_form
    form.planting.removed_on.setFocus()
    type_text("2026-11-20")
    press(Qt.Key.Key_Tab)
    press(Qt.Key.Key_Space)
    settled()
    removed = next(item for item in setup.read(farm).plantings if item.bay_id == bay.id)
    assert removed.removed_on == date(2026, 11, 20)
    assert not form.planting.has_crop
    assert not form.plants.isVisible()


def _planting(farm: OpenFarm, bay_id: str) -> Planting:
    found = [item for item in setup.read(farm).plantings if item.bay_id == bay_id]
    assert len(found) == 1
    return found[0]
