"""The fields and small parts of the forms: numbers, dates, names counted on, the order of setting up."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from window_hands import press

from bayround.facts.farm import Bay, FarmInfo, House, HouseKind, MarkedPlant, Person, Planting
from bayround.facts.season import SeasonFacts
from bayround.window.farm.many_bays import bays_like
from bayround.window.farm.next_step import Step, next_step
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.day_field import DayField, read_day

FARM = FarmInfo("f", "Trial Hill")
HOUSE = House("h", "West", HouseKind.TUNNEL, 40, 10)
BAY = Bay("b", "h", "B07", 4, 10, 8, 1)
PLANTING = Planting("p", "b", "tomato", "T1", date(2026, 8, 3), 300)


@pytest.mark.parametrize(
    ("text", "value"), [("12", 12.0), ("12,5", 12.5), ("12.5", 12.5), (" 7 ", 7.0), ("", None), ("0", 0.0)]
)
def test_comma_and_point_are_both_decimal_marks(qtbot: QtBot, text: str, value: float | None) -> None:
    field = AmountField("Length", decimals=2)
    qtbot.addWidget(field)
    field.setText(text)
    assert field.amount() == value
    assert not field.problem()


@pytest.mark.parametrize(
    "text", ["1.234,5", "1,2,3", "1e3", "abc", "--1", "٣", "nan", "inf", "1_000", ".5", "5."]
)
def test_what_can_be_read_two_ways_is_refused_in_words(qtbot: QtBot, text: str) -> None:
    field = AmountField("Length", decimals=2)
    qtbot.addWidget(field)
    field.setText(text)
    assert field.amount() is None
    assert field.problem() == f"Length: “{text}” is not a number."
    assert field.text() == text


@given(st.decimals(0, 9999, places=2))
def test_an_amount_shown_reads_back_the_same(qapp: object, value: object) -> None:
    field = AmountField("Length", decimals=2)
    field.show_amount(float(value))  # type: ignore[arg-type]
    assert field.amount() == pytest.approx(float(value), abs=1e-9)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-08-03", date(2026, 8, 3)),
        ("3.8.2026", date(2026, 8, 3)),
        ("2026-8-3", date(2026, 8, 3)),
        ("2026-02-29", None),
        ("8/3/2026", date(2026, 3, 8)),
        ("08/13/2026", None),
        ("8/3.2026", None),
        ("", None),
    ],
)
def test_dates_are_read_one_way_only(text: str, day: date | None) -> None:
    assert read_day(text) == day


def test_arrow_keys_step_a_date(qtbot: QtBot) -> None:
    field = DayField("Transplanted on", start=date(2026, 12, 31))
    qtbot.addWidget(field)
    with qtbot.waitExposed(field):
        field.show()
    field.activateWindow()
    field.setFocus()
    qtbot.wait(1)
    press(Qt.Key.Key_Up)
    assert field.day() == date(2027, 1, 1)
    press(Qt.Key.Key_PageDown)
    assert field.day() == date(2026, 12, 25)


def test_names_are_counted_on_and_taken_ones_passed_over() -> None:
    known = SeasonFacts(FARM, houses=(HOUSE,), bays=(BAY, Bay("c", "h", "B09", 4, 10, 8, 5)))
    facts = bays_like(BAY, PLANTING, 3, known)
    bays = [fact for fact in facts if isinstance(fact, Bay)]
    plantings = [fact for fact in facts if isinstance(fact, Planting)]
    assert [(bay.name, bay.position) for bay in bays] == [("B08", 6), ("B10", 7), ("B11", 8)]
    assert [planting.bay_id for planting in plantings] == [bay.id for bay in bays]
    assert len({fact.id for fact in facts}) == 6
    unnumbered = bays_like(Bay("d", "h", "North", 4, 10, 8), None, 2, known)
    assert [fact.name for fact in unnumbered if isinstance(fact, Bay)] == ["North 2", "North 3"]


def test_the_steps_of_setting_up_follow_one_another() -> None:
    person, plant = Person("x", "Willow"), MarkedPlant("m", "p", 1, 1, 1)
    stages = (
        (SeasonFacts(FARM), Step.PERSON),
        (SeasonFacts(FARM, (person,)), Step.HOUSE),
        (SeasonFacts(FARM, (person,), (HOUSE,)), Step.BAY),
        (SeasonFacts(FARM, (person,), (HOUSE,), (BAY,)), Step.PLANTING),
        (SeasonFacts(FARM, (person,), (HOUSE,), (BAY,), (PLANTING,)), Step.PLANTS),
        (SeasonFacts(FARM, (person,), (HOUSE,), (BAY,), (PLANTING,), (plant,)), None),
    )
    assert [next_step(known) for known, _step in stages] == [step for _known, step in stages]
