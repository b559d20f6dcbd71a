"""The Picks screen by real keys: a day over the bays, stopped bays, corrections."""

from __future__ import annotations

from collections.abc import Callable
from datetime import time
from typing import cast

import pytest
from PySide6.QtCore import Qt
from window_hands import NOW, TODAY, alt, ctrl, fill, focused, press, type_text

import factory
from bayround.actions import picks, treatments
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickEntry, PickLine
from bayround.facts.moments import instant_of
from bayround.window.main_window import MainWindow
from bayround.window.picks.pick_model import FIRST_NUMBER
from bayround.window.picks.screen import PicksScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm) -> PicksScreen:
    return cast(PicksScreen, make_window(farm, page="picks").pages.current)


def lines(farm: OpenFarm) -> dict[str, PickLine]:
    return {line.name: line for line in picks.read_day(farm, TODAY).lines}


def row_of(screen: PicksScreen, wanted: Callable[[PickLine], bool]) -> int:
    place = next(place for place, row in enumerate(screen.model.rows) if wanted(row.line))
    screen.grid.go_to(place)
    return place


def type_number(text: str) -> None:
    """Type a number and go on, as a person at the keys does."""
    type_keys(text)
    press(Qt.Key.Key_Return)


def type_keys(text: str) -> None:
    """Type key by key: the first one opens the cell, the others go into it."""
    for sign in text:
        type_text(sign)


def test_a_day_is_keyed_in_bay_after_bay_without_the_mouse(
    screen: PicksScreen, farm: OpenFarm, settled: Settled
) -> None:
    free = [row.line.name for row in screen.model.rows if not row.line.stopped]
    place = row_of(screen, lambda line: line.name == free[0])
    for text in ("81.5", "450", "6.2", "40"):
        type_number(text)
    settled()
    assert screen.grid.currentIndex().row() == place + 1
    assert screen.grid.currentIndex().column() == FIRST_NUMBER
    kept = lines(farm)[free[0]].picked
    assert [(pick.kg, pick.fruit, pick.grade) for pick in kept] == [(81.5, 450, "first"), (6.2, 40, "second")]
    assert {pick.colour for pick in kept} == {screen.model.rows[place].line.usual_colour}
    assert screen.total.text().endswith("87.7 kg")


def test_nothing_typed_is_lost_when_the_screen_is_left(
    screen: PicksScreen, farm: OpenFarm, settled: Settled
) -> None:
    row_of(screen, lambda line: not line.stopped)
    name = screen.model.rows[screen.grid.currentIndex().row()].line.name
    type_keys("55")
    ctrl(Qt.Key.Key_1)
    settled()
    assert [pick.kg for pick in lines(farm)[name].picked] == [55.0]


def test_escape_throws_the_row_away(screen: PicksScreen, farm: OpenFarm, settled: Settled) -> None:
    place = row_of(screen, lambda line: not line.stopped)
    type_number("55")
    assert screen.model.pending(place)
    press(Qt.Key.Key_Escape)
    assert not screen.model.pending(place)
    ctrl(Qt.Key.Key_1)
    settled()
    assert not any(line.picked for line in lines(farm).values())


def test_a_bay_with_an_unknown_interval_is_stopped_and_asks_for_an_explanation(
    screen: PicksScreen, farm: OpenFarm, settled: Settled
) -> None:
    place = row_of(screen, lambda line: bool(line.stopped))
    name = screen.model.rows[place].line.name
    type_number("20")
    press(Qt.Key.Key_Down) if place + 1 < screen.model.rowCount() else ctrl(Qt.Key.Key_S)
    settled()
    assert screen.ask.isVisible()
    assert "not to be picked" in screen.ask.question.text()
    assert focused() is screen.ask.line
    press(Qt.Key.Key_Return)
    settled()
    assert lines(farm)[name].picked == ()
    type_text("thrown away")
    press(Qt.Key.Key_Return)
    settled()
    (made,) = lines(farm)[name].picked
    assert "explanation: thrown away" in made.note


@pytest.mark.parametrize(("minute", "is_kept"), [(29, False), (30, True)])
def test_one_minute_before_and_after_on_the_screen(
    make_window: Make, farm: OpenFarm, settled: Settled, minute: int, is_kept: bool
) -> None:
    free = next(line for line in lines(farm).values() if not line.stopped)
    ended = instant_of(TODAY, time(7, 30)).replace(day=TODAY.day - 1)
    treated = factory.treatment(ended, re_entry_hours=0.0, pre_harvest_days=1.0)
    treatments.record(farm, treated, [free.bay_id], Moment(TODAY, NOW))
    screen = cast(PicksScreen, make_window(farm, page="picks").pages.current)
    row_of(screen, lambda line: line.bay_id == free.bay_id)
    screen.began.setText(f"07:{minute}")
    type_number("20")
    ctrl(Qt.Key.Key_S)
    settled()
    assert bool(lines(farm)[free.name].picked) is is_kept
    assert screen.ask.isVisible() is not is_kept


def test_a_kept_number_is_changed_only_with_a_reason(
    screen: PicksScreen, farm: OpenFarm, settled: Settled
) -> None:
    place = row_of(screen, lambda line: not line.stopped)
    name = screen.model.rows[place].line.name
    type_number("81.5")
    ctrl(Qt.Key.Key_S)
    settled()
    screen.grid.go_to(place)
    type_number("18.5")
    ctrl(Qt.Key.Key_S)
    settled()
    assert screen.ask.isVisible()
    type_text("digits turned")
    press(Qt.Key.Key_Return)
    settled()
    shown = picks.read_day(farm, TODAY)
    assert [pick.kg for line in shown.lines if line.name == name for pick in line.picked] == [18.5]
    assert [entry.reason for entry in shown.history] == ["digits turned"]


def test_an_unlikely_fruit_weight_is_asked_about_once(
    screen: PicksScreen, farm: OpenFarm, settled: Settled
) -> None:
    place = row_of(screen, lambda line: not line.stopped)
    name = screen.model.rows[place].line.name
    type_number("80")
    type_number("4")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "Is it right?" in screen.notice.text.text()
    assert lines(farm)[name].picked == ()
    alt(Qt.Key.Key_Y)
    settled()
    assert [pick.fruit for pick in lines(farm)[name].picked] == [4]


def test_a_pick_without_a_grade_has_a_heading_and_a_name(make_window: Make, farm: OpenFarm) -> None:
    bay_id = next(line.bay_id for line in picks.read_day(farm, TODAY).lines if not line.stopped)
    picks.record(farm, TODAY, bay_id, [PickEntry(9.0, None, "")], Moment(TODAY, NOW))
    model, across = (
        cast(PicksScreen, make_window(farm, page="picks").pages.current).model,
        Qt.Orientation.Horizontal,
    )
    headings = [str(model.headerData(column, across)) for column in range(model.columnCount())]
    assert "No grade\nkg" in headings
    assert "no grade" in model.rule(0, headings.index("No grade\nkg")).label


def test_letters_do_not_get_in_and_too_large_a_number_stays(screen: PicksScreen, settled: Settled) -> None:
    place = row_of(screen, lambda line: not line.stopped)
    type_keys("ab12c")
    press(Qt.Key.Key_Return)
    assert screen.model.rows[place].typed == {FIRST_NUMBER: "12"}


def test_another_day_and_a_second_colour(screen: PicksScreen, farm: OpenFarm, settled: Settled) -> None:
    row_of(screen, lambda line: not line.stopped)
    rows = screen.model.rowCount()
    ctrl(Qt.Key.Key_R)
    screen.colour.setEditText("striped")
    screen.add_colour.click()
    settled()
    assert screen.model.rowCount() == rows + 1
    type_number("7")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "striped" in {pick.colour for line in lines(farm).values() for pick in line.picked}
    ctrl(Qt.Key.Key_D)
    fill("2026-11-20")
    settled()
    assert screen.shown is not None
    assert screen.shown.day.isoformat() == "2026-11-20"
    assert sum(bool(line.picked) for line in screen.shown.lines) > 1


def test_the_basis_of_the_area_is_stated(screen: PicksScreen) -> None:
    headings = [
        str(screen.model.headerData(place, Qt.Orientation.Horizontal))
        for place in range(screen.model.columnCount())
    ]
    assert "To date\nkg/m² gross" in headings
