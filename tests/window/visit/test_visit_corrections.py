"""Finished bays are put right by real keys on a real farm file; drafts lose and get back rows of the tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from visit_hands import NOW, TODAY, Hands, bays
from window_season import facts_of

import factory
from bayround.actions import corrections, rounds, stand_counts
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.actions.tasks import AtOnce
from bayround.facts.rounds import PestCheck, PlantState, Reading, Round, Visit, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Correction
from bayround.records import read_season, write_setup
from bayround.records.check import check
from bayround.window.desk import Desk
from bayround.window.visit.entry_model import Mark
from bayround.window.visit.screen import VisitScreen

FLOWERS = 2


@pytest.fixture
def farm(tmp_path: Path) -> Iterator[OpenFarm]:
    """One bay of four plants, visited four weeks, and a round of today."""
    season = factory.season(bays(1, plants=4)[0])
    today = Round(factory.key(), TODAY, season.people[0].id)
    opened = farm_actions.create(tmp_path / "farm.bayround", "Test farm")
    write_setup.add(opened.store, *facts_of(replace(season, rounds=(*season.rounds, today))))
    yield opened
    opened.close()


@pytest.fixture
def screen(farm: OpenFarm, qtbot: QtBot, looks: None) -> VisitScreen:
    """The draft of today's only bay is open."""
    person = read(farm).people[0].id
    shown = VisitScreen(Desk(farm, AtOnce(), today=lambda: TODAY, now=lambda: NOW, person_id=person))
    qtbot.addWidget(shown)
    shown.resize(1180, 650)
    with qtbot.waitActive(shown):
        shown.show()
        shown.activateWindow()
    shown.show_again()
    QApplication.processEvents()
    Hands(shown).enter()
    return shown


@pytest.fixture
def hands(screen: VisitScreen) -> Hands:
    return Hands(screen)


@pytest.fixture
def finished(screen: VisitScreen, hands: Hands, farm: OpenFarm) -> Visit:
    """The bay was keyed in as at the last visit, finished, and is open again."""
    hands.keys("+" * 7 * 4)
    visit_id = screen.work.visit_id
    rounds.save_check(farm, PestCheck(factory.key(), visit_id, screen_organism(screen), "leaf", 30, 2))
    rounds.save_weed(farm, WeedNote(factory.key(), visit_id, 10.0))
    rounds.finish(farm, visit_id, NOW)
    open_again(screen)
    return next(visit for visit in read(farm).visits if visit.id == visit_id)


def open_again(screen: VisitScreen) -> None:
    screen.work.open(screen.walk.walk.stops[0])
    screen.show_again()
    QApplication.processEvents()


def screen_organism(screen: VisitScreen) -> str:
    return screen.page.readings.in_hand.sheet.look_for[0].organism.key


def read(farm: OpenFarm) -> SeasonFacts:
    return read_season.read_season(farm.store)


def history(farm: OpenFarm) -> list[tuple[str, str, str, str, str]]:
    return [
        (entry.table_name, entry.field, entry.before, entry.after, entry.reason)
        for entry in read(farm).corrections
    ]


def entries(farm: OpenFarm) -> tuple[Correction, ...]:
    return read(farm).corrections


def reading(farm: OpenFarm, visit: Visit, screen: VisitScreen, row: int) -> Reading:
    plant = screen.page.readings.in_hand.row(row).plant.id
    return next(
        one for one in read(farm).readings if (one.visit_id, one.marked_plant_id) == (visit.id, plant)
    )


def at(screen: VisitScreen, row: int, column: int) -> None:
    screen.page.grid.setFocus()
    screen.page.grid.setCurrentIndex(screen.page.readings.index(row, column))


def test_a_cell_is_corrected_with_one_reason_for_the_bay(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    before = [reading(farm, finished, screen, row).flowers for row in (0, 1)]
    panels = len(screen.panel.lines.lines)
    at(screen, 0, FLOWERS)
    hands.keys("13")
    assert not screen.page.ask.isVisible()
    hands.enter()
    assert history(farm) == []
    hands.key(Qt.Key.Key_Down, times=2)
    assert screen.page.ask.line.text() == "digits turned round"
    hands.enter()
    assert reading(farm, finished, screen, 0).flowers == 13
    assert screen.page.grid.hasFocus()
    assert screen.page.grid.currentIndex().column() == FLOWERS + 1
    at(screen, 1, FLOWERS)
    hands.key(Qt.Key.Key_F2)
    hands.key(Qt.Key.Key_Backspace)
    hands.keys("12")
    hands.enter()
    assert not screen.page.ask.isVisible()
    assert history(farm) == [
        ("reading", "flowers", repr(before[0]), "13.0", "digits turned round"),
        ("reading", "flowers", repr(before[1]), "12.0", "digits turned round"),
    ]
    assert {entry.person_id for entry in entries(farm)} == {read(farm).people[0].id}
    assert len(screen.panel.lines.lines) == panels > 0
    assert check(farm.store) == ()


def test_the_cell_is_marked_and_says_what_it_was(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    before = reading(farm, finished, screen, 0).flowers
    at(screen, 0, FLOWERS)
    hands.keys("3")
    hands.enter()
    hands.keys("misread")
    hands.enter()
    readings, index = screen.page.readings, screen.page.readings.index(0, FLOWERS)
    assert readings.look(index).mark is Mark.CORRECTED
    assert readings.look(readings.index(1, FLOWERS)).mark is Mark.NONE
    at(screen, 0, FLOWERS)
    hands.key(Qt.Key.Key_F4)
    told = screen.page.message.text()
    assert f"was {before:.0f}, Alder, " in told
    assert told.endswith("misread")
    assert told in str(readings.data(index, Qt.ItemDataRole.ToolTipRole))
    at(screen, 1, FLOWERS)
    hands.key(Qt.Key.Key_F4)
    assert screen.page.message.text() == "This value was never corrected."


def test_ctrl_z_puts_the_earlier_value_back_as_a_correction(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    before = reading(farm, finished, screen, 0)
    at(screen, 0, FLOWERS)
    hands.keys("14")
    hands.enter()
    hands.keys("misread")
    hands.enter()
    hands.ctrl(Qt.Key.Key_Z)
    assert reading(farm, finished, screen, 0) == before
    assert [entry[3] for entry in history(farm)] == ["14.0", repr(before.flowers)]


def test_the_reason_is_forgotten_when_the_bay_is_left(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    at(screen, 0, FLOWERS)
    hands.keys("14")
    hands.enter()
    hands.keys("misread")
    hands.enter()
    open_again(screen)
    at(screen, 0, FLOWERS)
    hands.keys("15")
    hands.enter()
    assert screen.page.ask.isVisible()
    assert screen.page.ask.line.text() == ""


def test_check_weed_note_and_plant_are_corrected_and_what_was_left_out_is_added(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    screen.page.correcting.reason = "counted again"
    sections = screen.page.sections
    for table, row, column in ((sections.checks, 0, 3), (sections.weeds, 0, 0)):
        table.setFocus()
        table.setCurrentIndex(table.model().index(row, column))
        hands.keys("4")
        hands.enter()
    sections.checks.setFocus()
    sections.checks.setCurrentIndex(sections.checks.model().index(1, 2))
    hands.keys("25")
    hands.enter()
    hands.keys("1")
    hands.enter()
    at(screen, 2, 0)
    hands.keys("x")
    sections.note.setFocus()
    hands.keys("net torn")
    hands.key(Qt.Key.Key_F6)
    assert [entry[:2] for entry in history(farm)] == [
        ("pest_check", "infested"),
        ("weed_note", "cover_percent"),
        ("pest_check", "(added)"),
        ("reading", "state"),
        ("visit", "note"),
    ]
    season = read(farm)
    assert sorted((one.inspected, one.infested) for one in season.pest_checks) == [(25, 1), (30, 4)]
    assert [one.cover_percent for one in season.weed_notes] == [4.0]
    assert reading(farm, finished, screen, 2).state is PlantState.DEAD
    assert next(one.note for one in season.visits if one.id == finished.id) == "net torn"
    assert sections.models["checks"].look(sections.checks.model().index(0, 3)).mark is Mark.CORRECTED
    assert check(farm.store) == ()


def test_a_note_waits_for_its_reason_and_is_left_with_escape(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    note = screen.page.sections.note
    note.setFocus()
    hands.keys("net torn")
    hands.key(Qt.Key.Key_F6)
    assert screen.page.ask.line.hasFocus()
    hands.key(Qt.Key.Key_Escape)
    assert (note.toPlainText(), history(farm)) == ("", [])


def test_a_value_changed_elsewhere_is_told_with_both_and_shown(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    seen = reading(farm, finished, screen, 0)
    other = corrections.CellCorrection(seen.marked_plant_id, "flowers", seen.flowers, 21.0)
    corrections.correct_cells(farm, finished.id, [other], Moment(TODAY, NOW), "other desk")
    screen.page.correcting.reason = "misread"
    at(screen, 0, FLOWERS)
    hands.keys("14")
    hands.enter()
    told = screen.page.message.text()
    assert "it is now “21.0”" in told
    assert "Your value “14.0” was not saved" in told
    assert screen.page.readings.in_hand.value(0, FLOWERS) == 21.0
    assert screen.not_saved == 0


def test_delete_takes_a_row_out_of_a_draft_and_ctrl_z_brings_it_back(
    screen: VisitScreen, hands: Hands, farm: OpenFarm
) -> None:
    checks = screen.page.sections.checks
    checks.setFocus()
    checks.setCurrentIndex(checks.model().index(0, 2))
    hands.keys("30")
    hands.enter()
    hands.keys("2")
    hands.enter()
    (kept,) = read(farm).pest_checks
    checks.setCurrentIndex(checks.model().index(0, 3))
    hands.key(Qt.Key.Key_Delete)
    assert read(farm).pest_checks == ()
    assert [entry[:2] for entry in history(farm)] == [("pest_check", "(removed)")]
    assert "taken out" in screen.page.message.text()
    assert checks.model().index(0, 3).data() == ""
    assert (checks.currentIndex().row(), checks.currentIndex().column()) == (0, 3)
    hands.ctrl(Qt.Key.Key_Z)
    assert read(farm).pest_checks == (kept,)
    assert checks.model().index(0, 3).data() == "2"
    assert check(farm.store) == ()


def test_a_card_in_the_middle_goes_and_the_others_stay(
    screen: VisitScreen, hands: Hands, farm: OpenFarm
) -> None:
    cards = screen.page.sections.cards
    cards.setFocus()
    for row, count in enumerate("345"):
        cards.setCurrentIndex(cards.model().index(row, 2))
        hands.keys(count)
        hands.enter()
    cards.setCurrentIndex(cards.model().index(1, 2))
    hands.key(Qt.Key.Key_Delete)
    assert sorted(card.count for card in read(farm).card_counts) == [3, 5]
    assert [cards.model().index(row, 2).data() for row in range(3)] == ["3", "5", ""]
    assert (cards.currentIndex().row(), cards.currentIndex().column()) == (1, 2)
    cards.setCurrentIndex(cards.model().index(2, 2))
    hands.keys("6")
    hands.enter()
    assert sorted(card.count for card in read(farm).card_counts) == [3, 5, 6]
    hands.ctrl(Qt.Key.Key_Z)
    assert sorted(card.count for card in read(farm).card_counts) == [3, 4, 5, 6]


def test_delete_on_an_empty_row_and_in_a_finished_bay_takes_nothing_out(
    screen: VisitScreen, hands: Hands, farm: OpenFarm, finished: Visit
) -> None:
    weeds, cards = screen.page.sections.weeds, screen.page.sections.cards
    for table, said in ((weeds, "not taken out"), (cards, "nothing is kept here")):
        table.setFocus()
        table.setCurrentIndex(table.model().index(0, 0))
        hands.key(Qt.Key.Key_Delete)
        assert said in screen.page.message.text()
    assert [note.cover_percent for note in read(farm).weed_notes] == [10.0]
    assert history(farm) == []


def test_a_wrong_number_of_standing_plants_is_put_right_in_the_finished_bay(
    farm: OpenFarm, screen: VisitScreen, hands: Hands, finished: Visit
) -> None:
    assert not screen.page.bar.stand.isVisible(), "nothing was counted and no plant was found dead"
    planted = screen.page.readings.in_hand.sheet.planted
    stand_counts.confirm(farm, finished.id, planted - 90, Moment(TODAY, NOW))
    open_again(screen)
    screen.page.bar.stand.click()
    assert screen.page.standing.line.text() == str(planted - 90)
    hands.keys(str(planted + 1))
    hands.enter()
    assert "Type a whole number" in screen.page.standing.notice.text.text()
    screen.page.standing.line.setText(str(planted - 9))
    hands.enter()
    hands.keys("digits turned round")
    hands.enter()
    assert [one.plants for one in read(farm).stand_counts] == [planted - 9]
    (entry,) = read(farm).corrections
    assert (entry.before, entry.after) == (str(planted - 90), str(planted - 9))
    assert (entry.reason, entry.person_id) == ("digits turned round", read(farm).people[0].id)
    assert screen.page.readings.in_hand.sheet.planting.plants == planted - 9
