"""The real window on a disk that fails: told in words, the typed value stays, and is saved when the fault clears."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import cast

import pytest
from farm_at_risk import NAME
from jobs_at_risk import prepare
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shim import watched
from watching import Watch

from bayround.actions import farm as farm_actions
from bayround.facts.rounds import VisitState
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.read_visit import read_visit
from bayround.window.desk import Desk
from bayround.window.main_window import MainWindow
from bayround.window.tasks_qt import QtTasks
from bayround.window.visit.screen import VisitScreen

TODAY = date(2026, 10, 29)
NOW = datetime(2026, 10, 29, 9, tzinfo=UTC)


class Failing:
    """A disk that refuses some operations while *error* is set."""

    def __init__(self) -> None:
        self.error = 0
        self.refused = frozenset({"write"})

    def __call__(self, operation: str, name: str) -> None:
        if self.error and operation in self.refused and NAME in name:
            raise OSError(self.error, "a fault that was made", name)


class GoBack:
    """A person who, asked whether to close without what is not saved, goes back until *gives_up*."""

    gives_up = False

    def confirm(self, _question: str, _follows: str, _yes: str) -> bool:
        return self.gives_up


class Person:
    """Who sits at the window: keys go where the focus is."""

    def __init__(self, window: MainWindow, tasks: QtTasks) -> None:
        self.window, self.tasks = window, tasks

    @property
    def screen(self) -> VisitScreen:
        return cast(VisitScreen, self.window.pages.current)

    def types(self, text: str) -> None:
        QTest.keyClicks(self.window.focusWidget(), text)
        self.presses(Qt.Key.Key_Return)

    def presses(self, key: Qt.Key) -> None:
        QTest.keyClick(self.window.focusWidget(), key)
        self.waits()

    def waits(self) -> None:
        for _again in range(3):
            QApplication.processEvents()
            self.tasks.drain()
        QApplication.processEvents()

    def sees(self, row: int, column: int) -> str:
        readings = self.screen.page.readings
        return readings.look(readings.index(row, column)).text


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Failing]:
    prepare(tmp_path, "cell autosave")
    failing = Failing()
    with watched(Watch(failing)):
        yield failing


@pytest.fixture
def person(disk: Failing, tmp_path: Path, qtbot: QtBot) -> Iterator[Person]:
    shown: list[BaseException] = []
    tasks, answers = QtTasks(shown.append), GoBack()
    farm = farm_actions.open_farm(tmp_path / NAME)
    desk = Desk(farm, tasks, today=lambda: TODAY, now=lambda: NOW, questions=answers)  # type: ignore[arg-type]
    window = MainWindow(desk, tasks)
    window.backups.stop()
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    window.go("visit")
    someone = Person(window, tasks)
    someone.waits()
    yield someone
    disk.error, answers.gives_up = 0, True
    window.close()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete.value)
    tasks.stop()
    assert shown == []


@pytest.mark.parametrize(
    ("error", "refused", "words"),
    [
        (errno.ENOSPC, "write", "is full"),
        (errno.EACCES, "make", "no file can be made beside it"),
        (errno.EIO, "sync", "could not be read or written"),
    ],
)
def test_typed_values_outlast_the_fault(
    person: Person, disk: Failing, tmp_path: Path, error: int, refused: str, words: str
) -> None:
    visit_id = person.screen.work.visit_id
    person.types("71")
    disk.error, disk.refused = error, frozenset({refused})
    person.types("44")
    person.types("5")
    assert words in person.screen.page.message.text()
    assert person.screen.not_saved == 2
    assert [person.sees(0, column) for column in range(3)] == ["71", "44", "5"]
    assert not person.window.close()  # the person is asked first, and goes back
    assert not person.window.go("week")
    person.waits()
    disk.error = 0
    person.types("3")
    assert person.screen.not_saved == 0
    with open_farm(tmp_path / NAME, read_only=True) as again:
        (first,) = (r for r in read_visit(again, visit_id).readings if r.height_cm == 71.0)
        assert (first.last_tie_cm, first.flowers, first.fruit_set) == (44.0, 5, 3)
        assert check(again) == ()


def test_a_visit_is_not_finished_on_a_full_disk_and_is_afterwards(
    person: Person, disk: Failing, tmp_path: Path
) -> None:
    visit_id = person.screen.work.visit_id
    person.types("71")
    person.screen.finishing.start()
    person.waits()
    for _item in range(2):  # the height, far from last week's, and the empty cells: the person lets them be
        person.presses(Qt.Key.Key_K)
    disk.error = errno.ENOSPC
    person.presses(Qt.Key.Key_Return)
    assert "not finished" in person.screen.page.message.text()
    assert state_of(tmp_path, visit_id) is VisitState.DRAFT
    disk.error = 0
    person.screen.finishing.start()
    person.waits()
    assert state_of(tmp_path, visit_id) is VisitState.DONE


def state_of(folder: Path, visit_id: str) -> VisitState:
    with open_farm(folder / NAME, read_only=True) as again:
        return read_visit(again, visit_id).visit.state
