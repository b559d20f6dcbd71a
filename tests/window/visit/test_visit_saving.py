"""Nothing typed is lost: faults of the disk, page changes, a killed program, threads."""

from __future__ import annotations

from collections.abc import Callable

from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QStackedWidget
from pytestqt.qtbot import QtBot
from visit_hands import Hands

from bayround.facts.rounds import Visit, VisitState
from bayround.window.tasks_qt import QtTasks
from bayround.window.visit.entry_model import Mark
from bayround.window.visit.screen import VisitScreen

HEIGHT, TIE, FLOWERS = range(3)


def kept(screen: VisitScreen, farm: FakeRounds, row: int, column: int) -> float | None:
    return farm.value(screen.work.visit_id, *screen.page.readings.in_hand.cell(row, column))


def look(screen: VisitScreen, row: int, column: int) -> tuple[str, Mark]:
    seen = screen.page.readings.look(screen.page.readings.index(row, column))
    return seen.text, seen.mark


def test_every_cell_is_saved_at_once_in_a_transaction_of_its_own(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("+++")
    assert [what for what, _given in farm.saves] == ["save_cell"] * 3


def test_a_failed_save_keeps_the_value_marks_the_cell_and_saves_when_the_fault_clears(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    farm.failing = True
    hands.keys("71")
    hands.enter()
    assert look(screen, 0, HEIGHT) == ("71", Mark.NOT_SAVED)
    assert "The disk is full." in screen.page.message.text()
    assert screen.not_saved == 1
    screen.show_again()  # the farm is read again: the typed value stays
    QApplication.processEvents()
    assert look(screen, 0, HEIGHT) == ("71", Mark.NOT_SAVED)
    farm.failing = False
    hands.keys("44")
    hands.enter()  # the next save takes the earlier one along
    assert (kept(screen, farm, 0, HEIGHT), kept(screen, farm, 0, TIE)) == (71.0, 44.0)
    assert screen.not_saved == 0
    assert look(screen, 0, HEIGHT)[1] is not Mark.NOT_SAVED


def test_a_failed_save_is_tried_again_by_itself(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, qtbot: QtBot
) -> None:
    screen.work.keeper._timer.setInterval(20)
    farm.failing = True
    hands.keys("71")
    hands.enter()
    farm.failing = False
    qtbot.waitUntil(lambda: screen.not_saved == 0, timeout=3000)
    assert kept(screen, farm, 0, HEIGHT) == 71.0
    assert screen.page.message.text() == "Saved: everything typed is in the farm file."


def test_a_failed_paste_keeps_all_its_values(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    from PySide6.QtGui import QGuiApplication

    farm.failing = True
    QGuiApplication.clipboard().setText("88\t70\n89\t71\n")
    hands.ctrl(Qt.Key.Key_V)
    assert screen.not_saved == 4
    farm.failing = False
    screen.work.keeper.retry()
    assert [kept(screen, farm, 1, column) for column in (HEIGHT, TIE)] == [89.0, 71.0]


def test_values_of_a_bay_that_was_left_are_saved_into_that_bay(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first, cell = screen.work.visit_id, screen.page.readings.in_hand.cell(0, HEIGHT)
    farm.failing = True
    hands.keys("71")
    hands.enter()
    hands.ctrl(Qt.Key.Key_PageDown)
    assert screen.work.visit_id != first
    farm.failing = False
    screen.work.keeper.retry()
    assert farm.value(first, *cell) == 71.0


def test_a_page_change_keeps_what_stands_in_an_open_cell(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds, qtbot: QtBot
) -> None:
    screen = make_screen()
    pages, other = QStackedWidget(), QLabel("another screen")
    pages.addWidget(screen)
    pages.addWidget(other)
    with qtbot.waitActive(pages):
        pages.show()
        pages.activateWindow()
    screen.walk.setFocus()
    hands = Hands(pages)
    hands.enter()
    hands.keys("1")
    pages.setCurrentWidget(other)  # nobody asked first
    assert kept(screen, farm, 0, HEIGHT) == 1.0
    pages.close()
    screen.setParent(None)


def test_another_window_in_front_leaves_a_cell_open_and_a_page_change_still_keeps_it(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds, qtbot: QtBot
) -> None:
    screen = make_screen()
    pages, other, front = QStackedWidget(), QLabel("another screen"), QLabel("another program")
    qtbot.addWidget(front)
    pages.addWidget(screen)
    pages.addWidget(other)
    with qtbot.waitActive(pages):
        pages.show()
        pages.activateWindow()
    screen.walk.setFocus()
    hands = Hands(pages)
    hands.enter()
    hands.keys("1")
    with qtbot.waitActive(front):
        front.show()
        front.activateWindow()
    assert kept(screen, farm, 0, HEIGHT) is None  # half typed: the person will be back
    pages.setCurrentWidget(other)
    assert kept(screen, farm, 0, HEIGHT) == 1.0
    pages.close()
    screen.setParent(None)


def test_the_page_is_not_left_while_something_is_not_saved(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    farm.failing = True
    hands.keys("1")
    assert not screen.commit_open_edit()
    farm.failing = False
    screen.commit_open_edit()  # tries again
    assert screen.commit_open_edit()
    assert kept(screen, farm, 0, HEIGHT) == 1.0


def test_commit_open_edit_keeps_an_open_cell_and_refuses_an_impossible_one(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("1")
    assert screen.commit_open_edit()
    assert kept(screen, farm, 0, HEIGHT) == 1.0
    hands.key(Qt.Key.Key_Down)
    hands.keys("612")
    assert not screen.commit_open_edit()


def test_a_sheet_read_again_does_not_close_an_open_cell(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("1")
    screen.show_again()
    QApplication.processEvents()
    hands.keys("0")
    hands.enter()
    assert kept(screen, farm, 0, HEIGHT) == 10.0


def test_closing_the_window_keeps_an_open_cell(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    hands.keys("1")
    screen.close()
    assert kept(screen, farm, 0, HEIGHT) == 1.0


def test_after_a_kill_the_bay_opens_where_it_stopped(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, make_screen: Callable[..., VisitScreen]
) -> None:
    hands.keys("+++")
    again = make_screen()  # a new program on the same farm; nothing was said to the old one
    assert again.work.visit_id == screen.work.visit_id
    index = again.page.grid.currentIndex()
    assert (index.row(), index.column()) == (0, 3)
    assert again.page.grid.hasFocus()
    assert again.page.readings.value(again.page.readings.index(0, FLOWERS)) == kept(screen, farm, 0, FLOWERS)


def test_the_note_is_saved_at_a_pause_and_on_leaving(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, qtbot: QtBot
) -> None:
    note = screen.page.sections.note
    note.setFocus()
    hands.keys("net torn at row 3")
    assert farm.saves == []
    screen.commit_open_edit()

    def saved() -> Visit:
        return farm.visits[screen.work.visit_id].visit

    assert saved().note == "net torn at row 3"
    hands.keys("!")
    qtbot.waitUntil(lambda: saved().note.endswith("!"), timeout=3000)


def test_off_the_screens_thread_values_typed_while_a_reading_is_under_way_stay(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds, qtbot: QtBot
) -> None:
    errors: list[BaseException] = []
    tasks = QtTasks(errors.append)
    screen = make_screen(tasks)
    tasks.changed.connect(screen.show_again)
    hands = Hands(screen)
    qtbot.waitUntil(lambda: screen.walk.walk.rowCount() > 0, timeout=3000)
    hands.enter()
    qtbot.waitUntil(screen.page.grid.hasFocus, timeout=3000)
    for row in range(3):
        screen.page.grid.setCurrentIndex(screen.page.readings.index(row, FLOWERS))
        hands.keys("4")
        hands.keys("3")
        assert look(screen, row, FLOWERS)[0] == "4"
    tasks.drain()
    QApplication.processEvents()
    tasks.drain()
    assert [kept(screen, farm, row, FLOWERS) for row in range(3)] == [4.0] * 3
    assert [look(screen, row, FLOWERS)[0] for row in range(3)] == ["4"] * 3
    assert screen.work.keeper.waiting == frozenset()
    assert farm.visits[screen.work.visit_id].visit.state is VisitState.DRAFT
    assert errors == []
    screen.close()
    tasks.stop()


def test_however_fast_the_keys_the_panel_is_read_one_at_a_time(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds, qtbot: QtBot
) -> None:
    tasks = QtTasks(lambda error: None)
    screen = make_screen(tasks)
    hands = Hands(screen)
    qtbot.waitUntil(lambda: screen.walk.walk.rowCount() > 0, timeout=3000)
    hands.enter()
    qtbot.waitUntil(screen.page.grid.hasFocus, timeout=3000)
    tasks.drain()
    before = farm.panels_read
    for _change in range(20):
        screen.work.refresh()
        screen.work._read_panel()
    tasks.drain()
    assert farm.panels_read - before <= 2
    screen.close()
    tasks.stop()
