"""From the welcome page into a farm, from one farm to the next, by real keys."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from window_hands import Answers, alt, ctrl, press, settle

from bayround import settings
from bayround.actions import farm as farm_actions
from bayround.actions import sample
from bayround.window import errors, theme
from bayround.window.main_window import MainWindow
from bayround.window.session import Session
from bayround.window.welcome import WelcomeWindow


@pytest.fixture
def answers() -> Answers:
    return Answers()


@pytest.fixture
def shown_errors(monkeypatch: pytest.MonkeyPatch) -> list[BaseException]:
    shown: list[BaseException] = []
    monkeypatch.setattr(errors, "show", lambda error, parent=None: shown.append(error))
    return shown


@pytest.fixture
def session(qapp: QApplication, answers: Answers, shown_errors: list[BaseException]) -> Iterator[Session]:
    theme.apply(qapp, "light", large=False)
    made = Session(answers)
    yield made
    if made.window is not None:
        made.window.close()
    made.end()


@pytest.fixture
def settled_session(session: Session, qapp: QApplication) -> Callable[[], None]:
    def wait() -> None:
        settle(qapp, session.tasks)
        assert session.window is not None
        session.window.activateWindow()
        qapp.processEvents()

    return wait


def test_without_a_farm_it_welcomes_and_makes_a_new_one(
    session: Session, answers: Answers, settled_session: Callable[[], None], tmp_path: Path
) -> None:
    session.start(None)
    settled_session()
    assert isinstance(session.window, WelcomeWindow)
    answers.path = tmp_path / "River flats"
    alt(Qt.Key.Key_N)
    settled_session()
    window = cast(MainWindow, session.window)
    assert window.header.farm_name.text() == "River flats"
    assert not window.header.badge.isVisible()
    assert (tmp_path / "River flats.bayround").is_file()
    assert window.pages.current is not None
    assert window.pages.current.name == "farm", "a new farm starts with setting it up"


def test_the_sample_is_made_once_and_opened_again(
    session: Session, settled_session: Callable[[], None], sample_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[Path] = []

    def write(path: Path) -> farm_actions.OpenFarm:
        made.append(path)
        shutil.copyfile(sample_file, path)
        return farm_actions.open_farm(path)

    monkeypatch.setattr(sample, "write_sample", write)
    session.start(None)
    settled_session()
    alt(Qt.Key.Key_S)
    settled_session()
    window = cast(MainWindow, session.window)
    assert window.header.badge.isVisible()
    ctrl(Qt.Key.Key_Q)
    session.window = None
    session.welcome()
    settled_session()
    alt(Qt.Key.Key_S)
    settled_session()
    assert isinstance(session.window, MainWindow)
    assert len(made) == 1


def test_the_last_farm_opens_by_itself_and_another_takes_its_place(
    session: Session,
    answers: Answers,
    settled_session: Callable[[], None],
    sample_file: Path,
    tmp_path: Path,
) -> None:
    first, second = tmp_path / "first.bayround", tmp_path / "second.bayround"
    shutil.copyfile(sample_file, first)
    farm_actions.create(second, "Second").close()
    settings.write(settings.LAST_FARM, str(first))
    session.start(None)
    settled_session()
    before = cast(MainWindow, session.window)
    assert before.desk.farm.path == first
    answers.path = second
    ctrl(Qt.Key.Key_O)
    settled_session()
    after = cast(MainWindow, session.window)
    assert after.header.farm_name.text() == "Second"
    farm_actions.open_farm(first).close()  # fails while the first is still held
    ctrl(Qt.Key.Key_O)
    settled_session()
    assert session.window is after, "the farm that is open was opened again"


def test_a_file_that_is_no_farm_leaves_the_open_one_alone(
    session: Session,
    answers: Answers,
    settled_session: Callable[[], None],
    sample_file: Path,
    tmp_path: Path,
    shown_errors: list[BaseException],
) -> None:
    good, bad = tmp_path / "good.bayround", tmp_path / "bad.bayround"
    shutil.copyfile(sample_file, good)
    bad.write_text("no farm")
    session.start(good)
    settled_session()
    window = session.window
    answers.path = bad
    ctrl(Qt.Key.Key_O)
    settled_session()
    assert session.window is window
    assert window is not None
    assert window.isVisible()
    assert [type(error).__name__ for error in shown_errors] == ["FarmFileProblem"]


def test_a_missing_farm_at_the_start_leads_to_the_welcome_page(
    session: Session, settled_session: Callable[[], None], tmp_path: Path, shown_errors: list[BaseException]
) -> None:
    session.start(tmp_path / "nowhere.bayround")
    settled_session()
    assert isinstance(session.window, WelcomeWindow)
    assert len(shown_errors) == 1


def test_a_new_farm_never_overwrites_a_file(
    session: Session,
    answers: Answers,
    settled_session: Callable[[], None],
    tmp_path: Path,
    shown_errors: list[BaseException],
) -> None:
    there = tmp_path / "there.bayround"
    there.write_text("something dear")
    answers.path = there
    session.start(None)
    settled_session()
    alt(Qt.Key.Key_N)
    settled_session()
    assert there.read_text() == "something dear"
    assert "exists already" in str(shown_errors[0])
    press(Qt.Key.Key_Escape)
