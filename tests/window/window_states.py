"""Everything the window can show: every screen, every tab, every form, what keys open on a screen, every dialog."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QTabWidget
from window_hands import ctrl, press

from bayround.actions import rounds, setup
from bayround.actions.farm import OpenFarm
from bayround.facts.rounds import VisitState
from bayround.window.main_window import MainWindow
from bayround.window.screens import SCREENS
from bayround.window.visit.screen import VisitScreen
from bayround.window.week.week_screen import WeekScreen

Settled = Callable[[], None]
CTRL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def states(window: MainWindow, farm: OpenFarm, settled: Settled, *, with_tabs: bool = True) -> Iterator[str]:
    """Go through everything on the screens; each time something else shows, yield its name."""
    for name in SCREENS:
        window.go(name)
        settled()
        yield name
        screen = window.pages.current
        assert screen is not None
        if isinstance(screen, WeekScreen) and with_tabs:
            yield from _week_views(screen, settled)
        for tabs in screen.findChildren(QTabWidget) if with_tabs else ():
            for place in range(tabs.count()):
                tabs.setCurrentIndex(place)
                settled()
                yield f"{name}, {tabs.tabText(place)}"
    yield from _forms(window, farm, settled)


def _week_views(screen: WeekScreen, settled: Settled) -> Iterator[str]:
    """Every choice of columns and of shading."""
    for place in range(1, screen.bays.columns.count()):
        screen.bays.columns.setCurrentIndex(place)
        settled()
        yield f"week, {screen.bays.columns.currentText()}"
    screen.bays.columns.setCurrentIndex(0)
    for place in range(1, screen.measure.count()):
        screen.measure.setCurrentIndex(place)
        settled()
        yield f"week, {screen.measure.currentText()}"
    screen.measure.setCurrentIndex(0)


def _forms(window: MainWindow, farm: OpenFarm, settled: Settled) -> Iterator[str]:
    known = setup.read(farm)
    for bay_id in _keyed_in(farm):
        window.go("visit", bay_id)
        settled()
        yield "visit, a bay keyed in"
    cast(VisitScreen, window.pages.current).offer_round()
    yield "visit, a new round"
    window.go("jobs")
    settled()
    for key, with_shift in ((Qt.Key.Key_G, False), (Qt.Key.Key_D, False), (Qt.Key.Key_S, True)):
        press(key, CTRL_SHIFT) if with_shift else ctrl(key)
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


def _keyed_in(farm: OpenFarm) -> Iterator[str]:
    """Yield one finished bay of the newest round."""
    walked = rounds.rounds(farm)[0]
    stops = (stop for stop in rounds.walk(farm, walked.id) if stop.state is VisitState.DONE)
    yield next(stops).bay.id


def dialogs(window: MainWindow, settled: Settled) -> Iterator[str]:
    """Open one dialog after the other."""
    window.go("week")
    settled()
    for name in ("help", "search", "about"):
        window.actions_made[name].trigger()
        settled()
        yield name
        _leave(window, settled)
    window.go("jobs")
    settled()
    for name, key in (("finished jobs", Qt.Key.Key_J), ("how do you know", Qt.Key.Key_F4)):
        ctrl(key) if key == Qt.Key.Key_J else press(key)
        settled()
        yield name
        _leave(window, settled)


def _leave(window: MainWindow, settled: Settled) -> None:
    dialog = QApplication.activeModalWidget()
    assert dialog is not None, "no dialog opened"
    press(Qt.Key.Key_Escape)
    window.activateWindow()
    settled()
    assert QApplication.activeModalWidget() is None, f"{dialog} does not close with Escape"
