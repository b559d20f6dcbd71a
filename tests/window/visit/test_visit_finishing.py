"""The end of a bay: doubtful values are looked at once, then the visit is finished and the next bay opens."""

from __future__ import annotations

import pytest
from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication
from visit_hands import Hands

from bayround.facts.rounds import VisitState
from bayround.window.visit.entry_model import Mark
from bayround.window.visit.screen import VisitScreen

HEIGHT = 0


def likely_block(screen: VisitScreen) -> list[list[str]]:
    """Return numbers that raise no doubt: a week's growth, the rest as last time."""
    hand = screen.page.readings.in_hand
    rows = []
    for row in range(len(hand.sheet.rows)):
        cells = [hand.last(row, column) or 0.0 for column in range(len(hand.sheet.fields))]
        cells[HEIGHT] += 7
        rows.append([str(int(value)) for value in cells])
    return rows


def paste(screen: VisitScreen, hands: Hands, block: list[list[str]]) -> None:
    screen.page.grid.setCurrentIndex(screen.page.readings.index(0, 0))
    QGuiApplication.clipboard().setText("\n".join("\t".join(row) for row in block))
    hands.ctrl(Qt.Key.Key_V)


@pytest.fixture
def doubtful(screen: VisitScreen, hands: Hands) -> str:
    """A whole bay with one height that jumped; returns the visit's id."""
    block = likely_block(screen)
    block[2][HEIGHT] = str(int(block[2][HEIGHT]) + 60)
    paste(screen, hands, block)
    return screen.work.visit_id


def state(farm: FakeRounds, visit_id: str) -> VisitState:
    return farm.visits[visit_id].visit.state


def test_a_clean_bay_is_finished_at_once_and_the_next_one_opens(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first = screen.work.visit_id
    paste(screen, hands, likely_block(screen))
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, first) is VisitState.DONE
    assert screen.page.bar.name.text() == "Net house 1 · Bay 2"
    assert [line.word for line in screen.walk.walk.lines if line.stop] == ["done", "begun", "to do"]
    assert screen.round_bar.progress.text() == "1 of 3 bays done"


def test_a_doubtful_value_is_marked_quietly_and_does_not_stop_the_keying(
    screen: VisitScreen, hands: Hands
) -> None:
    hands.keys("160")
    hands.enter()
    QApplication.processEvents()
    index = screen.page.readings.index(0, HEIGHT)
    assert screen.page.readings.look(index).mark is Mark.DOUBTFUL
    assert screen.page.grid.currentIndex().column() == 1


def test_a_doubtful_bay_shows_its_review_first(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, doubtful: str
) -> None:
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, doubtful) is VisitState.DRAFT
    assert screen.page.reviewing
    (item,) = screen.page.review.items.items
    assert item.text.startswith("Plant 3 · ")
    assert "rose more than a plant can" in item.text or "was" in item.text


def test_k_lets_a_value_stand_and_then_enter_finishes(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, doubtful: str
) -> None:
    hands.ctrl(Qt.Key.Key_Return)
    hands.keys("k")
    assert state(farm, doubtful) is VisitState.DRAFT
    answers = farm.visits[doubtful].answers
    assert [(answer.field, answer.value) for answer in answers] == [("height_cm", answers[0].value)]
    hands.enter()
    assert state(farm, doubtful) is VisitState.DONE


def test_the_review_names_the_keys_that_work(screen: VisitScreen, hands: Hands, doubtful: str) -> None:
    hands.ctrl(Qt.Key.Key_Return)
    assert "K  it is right" in screen.page.review.keys.text()
    hands.keys("k")
    assert screen.page.review.keys.text() == "Enter  finish      Esc  back to the sheet"


def test_what_was_said_of_a_bay_goes_with_it(screen: VisitScreen, hands: Hands) -> None:
    paste(screen, hands, likely_block(screen))
    screen.page.sections.checks.setFocus()
    hands.keys("n")
    assert "none found" in screen.page.message.text()
    hands.ctrl(Qt.Key.Key_Return)
    assert screen.page.bar.name.text() == "Net house 1 · Bay 2"
    assert "none found" not in screen.page.message.text()


def test_an_answer_is_remembered_and_not_asked_for_again(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, doubtful: str
) -> None:
    hands.ctrl(Qt.Key.Key_Return)
    hands.keys("k")
    hands.key(Qt.Key.Key_Escape)
    QApplication.processEvents()
    assert screen.page.readings.look(screen.page.readings.index(2, HEIGHT)).mark is Mark.LET_STAND
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, doubtful) is VisitState.DONE


def test_e_goes_to_the_cell_and_a_better_number_ends_the_doubt(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, doubtful: str
) -> None:
    hands.ctrl(Qt.Key.Key_Return)
    hands.keys("e")
    index = screen.page.grid.currentIndex()
    assert (index.row(), index.column(), screen.page.grid.hasFocus()) == (2, HEIGHT, True)
    last = screen.page.readings.in_hand.last(2, HEIGHT)
    assert last is not None
    hands.keys(str(int(last) + 7))
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, doubtful) is VisitState.DONE


def test_empty_cells_are_asked_about_once_and_k_leaves_them_empty(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first, block = screen.work.visit_id, likely_block(screen)
    block[4][3] = block[5][3] = ""
    paste(screen, hands, block)
    hands.ctrl(Qt.Key.Key_Return)
    assert [item.text for item in screen.page.review.items.items] == [
        "2 cells are still empty; K leaves them so."
    ]
    hands.enter()
    index = screen.page.grid.currentIndex()
    assert (index.row(), index.column()) == (4, 3)
    hands.ctrl(Qt.Key.Key_Return)
    hands.keys("k")
    hands.enter()
    assert state(farm, first) is VisitState.DONE


def test_cells_passed_over_with_minus_and_dead_plants_are_not_asked_about(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first, block = screen.work.visit_id, likely_block(screen)
    block[4][3] = ""
    block[5] = [""] * len(block[5])
    paste(screen, hands, block)
    screen.page.grid.setCurrentIndex(screen.page.readings.index(4, 3))
    hands.keys("-")
    screen.page.grid.setCurrentIndex(screen.page.readings.index(5, 0))
    hands.keys("x")
    hands.ctrl(Qt.Key.Key_Return)
    assert not [item for item in screen.page.review.items.items if item.stand is None]
    hands.keys("k")
    hands.enter()
    assert state(farm, first) is VisitState.DONE


@pytest.fixture
def one_dead(screen: VisitScreen, hands: Hands) -> str:
    """A whole bay with one plant found dead; returns the visit's id."""
    paste(screen, hands, likely_block(screen))
    screen.page.grid.setCurrentIndex(screen.page.readings.index(5, 0))
    hands.keys("x")
    hands.ctrl(Qt.Key.Key_Return)
    return screen.work.visit_id


def stands(farm: FakeRounds, visit_id: str) -> list[int]:
    return [count.plants for count in farm.pasts[farm.visits[visit_id].visit.bay_id].stand_counts]


def test_k_confirms_that_all_plants_stand_although_one_was_found_dead(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, one_dead: str
) -> None:
    (item,) = screen.page.review.items.items
    planted = screen.page.readings.in_hand.sheet.planting.plants
    assert item.text.startswith(f"1 marked plant was found dead; figures take {planted} plants as standing.")
    hands.keys("k")
    assert stands(farm, one_dead) == [planted]
    hands.enter()
    assert state(farm, one_dead) is VisitState.DONE


def test_e_takes_another_number_of_standing_plants_and_only_a_possible_one(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, one_dead: str
) -> None:
    planted = screen.page.readings.in_hand.sheet.planting.plants
    hands.keys("e")
    for wrong in (str(planted + 1), "0", "many"):
        screen.page.review.ask.line.setText(wrong)
        hands.enter()
        assert "Type a whole number" in screen.page.review.ask.notice.text.text()
        assert stands(farm, one_dead) == []
    screen.page.review.ask.line.setText(str(planted - 12))
    hands.enter()
    assert stands(farm, one_dead) == [planted - 12]
    assert screen.page.review.list.hasFocus()
    hands.enter()
    assert state(farm, one_dead) is VisitState.DONE


def test_escape_leaves_the_number_of_standing_plants_open(
    screen: VisitScreen, hands: Hands, farm: FakeRounds, one_dead: str
) -> None:
    hands.keys("e")
    hands.key(Qt.Key.Key_Escape)
    assert screen.page.review.list.hasFocus()
    assert len(screen.page.review.items.items) == 1
    assert (stands(farm, one_dead), state(farm, one_dead)) == ([], VisitState.DRAFT)


def test_a_half_typed_check_is_asked_about(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    first = screen.work.visit_id
    paste(screen, hands, likely_block(screen))
    hands.key(Qt.Key.Key_F6)
    hands.keys("30")
    hands.enter()
    hands.ctrl(Qt.Key.Key_Return)
    assert [item.text for item in screen.page.review.items.items] == ["Thrips is half typed; K drops it."]
    hands.enter()
    hands.keys("2")
    hands.enter()
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, first) is VisitState.DONE
    assert [(check.inspected, check.infested) for check in farm.visits[first].checks] == [(30, 2)]


def test_a_bay_is_not_finished_while_something_is_not_saved(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first = screen.work.visit_id
    paste(screen, hands, likely_block(screen))
    farm.failing = True
    hands.keys("+")
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, first) is VisitState.DRAFT
    assert "can't be finished yet" in screen.page.message.text()
    farm.failing = False
    hands.ctrl(Qt.Key.Key_Return)
    assert screen.not_saved == 0


def test_an_open_impossible_number_stops_the_finish(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first = screen.work.visit_id
    paste(screen, hands, likely_block(screen))
    hands.keys("612")
    hands.ctrl(Qt.Key.Key_Return)
    assert state(farm, first) is VisitState.DRAFT


def test_after_the_last_bay_the_round_is_done(screen: VisitScreen, hands: Hands, farm: FakeRounds) -> None:
    for _bay in range(3):
        paste(screen, hands, likely_block(screen))
        hands.ctrl(Qt.Key.Key_Return)
    assert screen.empty.heading.text() == "Every bay of this round is done."
    assert screen.round_bar.progress.text() == "3 of 3 bays done"


def test_a_finished_bay_takes_nothing_without_a_reason(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    first = screen.work.visit_id
    paste(screen, hands, likely_block(screen))
    hands.ctrl(Qt.Key.Key_Return)
    hands.ctrl(Qt.Key.Key_PageUp)
    assert screen.work.visit_id == first
    saves = len(farm.saves)
    before = screen.page.readings.in_hand.value(0, 0)
    hands.keys("9")
    hands.enter()
    assert screen.page.ask.line.hasFocus()
    hands.enter()
    assert not screen.commit_open_edit()
    hands.ctrl(Qt.Key.Key_PageDown)
    assert screen.work.visit_id == first
    hands.key(Qt.Key.Key_Escape)
    assert len(farm.saves) == saves
    assert screen.page.readings.in_hand.value(0, 0) == before
    assert screen.page.grid.hasFocus()
    assert screen.page.message.text() == "Left as it was."
