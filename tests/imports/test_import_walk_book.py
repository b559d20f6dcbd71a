"""The round trip: a walk workbook is written, filled as a person would, brought in, and compared cell by cell."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from imports_farm import OTHER, SCOUT, TODAY, numbers

from bayround.actions import farm as farm_actions
from bayround.actions import rounds, walk_book
from bayround.actions.imports import coming_back
from bayround.actions.imports.preview import Need, State
from bayround.facts.problems import Overtaken, Problem
from bayround.facts.rounds import PlantState, VisitState, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.paper.walk_book import places
from bayround.records import read_season, write_setup

DAY = date(2026, 11, 24)


@pytest.fixture(scope="module")
def blank(farm_once, tmp_path_factory) -> Path:
    """The walk workbook of the week, as the program writes it."""
    path = tmp_path_factory.mktemp("walk") / "walk.xlsx"
    farm = farm_actions.open_farm(farm_once, read_only=True)
    assert walk_book.write(farm, path, Week.of(DAY), TODAY) == 4
    farm.close()
    return path


@pytest.fixture(scope="module")
def filled(blank, tmp_path_factory) -> Path:
    """That workbook as it comes back; tests that change it copy it."""
    return fill(blank, tmp_path_factory.mktemp("filled") / "filled.xlsx")


def places_in(book: openpyxl.Workbook) -> places.BookPlaces:
    return places.parse([row[0].value for row in book[places.IDS_SHEET].iter_rows()])


def fill(blank: Path, path: Path, scout: str = SCOUT, day: object = DAY) -> Path:
    """Fill the workbook in as a person would: gaps, decimal commas, a word in a number cell, a dead plant."""
    book = openpyxl.load_workbook(blank)
    walk = book[places.WALK_SHEET]
    walk[places.DATE_CELL], walk[places.SCOUT_CELL] = day, scout
    for number, bay in enumerate(places_in(book).bays, 1):
        sheet = book[bay.sheet]
        for plant in bay.plants:
            for place, key in enumerate(bay.fields):
                value = numbers(number, plant.number, 2)[key]
                sheet.cell(plant.row, places.FIRST_FIELD_COLUMN + place, value)
        if number == 1:
            _oddities(sheet, bay)
        if number == 4:  # nobody got there
            for row in (plant.row for plant in bay.plants):
                for place in range(len(bay.fields)):
                    sheet.cell(row, places.FIRST_FIELD_COLUMN + place).value = None
    book.save(path)
    return path


def _oddities(sheet, bay) -> None:
    rows = [plant.row for plant in bay.plants]
    first = places.FIRST_FIELD_COLUMN
    sheet.cell(rows[0], first, "102,5")  # a decimal comma, typed as text
    sheet.cell(rows[1], first, "98.5 cm")
    sheet.cell(rows[1], first + 3).value = None  # a gap
    sheet.cell(rows[2], first + 2, "many")  # a word in a number cell
    sheet.cell(rows[2], bay.note_column, "=1+1 curled leaves").data_type = "s"
    sheet.cell(rows[3], bay.note_column, "=1+1")  # a formula that no program has worked out
    sheet.cell(rows[3], first, 9990)  # can't be
    sheet.cell(rows[4], places.STATE_COLUMN, "dead")
    for place in range(len(bay.fields)):
        sheet.cell(rows[4], first + place).value = None
    pest = bay.pests[0].row
    for column, value in (
        (places.LOOKED_AT, 20),
        (places.INFESTED, "3"),
        (places.SEVERITY, "HB 4"),
        (places.WHERE, "row 4"),
    ):
        sheet.cell(pest, column, value)
    sheet.cell(bay.pests[1].row, places.LOOKED_AT, 20)  # infested left empty
    for place, value in enumerate((12, "yes", "goosefoot", "door", "vents open")):
        sheet.cell(bay.weed_row + place, places.ANSWER, value)
    for column, value in zip(
        range(places.CARD, places.CARD_DAYS + 1), ("C1", "Thrips", 14, "7,0"), strict=True
    ):
        sheet.cell(bay.card_row + 1, column, value)


def drafts(season: SeasonFacts) -> dict[str, str]:
    """Return bay → visit of the round that was brought in."""
    return {one.bay_id: one.id for one in season.visits if one.visited_on == DAY}


def order_of(season: SeasonFacts) -> dict[str, int]:
    """Return bay → its number in the walk."""
    return {one.bay_id: int(one.variety[-1]) for one in season.plantings}


def test_the_round_trip(desk, filled, bring):
    path = Path(shutil.copy(filled, desk.folder / "filled.xlsx"))
    preview = bring(path)
    season = read_season.read_season(desk.farm.store)
    visits = drafts(season)
    assert len(visits) == 3  # one bay was left empty
    assert {one.state for one in season.visits if one.id in visits.values()} == {VisitState.DRAFT}
    assert {one.scout_id for one in season.rounds if one.held_on == DAY} == {desk.person(SCOUT).id}
    plants = {plant.id: plant.number for plant in season.marked_plants}
    order, cells = order_of(season), 0
    for reading in season.readings:
        bay = next((bay for bay, visit in visits.items() if visit == reading.visit_id), None)
        if bay is None or order[bay] == 1:
            continue
        expected = numbers(order[bay], plants[reading.marked_plant_id], 2)
        assert {key: reading.value(key) for key in expected} == expected
        cells += len(expected)
    assert cells == 2 * 5 * 7
    first = next(bay for bay, number in order.items() if number == 1)
    _compare_oddities(season, visits[first], plants)
    assert [item.why.split(":")[0] for item in preview.items if item.state is State.REFUSED] == [
        "a formula without its result",
        "can't be right",
        "both have to stand there",
    ]
    assert any("words where a number belongs" in item.why for item in preview.items)


def _compare_oddities(season: SeasonFacts, visit: str, plants: dict[str, int]) -> None:
    by_plant = {plants[one.marked_plant_id]: one for one in season.readings if one.visit_id == visit}
    assert (by_plant[1].height_cm, by_plant[2].height_cm) == (102.5, 98.5)
    assert by_plant[2].fruit_set is None
    assert by_plant[3].flowers is None
    assert by_plant[3].note == "=1+1 curled leaves · Flowers: many"
    assert by_plant[4].height_cm is None
    assert by_plant[4].last_tie_cm == numbers(1, 4, 2)["last_tie_cm"]
    assert by_plant[5].state is PlantState.DEAD
    seen = [one for one in season.pest_checks if one.visit_id == visit]
    assert [(one.inspected, one.infested, one.severity_percent, one.where) for one in seen] == [
        (20, 3, 9.0, "row 4 · severity graded HB 4")  # Horsfall & Barratt 1945: grade 4 is 6 to 12 %
    ]
    weeds = [one for one in season.weed_notes if one.visit_id == visit]
    assert [(one.cover_percent, one.seeding, one.species, one.where) for one in weeds] == [
        (12.0, True, "goosefoot", "door")
    ]
    cards = [one for one in season.card_counts if one.visit_id == visit]
    assert [(one.card, one.organism, one.count, one.days_hung) for one in cards] == [
        ("C1", "thrips", 14, 7.0)
    ]
    assert next(one.note for one in season.visits if one.id == visit) == "vents open"


def test_the_same_file_twice_doubles_nothing(desk, filled, bring, look):
    path = Path(shutil.copy(filled, desk.folder / "filled.xlsx"))
    bring(path)
    before = read_season.read_season(desk.farm.store)
    again = look(path)
    assert again.earlier is not None
    assert not again.anything
    assert (again.added, again.changes) == ((), ())
    assert again.count(State.NEW) == again.count(State.CHANGED) == 0
    with pytest.raises(Problem, match="nothing to bring in"):
        coming_back.bring_in(desk.farm, again, desk.moment)
    assert read_season.read_season(desk.farm.store) == before


def test_two_cards_without_a_name_stay_two(desk, filled, bring, look):
    book = openpyxl.load_workbook(filled)
    bay = places_in(book).bays[1]
    for row, count in ((1, 14), (2, 9)):
        for column, value in zip(
            range(places.CARD, places.CARD_DAYS + 1), (None, "Thrips", count, 7), strict=True
        ):
            book[bay.sheet].cell(bay.card_row + row, column, value)
    book.save(desk.folder / "cards.xlsx")
    bring(desk.folder / "cards.xlsx")
    assert not look(desk.folder / "cards.xlsx").anything, "the second one is not written over the first one"


def test_a_look_changes_nothing(desk, filled, look):
    before = desk.farm.path.read_bytes()
    assert look(filled).anything
    assert desk.farm.path.read_bytes() == before


def test_a_value_put_right_in_the_file_changes_only_that(desk, filled, bring):
    path = Path(shutil.copy(filled, desk.folder / "filled.xlsx"))
    bring(path)
    book = openpyxl.load_workbook(path)
    bay = places_in(book).bays[1]
    book[bay.sheet].cell(bay.plants[0].row, places.FIRST_FIELD_COLUMN, 104.5)
    book.save(path)
    preview = bring(path)
    assert [(one.field, one.before, one.after) for one in preview.changes] == [
        ("height_cm", numbers(2, 1, 2)["height_cm"], 104.5)
    ]
    assert preview.added == ()
    changed = [item for item in preview.items if item.state is State.CHANGED]
    assert [item.what for item in changed] == ["plant 1, Height: 104 → 104.5"]


def test_a_finished_visit_is_left_alone(desk, filled, bring, look):
    path = Path(shutil.copy(filled, desk.folder / "filled.xlsx"))
    bring(path)
    visits = drafts(read_season.read_season(desk.farm.store))
    season = read_season.read_season(desk.farm.store)
    second = next(bay for bay, number in order_of(season).items() if number == 2)
    rounds.finish(desk.farm, visits[second], desk.moment.now)
    book = openpyxl.load_workbook(path)
    bay = places_in(book).bays[1]
    book[bay.sheet].cell(bay.plants[0].row, places.FIRST_FIELD_COLUMN, 104.5)
    book.save(path)
    preview = look(path)
    assert not preview.anything
    assert [item.why for item in preview.items if item.state is State.REFUSED and "104.5" in item.what] == [
        "the visit is finished; correct it under Visit, with a reason"
    ]


def test_without_a_date_or_a_known_scout_it_asks(desk, blank, look):
    asked = look(fill(blank, desk.folder / "no day.xlsx", day=None))
    assert (asked.needs, asked.anything) == ((Need.DAY,), False)
    assert look(desk.folder / "no day.xlsx", day=DAY).anything
    assert look(fill(blank, desk.folder / "later.xlsx", day=date(2026, 12, 1))).needs == (Need.DAY,)
    asked = look(fill(blank, desk.folder / "who.xlsx", scout="Nobody Known"))
    assert asked.needs == (Need.SCOUT,)
    assert look(desk.folder / "who.xlsx", scout_id=desk.person(OTHER).id).anything


def test_it_goes_into_the_round_that_was_begun(desk, filled, bring):
    walked = rounds.start_round(desk.farm, DAY, desk.person(SCOUT).id)
    bring(filled)
    season = read_season.read_season(desk.farm.store)
    assert [one.id for one in season.rounds if one.held_on == DAY] == [walked.id]
    assert len(rounds.walk(desk.farm, walked.id)) == 4


def test_the_farm_changed_since_the_look(desk, filled, look):
    preview = look(filled)
    rounds.start_round(desk.farm, DAY, desk.person(SCOUT).id)
    with pytest.raises(Overtaken):
        coming_back.bring_in(desk.farm, preview, desk.moment)
    assert drafts(read_season.read_season(desk.farm.store)) == {}


def test_rows_that_were_moved_are_refused(desk, filled, look):
    path = Path(shutil.copy(filled, desk.folder / "moved.xlsx"))
    book = openpyxl.load_workbook(path)
    bay = places_in(book).bays[1]
    one, other = (book[bay.sheet].cell(bay.plants[place].row, 1) for place in (0, 1))
    one.value, other.value = other.value, one.value
    book.save(path)
    moved = [item.what for item in look(path).items if "rows were moved" in item.why]
    assert moved == ["plant 1", "plant 2"]


def test_a_sheet_of_another_farm_or_with_a_changed_hidden_sheet(desk, blank, look):
    for change, words in ((lambda line: line.replace("a", "b"), "hidden sheet"),):
        book = openpyxl.load_workbook(blank)
        cell = book[places.IDS_SHEET].cell(3, 1)
        cell.value = change(cell.value)
        book.save(desk.folder / "changed.xlsx")
        with pytest.raises(Problem, match=words):
            look(desk.folder / "changed.xlsx")
    book = openpyxl.load_workbook(blank)
    found = places_in(book)
    lines = places.lines(places.BookPlaces("another farm", found.week, found.bays))
    for row, line in enumerate(lines, 1):
        book[places.IDS_SHEET].cell(row, 1, line)
    book.save(desk.folder / "other.xlsx")
    with pytest.raises(Problem, match="another farm"):
        look(desk.folder / "other.xlsx")


def test_a_weed_note_is_compared_with_the_one_it_is_about(desk, filled, bring, look):
    """Two notes of other weeds were typed into the draft: the sheet's goosefoot goes to the goosefoot, nowhere else."""
    path = Path(shutil.copy(filled, desk.folder / "filled.xlsx"))
    bring(path)
    season = read_season.read_season(desk.farm.store)
    (kept,) = [one for one in season.weed_notes if (one.species, one.where) == ("goosefoot", "door")]
    other = replace(
        kept, id="00000000-0000-7000-8000-00000000000a", species="nettle", where="east wall", seeding=False
    )
    write_setup.add(desk.farm.store, other)
    rounds.save_weed(desk.farm, replace(kept, cover_percent=30.0))
    preview = look(path)
    weeds = [change for change in preview.changes if change.table_name == "weed_note"]
    assert [(one.row_id, one.field, one.before, one.after) for one in weeds] == [
        (kept.id, "cover_percent", 30.0, 12.0)
    ]
    rounds.remove_weed(desk.farm, kept.id, None, desk.moment.now)
    write_setup.add(
        desk.farm.store, replace(other, id="00000000-0000-7000-8000-00000000000b", species="vetch")
    )
    again = look(path)
    assert [one for one in again.changes if one.table_name == "weed_note"] == []
    assert [one.species for one in again.added if isinstance(one, WeedNote)] == ["goosefoot"]
