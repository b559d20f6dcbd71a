"""Alt and a letter: no two parts that show at once, and no part and a menu, answer the same one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QAbstractButton, QLabel, QTabBar, QTabWidget, QWidget
from window_hands import alt, ctrl, focused, press

from bayround.actions import setup
from bayround.actions.farm import OpenFarm
from bayround.window.main_window import MainWindow
from bayround.window.screens import SCREENS
from bayround.window.visit.screen import VisitScreen
from bayround.window.week.week_screen import WeekScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


def letters(root: QWidget, only_visible: bool) -> Iterator[tuple[str, str]]:
    """Yield (Alt+letter, text) of every button, label of a field and tab under *root*."""
    for part in root.findChildren(QWidget):
        texts: list[str] = []
        if only_visible and not part.isVisible():
            continue
        if isinstance(part, QAbstractButton) or (isinstance(part, QLabel) and part.buddy() is not None):
            texts = [part.text()]
        elif isinstance(part, QTabBar):
            texts = [part.tabText(place) for place in range(part.count())]
        for text in texts:
            if key := QKeySequence.mnemonic(text).toString():
                yield key, text


def menu_letters(window: MainWindow) -> dict[str, str]:
    found = {
        QKeySequence.mnemonic(entry.text()).toString(): entry.text() for entry in window.menuBar().actions()
    }
    assert len(found) == len(window.menuBar().actions()), "two menus answer the same letter"
    return found


def states(window: MainWindow, farm: OpenFarm, settled: Settled) -> Iterator[str]:
    """Go through every screen, each of its tabs, every form of the farm, and what keys open on a screen."""
    known = setup.read(farm)
    for name in SCREENS:
        window.go(name)
        settled()
        yield name
        screen = window.pages.current
        assert screen is not None
        for tabs in screen.findChildren(QTabWidget):
            for place in range(tabs.count()):
                tabs.setCurrentIndex(place)
                settled()
                yield f"{name}, {tabs.tabText(place)}"
    window.go("visit")
    settled()
    cast(VisitScreen, window.pages.current).offer_round()
    yield "visit, a new round"
    window.go("jobs")
    settled()
    for key in (Qt.Key.Key_G, Qt.Key.Key_D):
        ctrl(key)
        settled()
        yield f"jobs, {key.name}"
        press(Qt.Key.Key_Escape)
    ids = (known.people[0].id, known.houses[0].id, known.bays[0].id)
    for key in ids:
        window.go("farm", key)
        settled()
        yield f"farm {key}"
    window.go("trials")
    settled()
    ctrl(Qt.Key.Key_N)
    settled()
    yield "trials, a new one"


def test_no_two_parts_that_show_at_once_answer_the_same_letter(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    window = make_window(farm)
    clashes, seen = [], 0
    for state in states(window, farm, settled):
        users: dict[str, set[str]] = defaultdict(set)
        for key, text in menu_letters(window).items():
            users[key].add(text)
        for key, text in letters(window.pages, only_visible=True):
            seen += 1
            users[key].add(text)
        clashes += [(state, key, sorted(texts)) for key, texts in users.items() if len(texts) > 1]
    assert seen > 80
    assert not clashes


def test_what_shows_only_now_and_then_leaves_the_menus_their_letters(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    window = make_window(farm)
    menus, clashes = menu_letters(window), set()
    for _state in states(window, farm, settled):
        clashes |= {(key, text) for key, text in letters(window.pages, only_visible=False) if key in menus}
    assert not clashes


def test_alt_s_goes_to_what_the_map_is_shaded_by(make_window: Make, farm: OpenFarm) -> None:
    window = make_window(farm)
    alt(Qt.Key.Key_S)
    assert focused() is cast(WeekScreen, window.pages.current).measure
