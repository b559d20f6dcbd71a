"""Who sits at the desk: asked for a PIN when chosen, handed over when nobody types, typed cells kept."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from window_hands import Answers, settle

from bayround import settings
from bayround.actions import pins, setup
from bayround.actions.farm import OpenFarm
from bayround.facts.farm import Person
from bayround.facts.problems import FarmFileProblem
from bayround.window import at_desk
from bayround.window.main_window import MainWindow

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
Make = Callable[..., MainWindow]


@pytest.fixture
def people(farm: OpenFarm, monkeypatch: pytest.MonkeyPatch) -> tuple[Person, Person]:
    """Two people of the farm; the first has a PIN. A quick hash stands in for the slow one."""
    monkeypatch.setattr(pins, "_MEMORY_KIB", 8)
    first, second = sorted((one for one in setup.read(farm).people if one.active), key=lambda one: one.name)[
        :2
    ]
    pins.set_pin(farm, first.id, "4711", "", None, NOW)
    return first, second


@pytest.fixture
def window(farm: OpenFarm, people: tuple[Person, Person], make_window: Make) -> MainWindow:
    return make_window(farm, Answers())


def choose(window: MainWindow, person_id: str) -> None:
    box = window.header.person
    box.setCurrentIndex(box.findData(person_id))
    box.activated.emit(box.currentIndex())


def try_pin(window: MainWindow, qapp: QApplication, digits: str) -> None:
    dialog = window.whose.dialog
    assert dialog is not None
    QTest.keyClicks(dialog.pin, digits)
    QTest.keyClick(dialog.pin, Qt.Key.Key_Return)
    settle(qapp, window._tasks)


def test_a_name_with_a_pin_is_asked_for_it_and_one_without_is_not(
    window: MainWindow, people: tuple[Person, Person], qapp: QApplication
) -> None:
    first, second = people
    choose(window, second.id)
    assert (window.whose.dialog, window.desk.person_id) == (None, second.id)
    choose(window, first.id)
    try_pin(window, qapp, "4712")
    assert window.desk.person_id == second.id
    assert "not the PIN" in window.whose.dialog.notice.text.text()  # type: ignore[union-attr]
    try_pin(window, qapp, "4711")
    assert (window.whose.dialog, window.desk.person_id) == (None, first.id)
    assert window.header.person.currentData() == first.id


def test_a_pin_that_could_not_be_looked_up_can_be_tried_again(
    window: MainWindow, people: tuple[Person, Person], qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, _second = people

    def busy(*_given: object) -> bool:
        raise FarmFileProblem("The farm file is busy.", "Nothing was changed.", "Try again.")

    choose(window, first.id)
    with monkeypatch.context() as patch:
        patch.setattr(pins, "fits", busy)
        try_pin(window, qapp, "4711")
    dialog = window.whose.dialog
    assert dialog is not None
    assert "busy" in dialog.notice.text.text()
    assert dialog.go_on.isEnabled()
    dialog.pin.clear()
    try_pin(window, qapp, "4711")
    assert window.desk.person_id == first.id


def test_who_leaves_the_question_changes_nothing(
    window: MainWindow, people: tuple[Person, Person], qapp: QApplication
) -> None:
    first, second = people
    choose(window, second.id)
    choose(window, first.id)
    dialog = window.whose.dialog
    assert dialog is not None
    dialog.reject()
    settle(qapp, window._tasks)
    assert (window.desk.person_id, window.header.person.currentData()) == (second.id, second.id)


def test_the_third_wrong_one_makes_one_wait_and_nobody_named_can_go_on(
    window: MainWindow, people: tuple[Person, Person], qapp: QApplication
) -> None:
    clock = [0.0]
    window.whose._patience = pins.Patience(lambda: clock[0])
    choose(window, people[0].id)
    for digits in ("1111", "2222", "3333"):
        try_pin(window, qapp, digits)
    dialog = window.whose.dialog
    assert dialog is not None
    assert not dialog.go_on.isEnabled()
    assert "Try again in" in dialog.notice.text.text()
    try_pin(window, qapp, "4711")  # right, and too early
    assert window.desk.person_id != people[0].id
    dialog.pin.clear()
    clock[0] = 2.5
    dialog._show_wait()
    assert dialog.go_on.isEnabled()
    dialog.person.setCurrentIndex(dialog.person.findData(""))
    QTest.keyClick(dialog.go_on, Qt.Key.Key_Return)
    settle(qapp, window._tasks)
    assert (window.whose.dialog, window.desk.person_id) == (None, None)


def test_the_last_one_at_the_desk_is_not_taken_for_granted_when_a_pin_is_set(
    farm: OpenFarm, people: tuple[Person, Person], make_window: Make, qapp: QApplication
) -> None:
    at_desk.remember(people[0].id)
    window = make_window(farm, Answers())
    settle(qapp, window._tasks)
    assert window.desk.person_id is None


def test_a_desk_nobody_types_at_is_handed_over_and_what_was_typed_is_kept(
    window: MainWindow, people: tuple[Person, Person], qapp: QApplication
) -> None:
    clock, kept = [0.0], []
    window.whose._clock = lambda: clock[0]
    window.whose.keep_open_edits = lambda: kept.append(window.desk.person_id)
    window.whose._last_sign = 0.0
    choose(window, people[0].id)
    try_pin(window, qapp, "4711")
    clock[0] = 60.0 * int(settings.read(settings.HAND_OVER_MINUTES)) - 1
    window.whose.look()
    assert window.whose.dialog is None
    QTest.mouseClick(window.windowHandle(), Qt.MouseButton.LeftButton)  # somebody is there
    clock[0] += 500.0
    window.whose.look()
    assert window.whose.dialog is None
    clock[0] += 200.0
    window.whose.look()
    dialog = window.whose.dialog
    assert dialog is not None
    assert kept == [people[0].id]  # kept under the name of who typed it
    assert window.desk.person_id is None
    try_pin(window, qapp, "4711")
    assert window.desk.person_id == people[0].id


def test_the_pin_is_set_changed_and_taken_out_on_the_page_of_the_person(
    farm: OpenFarm, people: tuple[Person, Person], make_window: Make, qapp: QApplication
) -> None:
    window = make_window(farm, Answers())
    window.go("farm", people[1].id)
    settle(qapp, window._tasks)
    part = window.pages.current.person_form.pin  # type: ignore[union-attr]
    assert "no PIN" in part.state.text()
    for current, new in (("", "2468"), ("2468", "1357")):
        part.current.setText(current)
        part.new.setText(new)
        part.set_button.click()
        settle(qapp, window._tasks)
        assert pins.fits(farm, people[1].id, new)
    part.current.setText("9999")
    part.remove_button.click()
    settle(qapp, window._tasks)
    assert "not the PIN" in part.notice.text.text()
    assert people[1].id in pins.with_pin(farm)
    part.forgotten_button.click()
    settle(qapp, window._tasks)
    assert people[1].id not in pins.with_pin(farm)
