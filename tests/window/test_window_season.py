"""The Season screen by real keys: groups, curves, money, what if, costs and prices typed and corrected."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import cast

import openpyxl
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget
from window_hands import TODAY, Answers, alt, ctrl, fill, focused, press, type_text

from bayround.actions import money, season
from bayround.actions.farm import OpenFarm
from bayround.figures.season import GroupBy
from bayround.records import read_season
from bayround.window.main_window import MainWindow
from bayround.window.parts.explain import ExplainDialog
from bayround.window.season.screen import SeasonScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm, settled: Settled) -> SeasonScreen:
    window = make_window(farm, page="season")
    settled()
    return cast(SeasonScreen, window.pages.current)


def choose(settled: Settled, letter: Qt.Key, part: QWidget) -> None:
    """Turn to a page by Alt and its letter and walk into it with Tab."""
    alt(letter)
    settled()
    for _step in range(12):
        if focused() is part:
            return
        press(Qt.Key.Key_Tab)
    raise AssertionError(f"{part.accessibleName()} is not reached by Tab")


def test_the_table_shows_what_the_action_gives_and_f4_explains(screen: SeasonScreen, farm: OpenFarm) -> None:
    ctrl(Qt.Key.Key_0)
    assert focused() is screen.season_page.table
    lines = season.lines(season.read(farm, TODAY), GroupBy.VARIETY)
    model = screen.season_page.model
    assert [row.names[1] for row in model.rows] == [line.label for line in lines]
    shown = [model.data(model.index(row, 4)) for row in range(model.rowCount())]
    assert shown == [line.figures["season_kg_m2"].text for line in lines]
    assert lines[0].figures["season_kg_m2"].text_with_unit in screen.season_page.said.text()
    press(Qt.Key.Key_F4)
    (dialog,) = screen.findChildren(ExplainDialog)
    assert "gross area" in dialog.accessibleDescription()
    press(Qt.Key.Key_Escape)


def test_f7_sorts_by_the_column_and_keeps_the_row(screen: SeasonScreen) -> None:
    model, table = screen.season_page.model, screen.season_page.table
    name = table.chosen_key()
    press(Qt.Key.Key_F7)
    values = [row.figures[2].value or 0.0 for row in model.rows]
    assert values == sorted(values, reverse=True)
    assert len(values) > 2
    assert table.chosen_key() == name
    press(Qt.Key.Key_F7)
    assert [row.figures[2].value or 0.0 for row in model.rows] == sorted(values)


def test_years_stand_side_by_side_up_to_the_same_age(screen: SeasonScreen, settled: Settled) -> None:
    alt(Qt.Key.Key_B)
    press(Qt.Key.Key_End)
    settled()
    assert screen.by.currentData() == GroupBy.YEAR.value
    assert {row.names[1] for row in screen.season_page.model.rows} == {"2026"}
    assert "up to the same age" in screen.season_page.notes.text()


def test_curves_are_walked_with_the_arrows(screen: SeasonScreen, settled: Settled) -> None:
    page = screen.curves_page
    choose(settled, Qt.Key.Key_W, page.chart)
    before = page.said.text()
    assert before.startswith("week ")
    assert "Variety P1 red" in before
    press(Qt.Key.Key_Left)
    assert page.said.text() != before
    press(Qt.Key.Key_Down)
    press(Qt.Key.Key_F4)
    (dialog,) = screen.findChildren(ExplainDialog)
    assert "Bays" in dialog.accessibleDescription()
    press(Qt.Key.Key_Escape)


def test_money_is_what_the_action_gives(screen: SeasonScreen, farm: OpenFarm, settled: Settled) -> None:
    page = screen.money_page
    choose(settled, Qt.Key.Key_M, page.table)
    (first, *_rest) = season.money_lines(season.read(farm, TODAY), GroupBy.VARIETY)
    assert first.figures["money_margin_m2"].text_with_unit in page.said.text()
    assert page.parts.rows[-1][0][1] == first.figures["money_margin"].text
    found = money.break_even_of(first, "EUR")
    assert page.grid.rows[3][0][3] == f"{round(found.grid[2][2].margin_per_m2, 2)}"
    assert all(text in page.notes.text() for text in money.LEFT_OUT)


def test_bays_are_changed_into_another_variety(
    screen: SeasonScreen, farm: OpenFarm, settled: Settled
) -> None:
    page = screen.what_if_page
    choose(settled, Qt.Key.Key_I, page.bays)
    press(Qt.Key.Key_Space)
    page.into.setCurrentIndex(1)
    by, crop, label = page.into.currentData()
    alt(Qt.Key.Key_R)
    settled()
    assert page.report is not None, page.notice.text.text()
    book = season.read(farm, TODAY)
    expected = money.change_bays(book, page.bays.ticked, label, crop, GroupBy(by))
    assert page.report.net_change == expected.net_change
    assert expected.notes[0] in page.notes.text()


def test_a_budget_is_typed_line_by_line(screen: SeasonScreen, settled: Settled) -> None:
    """'Partial budget analysis' leaflet (studylib 15970091): -37.37 a bed, typed as in the leaflet."""
    page = screen.what_if_page
    choose(settled, Qt.Key.Key_I, page.bays)
    for part, text in (
        ("added_returns", "salad greens; 150.00"),
        ("reduced_costs", "labour; 18.25 * 10.00\ninputs; 26.66"),
        ("added_costs", "labour; 2.8 * 10.00\ninputs; 8.53"),
        ("lost_returns", "green beans; 360.00"),
    ):
        page.typed[part].setFocus()
        for line in text.split("\n"):
            type_text(line)
            press(Qt.Key.Key_Return)
    alt(Qt.Key.Key_T)
    settled()
    assert page.report is not None, page.notice.text.text()
    assert page.report.net_change.text_with_unit.startswith("-37.37")
    assert [row[0][2] for row in page.rows.rows[-2:]] == ["359.16", "396.53"]
    page.typed["added_costs"].setPlainText("labour 28")
    alt(Qt.Key.Key_T)
    settled()
    assert "no line" not in page.notice.text.text()
    assert "not a line" in page.notice.text.text()
    assert page.report is None


def test_a_change_that_was_reckoned_goes_into_the_report(
    screen: SeasonScreen, settled: Settled, tmp_path: Path
) -> None:
    page = screen.what_if_page
    choose(settled, Qt.Key.Key_I, page.bays)
    page.typed["added_returns"].setFocus()
    type_text("stall at the road; 12.34")
    alt(Qt.Key.Key_T)
    settled()
    screen.desk.questions = Answers(path=tmp_path / "season")
    alt(Qt.Key.Key_E)
    settled()
    rows = openpyxl.load_workbook(tmp_path / "season.xlsx")["What if"].iter_rows(min_row=5, values_only=True)
    assert next(row[2:4] for row in rows) == ("stall at the road", 12.34)


def test_a_price_is_typed_and_corrected_with_its_history(
    screen: SeasonScreen, farm: OpenFarm, settled: Settled
) -> None:
    page = screen.books_page
    choose(settled, Qt.Key.Key_C, page.form.kind)
    type_text("p")
    assert str(page.form.kind.currentData()) == "price"
    page.form.day.setFocus()
    fill("2026-11-20")
    page.form.amount.setFocus()
    fill("1,85")
    settled()
    made = next(
        one for one in read_season.read_season(farm.store).prices if one.valid_from == date(2026, 11, 20)
    )
    assert made.per_kg_hundredths == 185
    assert page.book is not None
    assert page.book.entries[0].entry == made
    page.table.selectRow(0)
    page.amount.setFocus()
    fill("1.95")
    type_text("the buyer's letter")
    press(Qt.Key.Key_Return)
    settled()
    assert "1.95" in page.history.text()
    assert "it was 1.85" in page.history.text()
    assert "the buyer's letter" in page.history.text()


def test_an_entry_that_is_not_kept_stays_in_sight_until_escape(
    screen: SeasonScreen, make_window: Make, settled: Settled
) -> None:
    page = screen.books_page
    choose(settled, Qt.Key.Key_C, page.form.kind)
    page.form.what.setFocus()
    type_text("Crates")
    ctrl(Qt.Key.Key_1)
    settled()
    assert screen.isVisible(), "what is typed would be lost"
    press(Qt.Key.Key_Escape)
    assert not page.is_changed
    ctrl(Qt.Key.Key_1)
    settled()
    assert not screen.isVisible()


def test_a_cost_without_words_is_refused_and_stays_typed(screen: SeasonScreen, settled: Settled) -> None:
    page = screen.books_page
    choose(settled, Qt.Key.Key_C, page.form.kind)
    page.form.amount.setFocus()
    fill("12.00")
    settled()
    assert "Say what" in page.form.notice.text.text()
    assert page.form.amount.text() == "12.00"
    page.clear()


def test_a_farm_without_crops_says_what_to_do(
    make_window: Make, empty_farm: OpenFarm, settled: Settled
) -> None:
    window = make_window(empty_farm, page="season")
    settled()
    screen = cast(SeasonScreen, window.pages.current)
    assert "Nothing is planted yet" in screen.empty.heading.text()
