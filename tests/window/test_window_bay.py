"""The Bay screen by real keys: the season's charts and the readings behind them."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from window_hands import TODAY, alt, ctrl, press, type_text

from bayround.actions import setup
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.season import walk_order
from bayround.facts.weeks import Week
from bayround.window.bay.bay_screen import BayScreen
from bayround.window.bay.chart_painting import round_top, tie_text_left
from bayround.window.main_window import MainWindow
from bayround.window.parts.explain import ExplainDialog

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm) -> BayScreen:
    return cast(BayScreen, make_window(farm, page="bay").pages.current)


def test_it_starts_with_the_first_bay_of_the_walk_and_steps_on(
    screen: BayScreen, farm: OpenFarm, settled: Settled
) -> None:
    known = setup.read(farm)
    walk = [bay.name for bay in walk_order(known.houses, known.bays)]
    seen = []
    for _bay in walk:
        seen.append(screen.season.now.bay.name)  # type: ignore[union-attr]
        alt(Qt.Key.Key_Down)
        settled()
    assert seen == walk
    assert screen.season.now.bay.name == walk[-1]  # type: ignore[union-attr]


def test_the_cursor_walks_through_weeks_and_charts(
    screen: BayScreen, farm: OpenFarm, settled: Settled
) -> None:
    bay_id = screen.season.now.bay.id  # type: ignore[union-attr]
    weeks = week_actions.bay_season(farm, bay_id, TODAY)
    assert screen.chart.figure == weeks[-1][1]["height_cm"]
    press(Qt.Key.Key_Left, times=2)
    press(Qt.Key.Key_Down)
    wanted = weeks[-3][1]["fruit_per_m2"]
    assert screen.chart.figure == wanted
    assert f"{weeks[-3][0]}, {wanted.label}: {wanted.text_with_unit}" in screen.chart.accessibleDescription()
    press(Qt.Key.Key_F4)
    settled()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, ExplainDialog)
    assert wanted.why.rule in {label.text() for label in dialog.findChildren(QLabel)}
    press(Qt.Key.Key_Escape)


def test_down_goes_through_all_lanes_to_what_was_done(screen: BayScreen) -> None:
    line = screen.season.line  # type: ignore[union-attr]
    press(Qt.Key.Key_Down, times=4)
    picked = line.picks_in(line.visits[-1].week)
    assert picked is not None
    assert screen.chart.figure == picked.picked
    press(Qt.Key.Key_End)
    assert screen.chart.figure == line.picks[-1].coming
    assert "80 %" not in screen.chart.accessibleDescription()
    assert line.picks[-1].coming.interval_text in screen.chart.accessibleDescription()  # type: ignore[union-attr]
    press(Qt.Key.Key_Down)
    event = line.events[0]
    while screen.chart.week != Week.of(event.start):
        press(Qt.Key.Key_Left)
    assert event.text in screen.chart.accessibleDescription()
    press(Qt.Key.Key_Home)
    assert screen.chart.week == line.weeks()[0]


def test_hovering_reads_a_week_and_leaves_the_cursor_where_it_is(screen: BayScreen) -> None:
    chart, week = screen.chart, screen.chart.week
    first = screen.season.line.visits[0]  # type: ignore[union-attr]
    at = QPoint(round(chart._axes(0).x(first.day)), round(chart._axes(1).box.center().y()))
    QTest.mouseMove(chart, at)
    QApplication.processEvents()
    assert chart.week == first.week != week
    assert first.figures["fruit_per_m2"].text_with_unit in chart.toolTip()
    press(Qt.Key.Key_Up)
    assert chart.week == week
    QTest.mouseClick(chart, Qt.MouseButton.LeftButton, pos=at)
    assert chart.figure == first.figures["fruit_per_m2"]
    row = screen.table.currentIndex().row()
    assert screen.model.data(screen.model.index(row, 0)) == first.day.isoformat()


def test_every_reading_stands_in_the_table(screen: BayScreen) -> None:
    past = screen.season.now.past  # type: ignore[union-attr]
    readings = [reading for record in past.visits for reading in record.readings.values()]
    assert screen.model.rowCount() == len(readings) > 0
    ctrl(Qt.Key.Key_F)
    type_text(past.visits[0].day.isoformat())
    assert screen.model.rowCount() == len(past.visits[0].readings)
    shown = {screen.model.data(screen.model.index(row, 4)) for row in range(screen.model.rowCount())}
    heights = [reading.height_cm for reading in past.visits[0].readings.values()]
    assert shown == {f"{height:.0f}" for height in heights if height is not None}


def test_the_band_is_the_crops_own(screen: BayScreen, farm: OpenFarm) -> None:
    season = screen.season
    assert season is not None
    assert season.now.planting is not None
    points = farm.crops.profile(season.now.planting.crop).load_band
    assert [(low, high) for _day, low, high in season.band()] == [
        (point.low_per_m2, point.high_per_m2) for point in points
    ]
    first_day = season.band()[0][0]
    weeks = (first_day - season.now.planting.transplanted_on).days / 7
    assert weeks == points[0].weeks_after_transplanting


@pytest.mark.parametrize("value", [0.0, 0.3, 1.0, 7.9, 8.0, 154.3, 200.0, 999.0])
def test_axes_end_on_a_round_number_above(value: float) -> None:
    top = round_top(value)
    assert value <= top <= max(value * 2, 1.0)


@pytest.mark.parametrize("day", [100.0, 480.0, 497.0, 503.0, 530.0, 560.0, 690.0])
@pytest.mark.parametrize("cursor", [100.0, 470.0, 500.0, 560.0, 695.0])
def test_no_line_goes_through_the_text_of_the_next_tie(day: float, cursor: float) -> None:
    left = tie_text_left(QRectF(50, 0, 650, 60), day, 70.0, cursor)
    assert left >= 50
    assert left + 70 <= 700
    assert not left < cursor < left + 70
    assert not left < day < left + 70
