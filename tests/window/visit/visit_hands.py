"""Bays in memory, and hands that press real keys, for the tests of the Visit screen."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

import factory
from bayround.actions import rounds, setup, stand_counts
from bayround.facts.bay_past import BayPast
from bayround.facts.season import SeasonFacts

WEEKS = 4
TODAY = factory.FIRST_ROUND + timedelta(weeks=WEEKS)
NOW = datetime(2026, 11, 3, 9, 0, tzinfo=UTC)
_ACTIONS = [
    "rounds",
    "start_round",
    "walk",
    "open_visit",
    "sheet_to_open",
    "begin",
    "read_sheet",
    "read_panel",
    "save_cell",
    "save_cells",
    "save_plant_state",
    "save_check",
    "save_card",
    "save_weed",
    "save_note",
    "let_stand",
    "finish",
]


def bays(number: int = 3, plants: int = 10, seed: int = 7) -> list[BayPast]:
    """Return bays of one house whose plants grew for some weeks, each plant in its own way."""
    chance = random.Random(seed)
    house = factory.house(name="Net house 1")
    return [_bay(house, place, plants, chance) for place in range(number)]


def _bay(house: Any, place: int, plants: int, chance: random.Random) -> BayPast:
    bay = factory.bay(house, name=f"Bay {place + 1}", position=place)
    planting = factory.planting(bay)
    marked = tuple(
        replace(plant, row=1 + number // 2, position=chance.randint(3, 60))
        for number, plant in enumerate(factory.plants(planting, plants))
    )
    start = {plant.id: chance.gauss(70, 6) for plant in marked}
    visits = [
        factory.record(
            planting,
            factory.FIRST_ROUND + timedelta(weeks=week),
            {plant.id: numbers_of(start[plant.id] + 7 * week, chance) for plant in marked},
        )
        for week in range(WEEKS)
    ]
    return BayPast(house, bay, planting, marked, tuple(visits))


def numbers_of(height: float, chance: random.Random) -> dict[str, float]:
    """Return one plant's numbers as a scout would read them."""
    return {
        "height_cm": float(round(height + chance.gauss(0, 1))),
        "last_tie_cm": float(round(height - chance.uniform(4, 22))),
        "flowers": float(max(0, round(chance.gauss(4, 2)))),
        "fruit_set": float(max(0, round(chance.gauss(3, 1.6)))),
        "fruit_green": float(max(0, round(chance.gauss(5, 2)))),
        "fruit_turning": float(max(0, round(chance.gauss(0.8, 0.9)))),
        "fruit_coloured": float(max(0, round(chance.gauss(0.6, 0.8)))),
    }


class Hands:
    """Presses keys where the keyboard is, and counts them."""

    def __init__(self, window: QWidget) -> None:
        self.window = window
        self.pressed = 0

    def keys(self, text: str) -> None:
        """Type characters one by one."""
        for mark in text:
            self.pressed += 1
            QTest.keyClicks(self._where(), mark)
        QApplication.processEvents()

    def key(
        self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier, times: int = 1
    ) -> None:
        """Press a key."""
        for _time in range(times):
            self.pressed += 1
            QTest.keyClick(self._where(), key, modifier)
        QApplication.processEvents()

    def ctrl(self, key: Qt.Key) -> None:
        """Press a key together with Ctrl."""
        self.key(key, Qt.KeyboardModifier.ControlModifier)

    def enter(self, times: int = 1) -> None:
        """Press Enter."""
        self.key(Qt.Key.Key_Return, times=times)

    def _where(self) -> QWidget:
        return QApplication.focusWidget() or self.window


def put_in_place(fake: FakeRounds, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the actions answer from *fake*."""
    for name in _ACTIONS:
        monkeypatch.setattr(rounds, name, getattr(fake, name))
    season = SeasonFacts(farm=factory.FarmInfo(factory.key(), "Test farm"), people=fake.people)  # type: ignore[attr-defined]
    monkeypatch.setattr(stand_counts, "confirm", fake.confirm_stand)
    monkeypatch.setattr(setup, "read", lambda _farm: season)
