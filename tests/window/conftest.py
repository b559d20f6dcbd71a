"""Fixtures of the window tests: the invented farm, read once and copied; a window on it; keys, not slots."""

from __future__ import annotations

import functools
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from window_hands import NOW, TODAY, Answers, settle
from window_season import facts_of, part_of

from bayround.actions import farm as farm_actions
from bayround.actions import sample
from bayround.actions.farm import OpenFarm
from bayround.records import write_setup
from bayround.window import theme
from bayround.window.desk import Desk
from bayround.window.main_window import Doors, MainWindow
from bayround.window.tasks_qt import QtTasks


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file with six bays and the last weeks of the invented farm, made once; tests work on copies."""
    path = tmp_path_factory.mktemp("sample") / "sample.bayround"
    season = part_of(sample.season_facts())
    made = farm_actions.create(path, season.farm.name, invented=True)
    write_setup.add(made.store, *facts_of(season))
    made.close()
    return path


@pytest.fixture(scope="session", autouse=True)
def crops_read_once() -> Iterator[None]:
    """Read the crop files once for all windows; they are frozen values."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(farm_actions, "load_crops", functools.cache(farm_actions.load_crops))
        yield


@pytest.fixture
def farm(sample_file: Path, tmp_path: Path) -> Iterator[OpenFarm]:
    """An open copy of the invented farm."""
    path = tmp_path / "farm.bayround"
    shutil.copyfile(sample_file, path)
    opened = farm_actions.open_farm(path)
    yield opened
    opened.close()


@pytest.fixture
def empty_farm(tmp_path: Path) -> Iterator[OpenFarm]:
    """A new farm with nothing in it."""
    opened = farm_actions.create(tmp_path / "empty.bayround", "Trial Hill")
    yield opened
    opened.close()


@pytest.fixture
def faults() -> list[BaseException]:
    """What was shown to the person as an error."""
    return []


@pytest.fixture
def tasks(qapp: QApplication, faults: list[BaseException]) -> Iterator[QtTasks]:
    """The worker of the window; errors are collected."""
    made = QtTasks(faults.append)
    yield made
    made.stop()


@pytest.fixture
def make_window(qtbot: QtBot, qapp: QApplication, tasks: QtTasks) -> Iterator[Callable[..., MainWindow]]:
    """A shown window on a farm at 1280×720; closed at the end of the test."""
    theme.apply(qapp, "light", large=False)
    made: list[MainWindow] = []

    def make(
        farm: OpenFarm, answers: Answers | None = None, doors: Doors | None = None, page: str = "week"
    ) -> MainWindow:
        desk = Desk(farm, tasks, today=lambda: TODAY, now=lambda: NOW, questions=answers or Answers())
        window = MainWindow(desk, tasks, doors)
        window.backups.stop()
        window.resize(1280, 720)
        made.append(window)
        with qtbot.waitExposed(window):
            window.show()
        window.activateWindow()
        window.go(page)
        settle(qapp, tasks)
        return window

    yield make
    for window in made:
        window.desk.questions = Answers()
        window.close()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete.value)


@pytest.fixture
def settled(qapp: QApplication, tasks: QtTasks) -> Callable[[], None]:
    """Wait for the worker and the screen."""
    return lambda: settle(qapp, tasks)
