"""The Week screen by real keys: order, filter, map, figures that can be asked how they are known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from window_hands import TODAY, ctrl, focused, press, type_text

from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.work import JobKind
from bayround.week.columns import COLUMNS, column
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.window.main_window import MainWindow
from bayround.window.parts.bay_table import BayTableModel, in_two_lines
from bayround.window.parts.explain import ExplainDialog
from bayround.window.week.map_layout import lay_out, nearest
from bayround.window.week.measures import Classes, classes_for
from bayround.window.week.week_screen import WeekScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def snapshot(farm: OpenFarm) -> WeekSnapshot:
    return week_actions.picture(farm, None, TODAY)


def screen_of(window: MainWindow) -> WeekScreen:
    return cast(WeekScreen, window.pages.current)


def rows(model: BayTableModel) -> list[BayWeek]:
    return [cast(BayWeek, model.bay_week(row)) for row in range(model.rowCount())]


def names(model: BayTableModel) -> list[str]:
    return [seen.bay.name for seen in rows(model)]


def test_every_cell_shows_the_text_of_its_column(snapshot: WeekSnapshot) -> None:
    model = BayTableModel(COLUMNS)
    model.show(snapshot.bays)
    for row in range(model.rowCount()):
        bay_week = model.bay_week(row)
        assert bay_week is not None
        shown = [model.data(model.index(row, place)) for place in range(model.columnCount())]
        assert shown == [found.text(bay_week) for found in COLUMNS]


def test_late_rounds_are_on_top_and_missing_values_last(snapshot: WeekSnapshot) -> None:
    model = BayTableModel(COLUMNS)
    model.show(snapshot.bays)
    assert names(model)[0] == "G4", "the bay whose round is late is not on top"
    place = COLUMNS.index(column("growth_cm_week"))
    for order in (Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder):
        model.sort(place, order)
        assert names(model)[-1] == "G4", "a missing value is not last"
        values = [model.figure_at(model.index(row, place)).value for row in range(5)]  # type: ignore[union-attr]
        assert values == sorted(values, reverse=order == Qt.SortOrder.DescendingOrder)


def test_the_worst_bay_comes_first_after_the_late_ones(snapshot: WeekSnapshot) -> None:
    model = BayTableModel(COLUMNS)
    model.show(snapshot.bays)
    place = COLUMNS.index(column("jobs_due"))
    seen = [model.bay_week(row) for row in range(model.rowCount())]
    needs = []
    for row, bay in enumerate(seen):
        assert bay is not None
        due = [job for job in bay.jobs if job.is_due]
        urgent = sum(job.priority == 1 for job in due)
        days = bay.figures["days_since_visit"].value or 0
        needs.append((not any(job.kind is JobKind.ROUND for job in bay.jobs), -urgent, -len(due), -days))
        cell = model.index(row, place)
        assert model.data(cell) == str(len(due)), "the text is not the column's own"
        has_mark = model.data(cell, Qt.ItemDataRole.DecorationRole) is not None
        assert has_mark == (urgent > 0)
        for role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            assert (f"{urgent} urgent" in (model.data(cell, role) or "")) == (urgent > 0)
    assert needs == sorted(needs)
    assert any(need[1] < 0 for need in needs), "the sample has no urgent job to show"


def test_f7_sorts_by_the_column_under_the_cursor_then_back_to_front_then_worst_first(
    make_window: Make, farm: OpenFarm
) -> None:
    screen = screen_of(make_window(farm))
    usual = names(screen.bays.model)
    assert screen.bays.order.text().startswith("Worst first")
    shown = [screen.bays.model.column(at).id for at in range(screen.bays.model.columnCount())]
    press(Qt.Key.Key_Right, times=shown.index("weed_cover_percent"))
    for order in ("lowest first", "highest first"):
        press(Qt.Key.Key_F7)
        figures = [seen.figures["weed_cover_percent"] for seen in rows(screen.bays.model)]
        covers = [figure.value for figure in figures if figure.value is not None]
        assert covers == sorted(covers, reverse=order == "highest first")
        assert f"Weed cover (%), {order}" in screen.bays.order.text()
    press(Qt.Key.Key_F7)
    assert names(screen.bays.model) == usual


def test_filter_keeps_rows_with_every_word(make_window: Make, farm: OpenFarm) -> None:
    screen = screen_of(make_window(farm))
    ctrl(Qt.Key.Key_F)
    assert focused() is screen.bays.filter
    type_text("south too")
    assert names(screen.bays.model) == ["S4"]
    ctrl(Qt.Key.Key_A)
    press(Qt.Key.Key_Delete)
    assert len(names(screen.bays.model)) == 6


def test_enter_opens_the_bay_under_the_cursor(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    window = make_window(farm)
    chosen = names(screen_of(window).bays.model)[2]
    press(Qt.Key.Key_Down, times=2)
    press(Qt.Key.Key_Return)
    settled()
    assert window.pages.current is not None
    assert window.pages.current.name == "bay"
    assert f"· {chosen} ·" in window.pages.current.heading.text()  # type: ignore[attr-defined]


def test_f4_says_how_the_figure_under_the_cursor_is_known(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    screen = screen_of(make_window(farm))
    press(Qt.Key.Key_Down)
    shown = [screen.bays.model.column(place).id for place in range(screen.bays.model.columnCount())]
    press(Qt.Key.Key_Right, times=shown.index("growth_cm_week"))
    figure = screen.bays.model.figure_at(screen.bays.table.currentIndex())
    assert figure is not None
    press(Qt.Key.Key_F4)
    settled()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, ExplainDialog)
    texts = {label.text() for label in dialog.findChildren(QLabel)}
    for heading, text in figure.explained()[1:]:
        assert {heading, text} <= texts
    press(Qt.Key.Key_Escape)


def test_arrow_keys_walk_over_the_map_and_the_table_follows(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    window = make_window(farm)
    screen = screen_of(window)
    screen.map.setFocus()
    here = {seen.bay.name: seen.bay.id for seen in screen.snapshot.bays}  # type: ignore[union-attr]
    screen.map.choose(here["S1"])
    for key, expected in ((Qt.Key.Key_Right, "S3"), (Qt.Key.Key_Right, "G4")):
        press(key)
        assert screen.bays.current is not None
        assert screen.bays.current.bay.name == expected
        assert expected in screen.card.title.text()
    assert "Days since the last visit" in screen.map.accessibleDescription()
    press(Qt.Key.Key_Return)
    settled()
    assert window.pages.current is not None
    assert window.pages.current.name == "bay"


def test_a_click_on_the_map_chooses_the_bay_drawn_there(make_window: Make, farm: OpenFarm) -> None:
    screen = screen_of(make_window(farm))
    found = {}
    for x in range(0, screen.map.width(), 6):
        for y in range(0, screen.map.height(), 6):
            bay_id = screen.map.bay_at(QPointF(x, y))
            if bay_id:
                found.setdefault(bay_id, QPointF(x, y).toPoint())
    assert len(found) == 6, "not every bay is on the map"
    for bay_id, point in found.items():
        QTest.mouseClick(screen.map, Qt.MouseButton.LeftButton, pos=point)
        assert screen.bays.bay_id == bay_id


def test_the_map_is_to_scale_and_bays_lie_in_their_house(snapshot: WeekSnapshot) -> None:
    for gap in (4.0, 12.0):
        for aspect in (0.6, 1.0, 2.0):
            unplaced = tuple(
                replace(seen, past=replace(seen.past, house=replace(seen.house, map_east_m=None)))
                for seen in snapshot.bays
            )
            for bays in (snapshot.bays, unplaced):
                plan = lay_out(bays, aspect, gap)
                for seen in bays:
                    box, house = plan.bays[seen.bay.id], plan.houses[seen.house.id]
                    assert box.width * box.height == pytest.approx(seen.bay.area_m2)
                    assert house.width * house.height == pytest.approx(
                        seen.house.length_m * seen.house.width_m
                    )
                    assert house.east - 0.01 <= box.east
                    assert box.east + box.width <= house.east + house.width + 0.01
                    assert house.south - 0.01 <= box.south
                    assert box.south + box.height <= house.south + house.height + 0.01


def test_a_full_house_is_covered_by_its_bays_without_gap_or_overlap(snapshot: WeekSnapshot) -> None:
    south = next(seen for seen in snapshot.bays if seen.bay.name == "S1")
    bays = [
        replace(
            seen, past=replace(seen.past, bay=replace(seen.bay, id=f"bay {number}", length_m=30, width_m=10))
        )
        for number, seen in enumerate([south] * 8)
    ]
    plan = lay_out(bays, 1.0)
    house = plan.houses[south.house.id]
    assert sum(box.width * box.height for box in plan.bays.values()) == pytest.approx(
        house.width * house.height
    )
    boxes = list(plan.bays.values())
    for place, box in enumerate(boxes):
        assert box.east + box.width <= house.east + house.width + 1e-6
        for other in boxes[:place]:
            apart_across = (
                other.east + other.width <= box.east + 1e-6 or box.east + box.width <= other.east + 1e-6
            )
            apart_down = (
                other.south + other.height <= box.south + 1e-6 or box.south + box.height <= other.south + 1e-6
            )
            assert apart_across or apart_down


def test_every_bay_of_the_map_can_be_reached_by_arrow_keys(snapshot: WeekSnapshot) -> None:
    plan = lay_out(snapshot.bays, 1.0)
    reached, new = set(), {snapshot.bays[0].bay.id}
    while new:
        reached |= new
        steps = ((1, 0), (-1, 0), (0, 1), (0, -1))
        new = {nearest(plan.bays, bay, *step) for bay in new for step in steps} - reached
    assert reached == set(plan.bays)


@pytest.mark.parametrize(
    "amounts", [[], [0.0], [3.0, 3.0], [4, 5, 11], [0.0, 100.0], [0.1, 0.2, 0.3], [12.2, 3.4, 16.1], [0, 0.5]]
)
def test_classes_hold_every_amount_between_the_bounds_they_name(amounts: list[float]) -> None:
    classes = classes_for(amounts)
    for amount in amounts:
        step = classes.of(amount)
        assert classes.low + classes.step * step <= amount + 1e-9
        assert amount <= classes.low + classes.step * (step + 1) + 1e-9
    assert len(set(classes.bounds())) == 6, "two bounds have the same words"


def test_classes_are_named_by_their_bounds() -> None:
    assert Classes(4, 2).bounds() == ("4", "6", "8", "10", "12", "14")


def test_headings_break_where_they_are_shortest() -> None:
    assert in_two_lines("Worst incidence", "%") == "Worst\nincidence %"
    assert in_two_lines("House", "") == "House"


def test_an_empty_farm_says_what_to_do(make_window: Make, empty_farm: OpenFarm, settled: Settled) -> None:
    window = make_window(empty_farm)
    screen = screen_of(window)
    assert screen.empty.isVisible()
    assert "Set the farm up" in screen.empty.text.text()
    screen.empty.button.setFocus()
    press(Qt.Key.Key_Space)
    settled()
    assert window.pages.current is not None
    assert window.pages.current.name == "farm"
