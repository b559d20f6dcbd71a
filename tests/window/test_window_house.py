"""The house check by real keys, from the Week screen; a fault becomes a job and a warning."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from window_hands import TODAY, ctrl, focused, press, type_text

from bayround.actions import house_checks
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.window.house.screen import HouseScreen
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.mark.parametrize("page", ["week", "visit", "farm"])
def test_reached_by_a_key_and_left_by_escape(
    make_window: Make, farm: OpenFarm, settled: Settled, page: str
) -> None:
    window = make_window(farm, page=page)
    ctrl(Qt.Key.Key_H)
    settled()
    screen = cast(HouseScreen, window.pages.current)
    assert screen.name == "house"
    assert focused() is screen.choices["cover"]
    press(Qt.Key.Key_Escape)
    settled()
    assert window.pages.current is not None
    assert window.pages.current.name == "week"


def test_checked_in_a_few_keys(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    window = make_window(farm, page="house")
    screen = cast(HouseScreen, window.pages.current)
    type_text("g")  # cover: good, on to its note
    press(Qt.Key.Key_Return)
    type_text("g")
    press(Qt.Key.Key_Return)
    type_text("f")
    type_text("slack in row 3")
    ctrl(Qt.Key.Key_S)
    settled()
    state = next(one for one in house_checks.read(farm) if one.faults)
    assert {part: check.condition.value for part, check in state.newest.items()} == {
        "cover": "good",
        "posts": "good",
        "wires": "fault",
    }
    assert state.faults[0].note == "slack in row 3"
    assert "slack in row 3" in screen.last["wires"].text()
    snapshot = week_actions.picture(farm, Week.of(TODAY), TODAY)
    assert sum(job.kind is JobKind.HOUSE for job in snapshot.jobs) == 1
    window.go("week")
    settled()
    texts = " ".join(label.text() for label in window.findChildren(QLabel) if label.isVisible())
    assert "Keep people out" in texts, "the Week screen shows last week, but what holds now has to be said"


def test_a_fault_without_words_is_refused_and_nothing_is_lost(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    window = make_window(farm, page="house")
    screen = cast(HouseScreen, window.pages.current)
    type_text("f")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "needs a few words" in screen.notice.text.text()
    assert screen.choices["cover"].condition.value == "fault"
    assert not window.go("week")


def test_the_caution_stands_on_the_page(make_window: Make, farm: OpenFarm) -> None:
    screen = make_window(farm, page="house").pages.current
    assert screen is not None
    assert house_checks.CAUTION in [label.text() for label in screen.findChildren(QLabel)]


def test_a_farm_without_houses_says_what_to_do(make_window: Make, empty_farm: OpenFarm) -> None:
    screen = cast(HouseScreen, make_window(empty_farm, page="house").pages.current)
    assert "no house yet" in screen.empty.heading.text()
    assert focused() is screen.empty.button
