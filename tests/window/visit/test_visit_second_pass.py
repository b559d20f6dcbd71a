"""Second pass: a sample of a bay is typed again, unseen, and compared cell by cell."""

from __future__ import annotations

import pytest
from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from visit_hands import Hands

from bayround.figures import second_pass
from bayround.window.parts.number_entry import shown
from bayround.window.visit.screen import VisitScreen
from bayround.window.visit.second_pass import SecondPassDialog


def key_in(screen: VisitScreen) -> None:
    """Fill the bay with likely numbers."""
    model = screen.page.readings
    numbers = []
    for row in range(model.rowCount()):
        for column in range(model.columnCount()):
            rule = model.in_hand.rule(row, column)
            middle = round((rule.likely_low + rule.likely_high) / 2)
            numbers.append((model.index(row, column), float(middle)))
    model.put_all(numbers)
    QApplication.processEvents()


def begin(screen: VisitScreen, hands: Hands) -> SecondPassDialog:
    key_in(screen)
    hands.key(Qt.Key.Key_F8)
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, SecondPassDialog)
    return dialog


def test_a_sample_is_typed_again_and_what_differs_is_gone_to(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    dialog = begin(screen, hands)
    assert len(dialog.asked) == second_pass.CELLS
    assert len({one.cell for one in dialog.asked}) == second_pass.CELLS
    for place, one in enumerate(dialog.asked):
        wrong = place == 7
        value = shown(one.first + 1 if wrong else one.first, one.rule.decimals)
        assert dialog.editor is not None
        assert dialog.editor.text() == ""
        hands.keys(value)
        hands.enter()
    assert dialog.place.text() == "19 of 20 cells were typed alike."
    (item,) = (dialog.differing.item(row) for row in range(dialog.differing.count()))
    assert item.text().startswith(dialog.asked[7].place)
    cell = dialog.asked[7].cell
    hands.enter()
    index = screen.page.grid.currentIndex()
    assert screen.page.readings.in_hand.cell(index.row(), index.column()) == cell


def test_cells_passed_over_do_not_count_and_impossible_numbers_stay(
    screen: VisitScreen, hands: Hands
) -> None:
    dialog = begin(screen, hands)
    high = dialog.asked[0].rule.hard_high
    hands.keys(f"{high + 1:.0f}")
    hands.enter()
    assert dialog.second == []
    assert dialog.refused.text()
    for _sign in range(8):
        hands.key(Qt.Key.Key_Backspace)
    for _cell in dialog.asked:
        hands.enter()
    assert dialog.place.text() == "Nothing was typed a second time."


def test_nothing_keyed_in_is_said(screen: VisitScreen, hands: Hands) -> None:
    hands.key(Qt.Key.Key_F8)
    assert QApplication.activeModalWidget() is None
    assert "Nothing is keyed in yet" in screen.page.message.text()


def test_the_interval_is_wilsons() -> None:
    """Wilson (1927): 19 of 20 are 95 %, interval 76.4 to 99.1 %; 20 of 20 leave 83.9 % possible (reckoned by hand)."""
    figure = second_pass.agreement(19, 20)
    assert (figure.text_with_unit, figure.n) == ("95 %", 20)
    assert (figure.low, figure.high) == (pytest.approx(76.4, abs=0.05), pytest.approx(99.1, abs=0.05))
    assert second_pass.agreement(20, 20).low == pytest.approx(83.9, abs=0.05)


def test_the_same_cells_for_the_same_visit_each_as_likely() -> None:
    cells = list(range(60))
    assert (
        second_pass.draw(cells, "a")
        == second_pass.draw(cells, "a")
        == tuple(sorted(second_pass.draw(cells, "a")))
    )
    assert second_pass.draw(cells[:5], "a") == (0, 1, 2, 3, 4)
    drawn = [cell for visit in range(600) for cell in second_pass.draw(cells, str(visit))]
    counts = [drawn.count(cell) for cell in cells]
    assert all(140 <= count <= 260 for count in counts)  # 200 each; 5 standard deviations of 11.5
