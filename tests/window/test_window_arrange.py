"""The farm's layout by drag and by keys: it snaps, can be undone, and is kept in one piece or not at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from window_hands import NOW, TODAY, ctrl, press

from bayround.actions import setup
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.farm import House, HouseKind
from bayround.window.main_window import MainWindow
from bayround.window.week.arranging import Arrangement, Place
from bayround.window.week.map_layout import lay_out
from bayround.window.week.week_screen import WeekScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def arrangement(farm: OpenFarm) -> Arrangement:
    bays = week_actions.picture(farm, None, TODAY).bays
    houses = {seen.house.id: seen.house for seen in bays}
    return Arrangement(tuple(houses.values()), lay_out(bays, 1.0))


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm) -> WeekScreen:
    shown = cast(WeekScreen, make_window(farm).pages.current)
    shown.arrange.setFocus()
    press(Qt.Key.Key_Space)
    assert shown.map.hasFocus()
    return shown


def places(farm: OpenFarm) -> dict[str, tuple[float | None, float | None]]:
    return {house.id: (house.map_east_m, house.map_north_m) for house in setup.read(farm).houses}


def test_a_dragged_house_falls_onto_whole_metres_or_a_near_wall() -> None:
    first = House("a", "A", HouseKind.TUNNEL, 50.0, 8.0, map_east_m=0.0, map_north_m=0.0)
    second = House("b", "B", HouseKind.TUNNEL, 30.5, 8.0, map_east_m=70.0, map_north_m=30.0)
    made = Arrangement((first, second), lay_out((), 1.0))
    assert made.snapped("b", Place(61.3, 20.4)) == Place(61.0, 20.0)
    assert made.snapped("b", Place(51.9, 8.8)) == Place(50.0, 8.0), "wall to wall"
    assert made.snapped("b", Place(18.0, 40.2)).east_m == 19.5, "its east wall in line with the other's"


def test_steps_are_taken_back_and_done_again(arrangement: Arrangement) -> None:
    house_id = next(iter(arrangement.places))
    start = arrangement.places[house_id]
    arrangement.move(house_id, 1, 0)
    arrangement.move(house_id, 0, 10)
    assert arrangement.undo()
    assert arrangement.places[house_id].east_m == pytest.approx(round(start.east_m) + 1)
    assert arrangement.undo()
    assert arrangement.places[house_id] == start
    assert not arrangement.undo()
    assert arrangement.redo()
    assert arrangement.redo()
    assert not arrangement.redo()
    assert arrangement.places[house_id].north_m == pytest.approx(round(start.north_m) + 10)


def test_nothing_moved_is_nothing_changed_and_every_house_stays_to_scale(
    arrangement: Arrangement, farm: OpenFarm
) -> None:
    assert arrangement.changed() == ()
    plan = arrangement.plan(week_actions.picture(farm, None, TODAY).bays)
    for house in setup.read(farm).houses:
        if house.id in plan.houses:
            assert (plan.houses[house.id].width, plan.houses[house.id].height) == (
                house.length_m,
                house.width_m,
            )
    assert len(plan.bays) == 6


def test_arrow_keys_move_a_house_by_one_step_and_enter_keeps_it(
    screen: WeekScreen, farm: OpenFarm, settled: Settled
) -> None:
    hands = screen.map.hands
    assert hands is not None
    house_id = hands.house_id
    start = hands.arrangement.places[house_id]
    press(Qt.Key.Key_Left, times=2)
    press(Qt.Key.Key_Up)
    ctrl(Qt.Key.Key_Z)
    press(Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert "m east" in screen.map.accessibleDescription()
    before = places(farm)
    press(Qt.Key.Key_Return)
    settled()
    assert not screen.arranging.is_on
    after = places(farm)
    assert after[house_id] == (round(start.east_m) - 12, round(start.north_m))
    assert {key for key in after if after[key] != before[key]} == {house_id}
    assert screen.snapshot is not None
    assert (
        next(seen for seen in screen.snapshot.bays if seen.house.id == house_id).house.map_east_m
        == after[house_id][0]
    )


def test_page_down_takes_the_next_house_and_escape_leaves_all(
    screen: WeekScreen, farm: OpenFarm, settled: Settled
) -> None:
    before, hands = places(farm), screen.map.hands
    assert hands is not None
    first = hands.house_id
    press(Qt.Key.Key_PageDown)
    assert hands.house_id != first
    press(Qt.Key.Key_Right, times=3)
    press(Qt.Key.Key_Escape)
    settled()
    assert places(farm) == before
    assert not screen.arrange.isChecked()
    assert screen.map.hands is None


def test_a_house_is_dragged_with_the_mouse(screen: WeekScreen, farm: OpenFarm, settled: Settled) -> None:
    hands = screen.map.hands
    assert hands is not None
    view, box = screen.map._view(), screen.map._plan.houses[hands.house_id]
    start = hands.arrangement.places[hands.house_id]
    grip = view.box(box).center().toPoint()
    by = QPoint(-int(20 * view.pixels_per_m), 0)
    QTest.mousePress(screen.map, Qt.MouseButton.LeftButton, pos=grip)
    QTest.mouseMove(screen.map, grip + by)
    assert hands.held_at is not None
    QTest.mouseRelease(screen.map, Qt.MouseButton.LeftButton, pos=grip + by)
    moved = hands.arrangement.places[hands.house_id]
    assert moved.east_m == pytest.approx(start.east_m - 20, abs=3.0)
    screen.map.take_back()
    assert hands.arrangement.places[hands.house_id] == start
    assert screen.map.bay_at(QPointF(view.box(box).center())), "bays are drawn in their houses meanwhile"
    press(Qt.Key.Key_Escape)
    settled()


def test_houses_on_one_another_are_not_kept_and_the_page_is_not_left(
    screen: WeekScreen, farm: OpenFarm, settled: Settled
) -> None:
    before, hands = places(farm), screen.map.hands
    assert hands is not None
    ids = list(hands.arrangement.places)
    hands.arrangement.put(ids[0], hands.arrangement.places[ids[1]])
    assert not screen.commit_open_edit()
    assert "on one another" in screen.notice.text.text()
    hands.arrangement.undo()
    hands.arrangement.move(ids[0], -3, 0)
    assert screen.commit_open_edit(), "going elsewhere keeps what was moved"
    settled()
    assert places(farm)[ids[0]] != before[ids[0]]


def test_only_the_places_are_written(farm: OpenFarm) -> None:
    """The map was read before another laptop's change of the same house came in: that change stays."""
    seen = setup.read(farm).houses[0]
    setup.change(farm, replace(seen, name="New name", wire_height_m=2.75), None, NOW)
    setup.place_houses(farm, [replace(seen, map_east_m=12.0, map_north_m=3.0)], None, NOW)
    kept = next(one for one in setup.read(farm).houses if one.id == seen.id)
    assert (kept.name, kept.wire_height_m, kept.map_east_m, kept.map_north_m) == ("New name", 2.75, 12.0, 3.0)
