"""Every state of every screen and dialog, walked once and measured: each control is named, has a role and is large
enough, no text is cut off at 1280×720, Alt and a letter mean one thing."""

from __future__ import annotations

import shutil
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot
from window_hands import NOW, TODAY, Answers, alt, focused, settle
from window_measures import (
    SMALL,
    controls,
    has_role,
    letters,
    name_of,
)
from window_states import dialogs, states
from window_whole import cut_texts

from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.window import theme
from bayround.window.desk import Desk
from bayround.window.main_window import MainWindow
from bayround.window.parts import spoken
from bayround.window.tasks_qt import QtTasks
from bayround.window.welcome import WelcomeWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@dataclass
class Found:
    """What a walk through everything found wrong."""

    seen: int = 0
    states: list[str] = field(default_factory=list)
    nameless: list[object] = field(default_factory=list)
    roleless: set[str] = field(default_factory=set)
    small: list[object] = field(default_factory=list)
    cut: list[object] = field(default_factory=list)
    grown: list[str] = field(default_factory=list)
    clashes: list[object] = field(default_factory=list)
    taken: set[tuple[str, str]] = field(default_factory=set)

    def look(self, state: str, window: MainWindow) -> None:
        """Measure what shows now."""
        self.states.append(state)
        for part in controls(window):
            self.seen += 1
            if not name_of(part).strip():
                self.nameless.append((state, type(part).__name__, part.objectName()))
            if not has_role(part):
                self.roleless.add(type(part).__name__)
            if min(part.width(), part.height()) < SMALL:
                self.small.append((state, type(part).__name__, name_of(part), part.size().toTuple()))
        self.measure(state, window)

    def measure(self, state: str, window: MainWindow, painted: bool = True) -> None:
        """Look for texts that do not stand whole, in the dialog where one is open."""
        shown = QApplication.activeModalWidget() or window
        self.cut += [(state, text) for text in cut_texts(shown, painted)]
        if window.size().toTuple() != (1280, 720):
            self.grown.append(state)

    def listen(self, state: str, window: MainWindow, menus: dict[str, str]) -> None:
        """Look for letters that mean two things."""
        users: dict[str, set[str]] = defaultdict(set)
        for key, text in menus.items():
            users[key].add(text)
        for key, text in letters(window.pages, only_visible=True):
            users[key].add(text)
        self.clashes += [(state, key, sorted(texts)) for key, texts in users.items() if len(texts) > 1]
        self.taken |= {(key, text) for key, text in letters(window.pages, only_visible=False) if key in menus}


@pytest.fixture(scope="module")
def opened(
    qapp: QApplication, sample_file: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[MainWindow, OpenFarm, Settled]]:
    """A window on a copy of the invented farm, for the whole module."""
    spoken.install()
    theme.apply(qapp, "light", large=False)
    path = tmp_path_factory.mktemp("walk") / "farm.bayround"
    shutil.copyfile(sample_file, path)
    farm = farm_actions.open_farm(path)
    wrong: list[BaseException] = []
    tasks = QtTasks(wrong.append)
    desk = Desk(farm, tasks, today=lambda: TODAY, now=lambda: NOW, questions=Answers())
    window = MainWindow(desk, tasks)
    window.backups.stop()
    window.resize(1280, 720)
    window.show()
    window.activateWindow()
    yield window, farm, lambda: settle(qapp, tasks)
    theme.apply(qapp, "light", large=False)
    window.close()
    tasks.stop()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete.value)
    farm.close()
    assert not wrong


@pytest.fixture(scope="module")
def found(opened: tuple[MainWindow, OpenFarm, Settled]) -> Found:
    """Everything, walked once in plain type."""
    window, farm, settled = opened
    result, menus = Found(), menu_letters(window)
    for state in states(window, farm, settled):
        result.look(state, window)
        result.listen(state, window, menus)
    for state in dialogs(window, settled):
        result.look(state, window)
    return result


def menu_letters(window: MainWindow) -> dict[str, str]:
    """Return the letters of the menus."""
    made = {
        QKeySequence.mnemonic(entry.text()).toString(): entry.text() for entry in window.menuBar().actions()
    }
    assert len(made) == len(window.menuBar().actions()), "two menus answer the same letter"
    return made


def test_every_control_of_every_screen_and_dialog_has_a_name(found: Found) -> None:
    assert found.seen > 300
    assert len(found.states) > 30
    assert not found.nameless


def test_every_control_has_a_role(found: Found) -> None:
    """WCAG 2.2, success criterion 4.1.2 (A): name, role, value."""
    assert not found.roleless


def test_every_control_is_large_enough(found: Found) -> None:
    assert not found.small


def test_no_text_is_cut_off_at_1280_by_720(found: Found) -> None:
    assert not found.grown, "the window was forced to grow"
    assert not found.cut


def test_no_two_parts_that_show_at_once_answer_the_same_letter(found: Found) -> None:
    assert not found.clashes


def test_what_shows_only_now_and_then_leaves_the_menus_their_letters(found: Found) -> None:
    assert not found.taken


def test_no_text_is_cut_off_in_large_type(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    window = make_window(farm)
    window.actions_made["large"].trigger()
    settled()
    large = Found()
    for state in states(window, farm, settled, with_tabs=False):
        large.measure(state, window, painted=False)
    window.actions_made["large"].trigger()
    settled()
    assert not large.grown, "the window was forced to grow"
    assert not [text for state, text in large.cut if not _gives_way(state, text)]


def _gives_way(state: str, text: str) -> bool:
    """In type a third larger than usual, on the smallest screen, small tables and long lines are shortened."""
    how, _colon, said = text.partition(": ")
    return state.startswith("visit") or how in {"line", "choice", "beside the pane"} or "Vale" in said


def test_alt_s_goes_to_what_the_map_is_shaded_by(make_window: Make, farm: OpenFarm) -> None:
    window = make_window(farm)
    alt(Qt.Key.Key_S)
    assert focused() is window.pages.current.measure  # type: ignore[union-attr]


def test_the_welcome_page_has_names_too(qtbot: QtBot) -> None:
    page = WelcomeWindow()
    qtbot.addWidget(page)
    page.show()
    assert [name_of(part) for part in controls(page)] == [
        "Explore the sample", "New farm", "Open a farm", "Open a farm on a server …"
    ]  # fmt: skip


def test_the_binding_loses_no_reference_to_none(qtbot: QtBot) -> None:
    """PySide6 6.12.0 on Python 3.11 lost one with every call that returns nothing, until the program died."""
    part = QWidget()
    qtbot.addWidget(part)
    for _warm_up in range(100):
        part.update()
    before = sys.getrefcount(None)
    for _call in range(1000):
        part.update()
    assert abs(sys.getrefcount(None) - before) < 100
