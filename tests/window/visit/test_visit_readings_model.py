"""The grid's model without a window: what was typed stands above what was read."""

from __future__ import annotations

from dataclasses import replace

import pytest
from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from visit_hands import NOW, TODAY, bays

from bayround.facts.farm import PlantChoice
from bayround.facts.rounds import PlantState
from bayround.week.visit_sheet import VisitSheet
from bayround.window.visit.bay_bar import BayBar
from bayround.window.visit.entry_model import Mark, Takes
from bayround.window.visit.readings_model import ReadingsModel


@pytest.fixture
def fake() -> FakeRounds:
    return FakeRounds(bays(1, plants=4), TODAY)


@pytest.fixture
def sheet(fake: FakeRounds) -> VisitSheet:
    return fake.open_visit(None, fake.all_rounds[0].id, next(iter(fake.pasts)), NOW)


@pytest.fixture
def model(sheet: VisitSheet) -> ReadingsModel:
    shown = ReadingsModel()
    shown.show(sheet)
    return shown


def test_a_row_a_plant_and_a_column_a_field(model: ReadingsModel, sheet: VisitSheet) -> None:
    assert (model.rowCount(), model.columnCount()) == (4, len(sheet.fields))
    assert model.headerData(0, Qt.Orientation.Horizontal) == "Height\ncm"
    assert model.headerData(1, Qt.Orientation.Vertical) == sheet.rows[1].plant.label
    assert model.headerData(0, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole) == sheet.fields[0].hint


def test_a_plant_chosen_for_what_is_on_it_is_told_apart(qapp, fake: FakeRounds, sheet: VisitSheet) -> None:
    past = fake.pasts[sheet.bay.id]
    drawn, odd = past.plants[0], past.plants[2]
    choices = (PlantChoice("c0", drawn.id, seed=4711), PlantChoice("c2", odd.id, targeted=True))
    fake.pasts[sheet.bay.id] = replace(past, choices=choices)
    shown, bar = ReadingsModel(), BayBar()
    again = fake.read_sheet(None, sheet.visit.id)
    shown.show(again)
    heads = [shown.headerData(row, Qt.Orientation.Vertical) for row in range(4)]
    assert heads[2] == f"{odd.label} ◇"
    assert [head for head in heads if "◇" in head] == [heads[2]]
    why = "chosen for what is on it: in no mean"
    assert shown.headerData(2, Qt.Orientation.Vertical, Qt.ItemDataRole.ToolTipRole) == why
    assert why in shown.in_hand.spoken(2, 0)
    assert why not in shown.in_hand.spoken(0, 0)
    bar.show_sheet(again)
    assert f"drawn with seed 4711 · in no mean: {odd.number}" in bar.about.text()


def test_last_visits_value_stands_faint_behind_an_empty_cell(model: ReadingsModel, sheet: VisitSheet) -> None:
    last = sheet.rows[0].last
    assert last is not None
    assert last.height_cm is not None
    look = model.look(model.index(0, 0))
    assert (look.text, look.faint) == ("", str(int(last.height_cm)))


def test_a_typed_number_is_shown_and_told_with_what_stood_there_before(model: ReadingsModel) -> None:
    told = []
    model.typed.connect(told.append)
    assert model.put(model.index(0, 2), 4.0)
    assert model.put(model.index(0, 2), 5.0)
    assert model.put(model.index(0, 2), 5.0)  # nothing changes, nothing is saved
    assert [(change.before, change.after) for (change,) in told] == [(None, 4.0), (4.0, 5.0)]
    assert model.look(model.index(0, 2)).text == "5"


def test_an_impossible_number_is_refused_in_words(model: ReadingsModel) -> None:
    said = []
    model.said.connect(said.append)
    assert not model.put(model.index(2, 0), 612.0)
    assert said == ["Height of plant 3: 612 cm can't be right, 500 cm is the most."]
    assert model.value(model.index(2, 0)) is None


def test_the_same_sheet_read_again_resets_nothing_and_keeps_what_waits(
    model: ReadingsModel, fake: FakeRounds, sheet: VisitSheet
) -> None:
    resets = []
    model.modelReset.connect(lambda: resets.append(1))
    model.put(model.index(0, 0), 90.0)
    model.put(model.index(1, 0), 91.0)
    first, second = sheet.rows[0].plant.id, sheet.rows[1].plant.id
    fake.save_cell(None, sheet.visit.id, first, "height_cm", 89.0)  # somebody else's newer value
    again = fake.read_sheet(None, sheet.visit.id)
    model.show(again, waiting={(second, "height_cm")})
    assert model.value(model.index(0, 0)) == 89.0
    assert model.value(model.index(1, 0)) == 91.0
    assert resets == []


def test_another_visit_starts_clean(model: ReadingsModel, sheet: VisitSheet) -> None:
    model.put(model.index(0, 0), 90.0)
    model.show(replace(sheet, visit=replace(sheet.visit, id="another")))
    assert model.value(model.index(0, 0)) is None


def test_a_dead_plant_takes_nothing_until_x_is_pressed_again(model: ReadingsModel) -> None:
    said, states = [], []
    model.said.connect(said.append)
    model.state_typed.connect(lambda plant, before, after: states.append((before, after)))
    assert model.row_key(1, "x")
    assert model.takes(model.index(1, 3)) is Takes.NOTHING
    assert not model.put(model.index(1, 3), 2.0)
    assert said == ["This plant is marked as dead; X again takes that back."]
    assert model.look(model.index(1, 0)).text == "dead"
    assert model.row_key(1, "X")
    assert model.put(model.index(1, 3), 2.0)
    assert states == [(PlantState.STANDING, PlantState.DEAD), (PlantState.DEAD, PlantState.STANDING)]


def test_a_resting_sheet_takes_nothing(model: ReadingsModel) -> None:
    said: list[str] = []
    model.said.connect(said.append)
    model.in_hand.resting = "One moment."
    assert model.takes(model.index(0, 0)) is Takes.NOTHING
    assert not model.put(model.index(0, 0), 80.0)
    assert not model.row_key(0, "s")
    assert said == ["One moment."]


def test_a_cell_passed_over_is_not_asked_for_again(model: ReadingsModel) -> None:
    before = len(model.in_hand.empty_cells())
    model.no_value(model.index(0, 1))
    assert len(model.in_hand.empty_cells()) == before - 1
    assert model.look(model.index(0, 1)).text == "–"
    model.put(model.index(0, 1), 80.0)
    assert model.look(model.index(0, 1)).text == "80"


def test_a_doubt_marks_the_cell_by_sign_and_words(
    model: ReadingsModel, fake: FakeRounds, sheet: VisitSheet
) -> None:
    fake.save_cell(None, sheet.visit.id, sheet.rows[0].plant.id, "height_cm", 160.0)
    model.show(fake.read_sheet(None, sheet.visit.id))
    index = model.index(0, 0)
    assert model.look(index).mark is Mark.DOUBTFUL
    assert "doubtful: " in model.spoken(index)
    model.put(index, 90.0)  # typed anew: the doubt was about the other number
    assert model.look(index).mark is Mark.NONE


def test_cells_that_are_not_saved_say_so(model: ReadingsModel, sheet: VisitSheet) -> None:
    model.put(model.index(0, 0), 90.0)
    model.show_not_saved({(sheet.rows[0].plant.id, "height_cm")})
    assert model.look(model.index(0, 0)).mark is Mark.NOT_SAVED
    assert model.spoken(model.index(0, 0)).endswith("not saved yet")
    model.show_not_saved(set())
    assert model.look(model.index(0, 0)).mark is Mark.NONE


def test_what_is_likely_comes_from_the_plants_last_reading(model: ReadingsModel, sheet: VisitSheet) -> None:
    # Sweet pepper profile: height never falls (measured to 1 cm), grows at most 20 cm a week.
    last = sheet.rows[0].last
    assert last is not None
    assert last.height_cm is not None
    rule = model.rule(model.index(0, 0))
    assert (rule.likely_low, rule.likely_high) == (last.height_cm - 1, last.height_cm + 20)
