"""The Visit screen on a real farm file with the real worker thread."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from visit_hands import NOW, TODAY, Hands, bays
from window_hands import settle
from window_season import facts_of

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import rounds
from bayround.actions.farm import OpenFarm
from bayround.facts.rounds import PlantState, Round, VisitState
from bayround.records import read_season, write_setup
from bayround.window.desk import Desk
from bayround.window.tasks_qt import QtTasks
from bayround.window.visit.screen import VisitScreen

Opened = tuple[VisitScreen, QtTasks, OpenFarm]


@pytest.fixture
def open_screen(tmp_path: Path, qtbot: QtBot, looks: None, qapp: QApplication) -> Callable[[], Opened]:
    """Open a screen on a farm file; every call is another start of the program on the same file."""
    path = tmp_path / "farm.bayround"
    season = factory.season(bays(1, plants=6)[0])
    today = Round(factory.key(), TODAY, season.people[0].id)
    made = farm_actions.create(path, "Test farm")
    write_setup.add(made.store, *facts_of(replace(season, rounds=(*season.rounds, today))))
    made.close()

    def start() -> Opened:
        farm, tasks = farm_actions.open_farm(path), QtTasks(_fail)
        screen = VisitScreen(Desk(farm, tasks, today=lambda: TODAY, now=lambda: NOW))
        qtbot.addWidget(screen)
        screen.setUpdatesEnabled(False)
        with qtbot.waitActive(screen):
            screen.show()
            screen.activateWindow()
        screen.show_again()
        settle(qapp, tasks)
        return screen, tasks, farm

    return start


def _fail(error: BaseException) -> None:
    raise error


def stop(opened: Opened) -> None:
    screen, tasks, farm = opened
    screen.close()
    tasks.stop()
    farm.close()


def test_a_visit_lives_on_in_the_file_and_is_taken_up_where_it_stopped(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    first = open_screen()
    screen, tasks, _farm = first
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    sheet = screen.page.readings.in_hand.sheet
    last = sheet.rows[0].last
    assert last is not None
    hands.keys("+" * 9)  # a row of seven fields and two cells of the next
    hands.key(Qt.Key.Key_F6)
    hands.keys("30")
    hands.enter()
    hands.keys("2")
    hands.enter()
    screen.page.sections.note.setFocus()
    hands.keys("net torn")
    assert screen.commit_open_edit()
    settle(qapp, tasks)
    stop(first)

    second = open_screen()
    screen, tasks, farm = second
    settle(qapp, tasks)
    season = read_season.read_season(farm.store)
    visit = next(item for item in season.visits if item.id == sheet.visit.id)
    assert (visit.state, visit.note) == (VisitState.DRAFT, "net torn")
    reading = next(item for item in season.readings if item.visit_id == visit.id)
    assert [reading.value(field.key) for field in sheet.fields] == [
        last.value(field.key) for field in sheet.fields
    ]
    checks = [check for check in season.pest_checks if check.visit_id == visit.id]
    assert [(check.inspected, check.infested) for check in checks] == [(30, 2)]
    assert screen.work.visit_id == visit.id
    index = screen.page.grid.currentIndex()
    assert (index.row(), index.column()) == (1, 2)
    stop(second)


def test_r_replaces_a_plant_and_the_new_one_is_keyed_in(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    screen, tasks, _farm = open_screen()
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    before = screen.page.readings.in_hand.sheet.rows
    hands.keys("r")
    for _reading in range(3):
        settle(qapp, tasks)
        QTest.qWait(150)
    rows = screen.page.readings.in_hand.sheet.rows
    assert len(rows) == len(before) + 1
    assert rows[0].reading is not None
    assert rows[0].reading.state is PlantState.DEAD
    assert rows[-1].plant.replaces_id == before[0].plant.id
    assert rows[-1].plant.row == before[0].plant.row


def test_a_finished_bay_is_corrected_through_the_worker_thread(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    opened = open_screen()
    screen, tasks, farm = opened
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    hands.keys("+" * 7 * 6)
    settle(qapp, tasks)
    rounds.finish(farm, screen.work.visit_id, NOW)
    screen.work.refresh()
    settle(qapp, tasks)
    screen.page.grid.setFocus()
    screen.page.grid.setCurrentIndex(screen.page.readings.index(0, 0))
    hands.keys("99")
    hands.enter()
    screen.work.refresh()
    settle(qapp, tasks)
    assert screen.page.readings.in_hand.value(0, 0) == 99.0, "what waits for its reason stays in sight"
    hands.keys("misread")
    hands.enter()
    settle(qapp, tasks)
    (entry,) = read_season.read_season(farm.store).corrections
    assert (entry.field, entry.after, entry.reason) == ("height_cm", "99.0", "misread")
    assert screen.page.readings.look(screen.page.readings.index(0, 0)).text == "99"
    stop(opened)


def test_the_panel_and_the_doubts_come_from_the_real_figures(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    opened = open_screen()
    screen, tasks, _farm = opened
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    hands.keys("+")
    hands.key(Qt.Key.Key_Down)
    hands.key(Qt.Key.Key_Left)
    hands.keys("499")
    hands.enter()
    settle(qapp, tasks)
    assert "n = 2" in screen.panel.lines.lines[1].plain
    doubt = screen.page.readings.in_hand.doubt(1, 0)
    assert doubt is not None
    assert not doubt.answered
    stop(opened)
