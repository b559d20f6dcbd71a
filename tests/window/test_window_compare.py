"""Compare two bays on one axis: the same figures as their own seasons, by the calendar or by age; by keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTabWidget
from window_hands import TODAY, press

from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.window.bay.compare_page import ComparePage
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def page(make_window: Make, farm: OpenFarm, settled: Settled) -> ComparePage:
    screen = make_window(farm, page="bay").pages.current
    assert screen is not None
    tabs, found = screen.findChild(QTabWidget), screen.findChild(ComparePage)
    assert isinstance(tabs, QTabWidget)
    assert isinstance(found, ComparePage)
    tabs.setCurrentWidget(found)
    for _again in range(3):
        settled()
    return found


def test_both_bays_show_the_figures_of_their_own_seasons(page: ComparePage, farm: OpenFarm) -> None:
    assert page.insight is not None
    bays = (page.insight.past.bay.id, str(page.other.currentData()))
    assert bays[0] != bays[1]
    page.axis.setCurrentIndex(page.axis.findData(False))
    for place, bay_id in enumerate(bays):
        season = week_actions.bay_season(farm, bay_id, TODAY)
        newest, figures = season[-1]
        shown = page.chart.here()[place]
        assert shown is not None
        assert shown == figures["height_cm"]
        assert page.said.text().startswith(str(newest))
        assert figures["height_cm"].text_with_unit in page.said.text()


def test_by_age_the_same_week_of_both_crops_stands_together(page: ComparePage) -> None:
    page.axis.setCurrentIndex(page.axis.findData(True))
    series = page.chart._series
    for one in series:
        for (week, _figure), (monday, _same) in zip(one.places(True), one.points, strict=True):
            assert week == ((monday - one.transplanted_on).days + 6) // 7
    assert page.said.text().startswith("week ")


def test_walked_by_keys(page: ComparePage) -> None:
    page.chart.setFocus()
    newest = page.said.text()
    press(Qt.Key.Key_Left)
    assert page.said.text() != newest
    assert page.chart.accessibleDescription() == page.said.text()
    press(Qt.Key.Key_Right)
    assert page.said.text() == newest
