"""Keying a bay in with real keys: moving, wrong keys, refusals, the short ways, undo, paste."""

from __future__ import annotations

from fake_rounds import FakeRounds
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from visit_hands import Hands

from bayround.facts.rounds import PlantState
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.visit.screen import VisitScreen

HEIGHT, TIE, FLOWERS, SET = range(4)


def at(screen: VisitScreen) -> tuple[int, int]:
    index = screen.page.grid.currentIndex()
    return index.row(), index.column()


def go(screen: VisitScreen, row: int, column: int) -> None:
    screen.page.grid.setCurrentIndex(screen.page.readings.index(row, column))


def kept(screen: VisitScreen, farm: FakeRounds, row: int, column: int) -> float | None:
    hand = screen.page.readings.in_hand
    return farm.value(screen.work.visit_id, *hand.cell(row, column))


def open_text(screen: VisitScreen) -> str | None:
    editor = screen.page.grid.indexWidget(screen.page.grid.currentIndex())
    return editor.text() if isinstance(editor, NumberEditor) else None


def last(screen: VisitScreen, row: int, column: int) -> float:
    value = screen.page.readings.in_hand.last(row, column)
    assert value is not None
    return value


def test_digits_open_the_cell_and_enter_keeps_and_walks_on(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("71")  # below last week's height: waits for Enter
    assert open_text(screen) == "71"
    hands.enter()
    assert (at(screen), kept(screen, farm, 0, HEIGHT)) == ((0, TIE), 71.0)


def test_keys_that_reach_the_grid_behind_an_open_cell_are_not_lost(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    QTest.keyClicks(screen.page.grid, "71")
    hands.enter()
    assert kept(screen, farm, 0, HEIGHT) == 71.0


def test_a_likely_number_that_cannot_go_on_moves_on_by_itself(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys(str(int(last(screen, 0, HEIGHT)) + 5))
    assert (at(screen), kept(screen, farm, 0, HEIGHT)) == ((0, TIE), last(screen, 0, HEIGHT) + 5)
    go(screen, 0, FLOWERS)
    hands.keys("0")
    hands.keys("4")
    assert at(screen) == (0, SET + 1)
    assert (kept(screen, farm, 0, FLOWERS), kept(screen, farm, 0, SET)) == (0.0, 4.0)


def test_an_enter_after_a_number_that_moved_on_is_not_one_too_many(screen: VisitScreen, hands: Hands) -> None:
    go(screen, 0, FLOWERS)
    hands.keys("4")
    hands.enter()
    assert at(screen) == (0, SET)
    hands.enter()
    assert at(screen) == (0, SET + 1)


def test_without_moving_on_by_itself_every_number_waits_for_enter(screen: VisitScreen, hands: Hands) -> None:
    hands.ctrl(Qt.Key.Key_M)
    go(screen, 0, FLOWERS)
    hands.keys("4")
    assert (at(screen), open_text(screen)) == ((0, FLOWERS), "4")
    hands.keys("5")
    assert open_text(screen) == "45"


def test_wrong_keys_cannot_get_in(screen: VisitScreen, hands: Hands) -> None:
    for wrong in ("a", "ß", ".", ",", "/", " ", "e", "=", "#"):
        go(screen, 0, HEIGHT)
        hands.keys(wrong)
        assert open_text(screen) is None, wrong
        hands.keys("1" + wrong)
        assert open_text(screen) == "1", wrong
        hands.key(Qt.Key.Key_Escape)


def test_a_pasted_text_cannot_get_into_an_open_cell_either(screen: VisitScreen, hands: Hands) -> None:
    hands.keys("1")
    QGuiApplication.clipboard().setText("2a")
    hands.ctrl(Qt.Key.Key_V)
    assert open_text(screen) == "1"
    QGuiApplication.clipboard().setText("5\t6")  # no block into the grid behind it either
    hands.ctrl(Qt.Key.Key_V)
    assert open_text(screen) == "1"
    assert screen.page.readings.value(screen.page.readings.index(0, TIE)) is None


def test_an_impossible_number_keeps_the_cell_open_and_says_why(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("612")
    hands.enter()
    assert (at(screen), open_text(screen)) == ((0, HEIGHT), "612")
    assert screen.page.message.text() == "Height of plant 1: 612 cm can't be right, 500 cm is the most."
    assert kept(screen, farm, 0, HEIGHT) is None
    editor = screen.page.grid.indexWidget(screen.page.grid.currentIndex())
    assert editor.property("wrong") is True  # the style sheet draws its border
    hands.key(Qt.Key.Key_Down)
    hands.key(Qt.Key.Key_Tab)
    assert (at(screen), open_text(screen)) == ((0, HEIGHT), "612")
    hands.key(Qt.Key.Key_Backspace)
    hands.enter()
    assert kept(screen, farm, 0, HEIGHT) == 61.0


def test_clicking_elsewhere_does_not_lose_a_refused_number(
    screen: VisitScreen, hands: Hands, qtbot: QtBot
) -> None:
    hands.keys("612")
    grid = screen.page.grid
    spot = grid.visualRect(screen.page.readings.index(4, FLOWERS)).center()
    qtbot.mouseClick(grid.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert (at(screen), open_text(screen)) == ((0, HEIGHT), "612")
    checks = screen.page.sections.checks
    qtbot.mouseClick(checks.viewport(), Qt.MouseButton.LeftButton, pos=checks.viewport().rect().center())
    assert open_text(screen) == "612"
    assert not screen.commit_open_edit()
    grid.setFocus()  # back to the grid: keys go on in the cell that stands open
    hands.key(Qt.Key.Key_Backspace)
    assert open_text(screen) == "61"


def test_clicking_elsewhere_keeps_a_number(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, qtbot: QtBot
) -> None:
    hands.keys("1")
    checks = screen.page.sections.checks
    qtbot.mouseClick(checks.viewport(), Qt.MouseButton.LeftButton, pos=checks.viewport().rect().center())
    assert kept(screen, farm, 0, HEIGHT) == 1.0


def test_tab_and_shift_tab_and_arrows(screen: VisitScreen, hands: Hands) -> None:
    hands.key(Qt.Key.Key_Tab)
    hands.key(Qt.Key.Key_Tab)
    assert at(screen) == (0, FLOWERS)
    hands.key(Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    assert at(screen) == (0, TIE)
    hands.key(Qt.Key.Key_Down)
    hands.key(Qt.Key.Key_Right)
    assert at(screen) == (1, FLOWERS)
    go(screen, 0, 6)
    hands.enter()
    assert at(screen) == (1, HEIGHT)


def test_arrows_keep_an_open_number_and_move(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    hands.keys("1")
    hands.key(Qt.Key.Key_Down)
    assert (at(screen), kept(screen, farm, 0, HEIGHT)) == ((1, HEIGHT), 1.0)


def test_backspace_on_an_empty_cell_goes_back_to_a_longer_number(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    go(screen, 0, FLOWERS)
    hands.keys("4")
    hands.key(Qt.Key.Key_Backspace)
    assert (at(screen), open_text(screen)) == ((0, FLOWERS), "4")
    hands.keys("1")  # 41 flowers: unlikely, yet it can be typed
    assert open_text(screen) == "41"
    hands.enter()
    assert kept(screen, farm, 0, FLOWERS) == 41.0


def test_f2_takes_a_longer_number_without_moving_on(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    go(screen, 0, FLOWERS)
    hands.key(Qt.Key.Key_F2)
    hands.keys("44")
    assert open_text(screen) == "44"
    hands.enter()
    assert kept(screen, farm, 0, FLOWERS) == 44.0


def test_escape_leaves_the_cell_as_it_was(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    hands.keys("1")
    hands.key(Qt.Key.Key_Escape)
    assert (open_text(screen), kept(screen, farm, 0, HEIGHT)) == (None, None)


def test_plus_takes_last_visits_value_and_star_the_one_above(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("+")
    assert kept(screen, farm, 0, HEIGHT) == last(screen, 0, HEIGHT)
    assert at(screen) == (0, TIE)
    go(screen, 1, HEIGHT)
    hands.keys("*")
    assert kept(screen, farm, 1, HEIGHT) == last(screen, 0, HEIGHT)
    go(screen, 0, TIE)
    hands.keys("*")
    assert screen.page.message.text() == "There is no value above to take over."


def test_minus_means_no_value_and_goes_on(screen: VisitScreen, hands: Hands) -> None:
    hands.keys("-")
    assert at(screen) == (0, TIE)
    assert screen.page.readings.look(screen.page.readings.index(0, HEIGHT)).text == "–"


def test_s_and_x_mark_a_plant_and_take_it_back(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    plant = screen.page.readings.in_hand.row(0).plant.id
    hands.keys("s")
    assert farm.visits[screen.work.visit_id].readings[plant].state is PlantState.SKIPPED
    hands.keys("7")
    assert kept(screen, farm, 0, HEIGHT) is None
    assert screen.page.message.text() == "This plant is marked as skipped; S again takes that back."
    hands.keys("S")
    assert farm.visits[screen.work.visit_id].readings[plant].state is PlantState.STANDING
    hands.keys("x")
    assert farm.visits[screen.work.visit_id].readings[plant].state is PlantState.DEAD
    hands.enter()
    assert at(screen) == (1, HEIGHT)


def test_ctrl_z_puts_the_earlier_value_back_and_saves_it(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    go(screen, 0, FLOWERS)
    hands.keys("4")
    go(screen, 0, FLOWERS)
    hands.keys("6")
    assert kept(screen, farm, 0, FLOWERS) == 6.0
    hands.ctrl(Qt.Key.Key_Z)
    assert (kept(screen, farm, 0, FLOWERS), at(screen)) == (4.0, (0, FLOWERS))
    hands.ctrl(Qt.Key.Key_Z)
    assert kept(screen, farm, 0, FLOWERS) is None
    hands.ctrl(Qt.Key.Key_Z)
    assert screen.page.message.text() == "There is nothing to take back."


def test_ctrl_z_takes_a_dead_plant_back(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    hands.keys("x")
    hands.ctrl(Qt.Key.Key_Z)
    assert screen.page.readings.in_hand.state(0) is PlantState.STANDING


def test_a_good_block_is_pasted_in_one_transaction_and_undone_in_one_step(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    QGuiApplication.clipboard().setText("88\t70\t\t3\n89\t71\t4\t2\n")
    hands.ctrl(Qt.Key.Key_V)
    assert [what for what, _given in farm.saves] == ["save_cells"]
    assert [kept(screen, farm, 1, column) for column in range(4)] == [89.0, 71.0, 4.0, 2.0]
    assert kept(screen, farm, 0, FLOWERS) is None
    hands.ctrl(Qt.Key.Key_Z)
    assert kept(screen, farm, 1, TIE) is None


def test_a_bad_block_changes_nothing_and_names_its_first_bad_cell(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    QGuiApplication.clipboard().setText("88\t70\n89\tabc\n900\t71\n")
    hands.ctrl(Qt.Key.Key_V)
    assert farm.saves == []
    assert (
        screen.page.message.text() == "Nothing was pasted. Last tie of plant 2: “abc” is not a whole number."
    )


def test_a_key_held_down_does_not_run_through_the_cells(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    go(screen, 0, FLOWERS)
    hold("4")
    assert (at(screen), farm.saves) == ((0, FLOWERS), [])
    go(screen, 0, HEIGHT)
    hands.keys("1")
    hold("1")
    assert open_text(screen) == "1"


def hold(mark: str) -> None:
    """Keep a key down: the keyboard repeats it by itself."""
    for _repeat in range(5):
        held = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_1, Qt.KeyboardModifier.NoModifier, mark, True)
        QApplication.sendEvent(QApplication.focusWidget(), held)


def test_ctrl_c_copies_cells_for_a_spreadsheet(screen: VisitScreen, hands: Hands) -> None:
    QGuiApplication.clipboard().setText("88\t70\n89\t71\n")
    hands.ctrl(Qt.Key.Key_V)
    go(screen, 0, HEIGHT)
    hands.key(Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    hands.key(Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    hands.ctrl(Qt.Key.Key_C)
    assert QGuiApplication.clipboard().text() == "88\t70\n89\t71"
