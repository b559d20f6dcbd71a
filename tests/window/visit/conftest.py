"""The Visit screen on a farm in memory."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, cast

import pytest
from fake_rounds import FakeRounds
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from visit_hands import NOW, TODAY, Hands, bays, put_in_place

from bayround.actions.farm import OpenFarm
from bayround.actions.tasks import AtOnce
from bayround.window import theme
from bayround.window.desk import Desk
from bayround.window.visit.screen import VisitScreen


@pytest.fixture
def farm(monkeypatch: pytest.MonkeyPatch) -> FakeRounds:
    """Three bays of six plants, four earlier rounds, a round begun today."""
    fake = FakeRounds(bays(plants=6), TODAY)
    put_in_place(fake, monkeypatch)
    return fake


@pytest.fixture(scope="session")
def looks(qapp: QApplication) -> None:
    """The program's own look, so that sizes are those of the real window."""
    theme.apply(qapp, "light", False)


@pytest.fixture
def make_screen(qtbot: QtBot, looks: None) -> Callable[..., VisitScreen]:
    """Build and show a screen on the farm that is in place."""

    def make(tasks: Any = None, today: date = TODAY, painted: bool = False) -> VisitScreen:
        desk = Desk(cast(OpenFarm, object()), tasks or AtOnce(), today=lambda: today, now=lambda: NOW)
        screen = VisitScreen(desk)
        qtbot.addWidget(screen)
        screen.setUpdatesEnabled(painted)  # keys are tested here, and painting costs most of the time
        screen.resize(1180, 650)
        with qtbot.waitActive(screen):
            screen.show()
            screen.activateWindow()
        screen.show_again()
        QApplication.processEvents()
        return screen

    return make


@pytest.fixture
def screen(farm: FakeRounds, make_screen: Callable[..., VisitScreen]) -> VisitScreen:
    """The screen with the first bay open, the cursor in its first empty cell."""
    shown = make_screen()
    Hands(shown).enter()
    QApplication.processEvents()
    assert shown.page.grid.hasFocus()
    return shown


@pytest.fixture
def hands(screen: VisitScreen) -> Hands:
    """Hands on the keyboard of the screen."""
    return Hands(screen)
