"""Somebody else typed into the same place: both values are shown and this person chooses; nothing is lost."""

from __future__ import annotations

from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication
from visit_hands import Hands

from bayround.window.visit.screen import VisitScreen

HEIGHT, TIE = range(2)


def somebody_types(screen: VisitScreen, farm: FakeRounds, row: int, column: int, value: float) -> None:
    plant, field = screen.page.readings.in_hand.cell(row, column)
    farm._set(screen.work.visit_id, plant, **{field: value})


def kept(screen: VisitScreen, farm: FakeRounds, row: int, column: int) -> float | None:
    return farm.value(screen.work.visit_id, *screen.page.readings.in_hand.cell(row, column))


def test_both_values_are_shown_with_who_and_the_other_one_can_stand(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    somebody_types(screen, farm, 0, HEIGHT, 69.0)
    hands.keys("71")
    hands.enter()
    QApplication.processEvents()
    notice = screen.page.overtaken.notice
    assert notice.isVisible()
    assert all(part in notice.text.text() for part in ("Birch", "69", "71", "Height"))
    assert kept(screen, farm, 0, HEIGHT) == 69.0
    assert screen.commit_open_edit() is False  # the bay is not left while it is undecided
    notice.answers[0].click()
    QApplication.processEvents()
    assert not notice.isVisible()
    assert kept(screen, farm, 0, HEIGHT) == 69.0
    assert screen.page.readings.in_hand.value(0, HEIGHT) == 69.0
    assert screen.commit_open_edit() is True


def test_ones_own_value_can_stand_and_goes_over_the_one_that_was_shown_only(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    somebody_types(screen, farm, 0, HEIGHT, 69.0)
    hands.keys("71")
    hands.enter()
    QApplication.processEvents()
    somebody_types(screen, farm, 0, HEIGHT, 68.0)  # and once more, while this person thinks
    notice = screen.page.overtaken.notice
    notice.answers[1].click()
    QApplication.processEvents()
    assert kept(screen, farm, 0, HEIGHT) == 68.0
    assert notice.isVisible()
    assert "68" in notice.text.text()
    notice.answers[1].click()
    QApplication.processEvents()
    assert kept(screen, farm, 0, HEIGHT) == 71.0
    assert screen.page.readings.in_hand.value(0, HEIGHT) == 71.0


def test_what_was_read_again_and_seen_is_typed_over_without_a_question(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    somebody_types(screen, farm, 0, HEIGHT, 69.0)
    screen.show_again()
    QApplication.processEvents()
    hands.keys("71")
    hands.enter()
    QApplication.processEvents()
    assert kept(screen, farm, 0, HEIGHT) == 71.0
    assert not screen.page.overtaken.notice.isVisible()


def test_what_came_while_the_cell_was_open_was_not_seen(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.keys("7")
    somebody_types(screen, farm, 0, HEIGHT, 69.0)
    screen.show_again()
    QApplication.processEvents()
    hands.keys("1")
    hands.enter()
    QApplication.processEvents()
    assert kept(screen, farm, 0, HEIGHT) == 69.0
    assert screen.page.overtaken.notice.isVisible()


def test_of_a_pasted_block_only_what_was_overtaken_is_asked_about(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    somebody_types(screen, farm, 1, HEIGHT, 69.0)
    QGuiApplication.clipboard().setText("88\t70\n89\t71\n")
    hands.ctrl(Qt.Key.Key_V)
    QApplication.processEvents()
    values = [kept(screen, farm, row, column) for row in (0, 1) for column in (HEIGHT, TIE)]
    assert values == [88.0, 70.0, 69.0, 71.0]
    assert "89" in screen.page.overtaken.notice.text.text()


def test_typing_a_cell_twice_while_the_disk_is_full_is_no_quarrel_with_oneself(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    farm.failing = True
    hands.keys("71")
    hands.enter()
    screen.page.to_cell(screen.page.readings.in_hand.cell(0, HEIGHT))
    hands.keys("72")
    hands.enter()
    farm.failing = False
    screen.work.keeper.retry()
    QApplication.processEvents()
    assert kept(screen, farm, 0, HEIGHT) == 72.0
    assert not screen.page.overtaken.notice.isVisible()
