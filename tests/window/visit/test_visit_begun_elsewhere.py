"""A bay stands open and blank while an import or a merge begins it: one visit, and nothing typed is lost."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from test_visit_real_file import Opened, open_screen, stop
from visit_hands import NOW, TODAY, Hands
from window_hands import settle

from bayround.actions import rounds
from bayround.facts.farm import MarkedPlant
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.rounds import PlantState, Visit
from bayround.facts.season import SeasonFacts
from bayround.records import read_season, write_visit

__all__ = ["open_screen"]
HEIGHT, TIE = range(2)


def season_of(opened: Opened) -> SeasonFacts:
    return read_season.read_season(opened[2].store)


def today_visits(opened: Opened) -> list[Visit]:
    return [visit for visit in season_of(opened).visits if visit.visited_on == TODAY]


def begin_elsewhere(opened: Opened, row: int = 1) -> Visit:
    """Begin the open bay's visit under another id with one height in it, as an import does."""
    screen, tasks, farm = opened
    sheet = screen.page.readings.in_hand.sheet
    visit = replace(sheet.visit, id=new_id())
    plant = sheet.rows[row].plant.id

    def work() -> None:
        write_visit.start_visit(farm.store, visit)
        write_visit.save_cell(farm.store, visit.id, plant, "height_cm", 91.0)

    tasks.ask(work, lambda _nothing: None)
    tasks.drain()
    return visit


@pytest.fixture
def opened(open_screen: Callable[[], Opened], qapp: QApplication) -> Opened:
    made = open_screen()
    Hands(made[0]).enter()
    settle(qapp, made[1])
    return made


def test_the_sheet_that_was_begun_elsewhere_comes_up(opened: Opened, qapp: QApplication) -> None:
    screen, tasks, _farm = opened
    visit = begin_elsewhere(opened)
    screen.show_again()
    settle(qapp, tasks)
    assert screen.work.visit_id == visit.id
    assert screen.page.readings.in_hand.value(1, HEIGHT) == 91.0
    Hands(screen).keys("87")
    Hands(screen).enter()
    settle(qapp, tasks)
    assert [one.id for one in today_visits(opened)] == [visit.id]
    stop(opened)


def test_what_is_typed_before_it_is_noticed_goes_there_too(opened: Opened, qapp: QApplication) -> None:
    screen, tasks, farm = opened
    visit = begin_elsewhere(opened)
    Hands(screen).keys("87")
    Hands(screen).enter()
    Hands(screen).keys("66")  # still in the open cell
    settle(qapp, tasks)
    settle(qapp, tasks)
    assert screen.work.visit_id == visit.id
    assert [one.id for one in today_visits(opened)] == [visit.id]
    sheet = rounds.read_sheet(farm, visit.id)
    first, second = sheet.rows[0].reading, sheet.rows[1].reading
    assert first is not None
    assert second is not None
    assert (first.height_cm, first.last_tie_cm, second.height_cm) == (87.0, 66.0, 91.0)
    stop(opened)


def test_a_blank_bay_is_not_finished(opened: Opened, qapp: QApplication) -> None:
    screen, tasks, _farm = opened
    hands = Hands(screen)
    hands.ctrl(Qt.Key.Key_Return)
    settle(qapp, tasks)
    hands.key(Qt.Key.Key_K)  # the cells that are empty are left so
    hands.enter()
    settle(qapp, tasks)
    assert "Nothing was keyed in for this bay" in screen.page.message.text()
    assert today_visits(opened) == []
    stop(opened)


def test_a_visit_that_holds_nothing_counts_nowhere(opened: Opened) -> None:
    """As an earlier version let it be finished."""
    from bayround.facts.bay_past import gather

    _screen, _tasks, farm = opened
    stops = rounds.walk(farm, rounds.rounds(farm)[0].id)
    sheet = rounds.sheet_to_open(farm, rounds.rounds(farm)[0].id, stops[0].bay.id, NOW)
    rounds.begin(farm, sheet.visit)
    with pytest.raises(Refused, match="no visit"):
        rounds.finish(farm, sheet.visit.id, NOW)
    write_visit.finish_visit(farm.store, sheet.visit.id, NOW)
    (past,) = gather(season_of(opened), TODAY)
    assert sheet.visit.id not in {record.visit.id for record in past.visits}
    stop(opened)


def test_a_note_of_any_length_is_kept_whole(opened: Opened, qapp: QApplication) -> None:
    screen, tasks, _farm = opened
    text = "a long note. " * 400
    screen.page.sections.note.setPlainText(text)
    screen.page.sections.note.keep()
    settle(qapp, tasks)
    assert [one.note for one in today_visits(opened)] == [text]
    stop(opened)


def standing(opened: Opened) -> list[MarkedPlant]:
    return [one for one in season_of(opened).marked_plants if one.ended_on is None]


def test_a_plant_replaced_by_r_is_put_back_by_ctrl_z(opened: Opened, qapp: QApplication) -> None:
    screen, tasks, farm = opened
    hands = Hands(screen)
    hands.key(Qt.Key.Key_R)
    settle(qapp, tasks)
    assert len(standing(opened)) == 7
    assert len(screen.page.readings.in_hand.sheet.rows) == 7
    hands.ctrl(Qt.Key.Key_Z)
    settle(qapp, tasks)
    assert len(standing(opened)) == 6
    rows = rounds.read_sheet(farm, screen.work.visit_id).rows
    assert len(rows) == 6
    assert screen.page.readings.in_hand.state(0) is PlantState.STANDING
    assert (rows[0].reading is None or rows[0].reading.state is PlantState.STANDING) is True
    hands.key(Qt.Key.Key_R)  # and once more: the same plant is marked again
    settle(qapp, tasks)
    assert len(standing(opened)) == 7
    assert len(season_of(opened).marked_plants) == 7
    stop(opened)
