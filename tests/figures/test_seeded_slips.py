"""Typing slips put into the sample farm on purpose: how many are doubted, and how many clean values.

The table for every visit comes from ``python -m tests.slips``; here every eleventh visit, the same draw each time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.rounds import DoubtAnswer, Reading
from bayround.figures import doubts
from slips import KINDS, Keyed, Tally, measure, sample_visits, share, table

PEPPER = load_crops().profile("sweet_pepper")


@pytest.fixture(scope="module")
def counted() -> tuple[Tally, Tally]:
    return measure(sample_visits(every=11))


def test_nine_of_ten_ten_times_slips_and_seven_of_ten_of_all_are_doubted(
    counted: tuple[Tally, Tally],
) -> None:
    assert sum(number for (kind, _crop), number in counted[0].items() if kind == "ten times") >= 20
    assert share(*counted, "ten times") >= 0.90
    assert share(*counted, *KINDS) >= 0.70


def test_at_most_two_in_a_hundred_clean_values_are_doubted(counted: tuple[Tally, Tally]) -> None:
    assert sum(number for (kind, _crop), number in counted[0].items() if kind == "clean") > 2000
    assert share(*counted, "clean") <= 0.02
    for kind, crop in counted[0]:
        if kind == "clean":
            assert counted[1][kind, crop] / counted[0][kind, crop] <= 0.02, crop


def test_the_table_names_every_kind(counted: tuple[Tally, Tally]) -> None:
    text = table(*counted)
    assert all(kind in text for kind in (*KINDS, "all slips", "Sweet pepper", "all crops"))


ORDER = (4, 9, 1, 7, 0, 5, 2, 8, 3, 6)
"""Tall and short plants mixed, as they stand."""


def bay(step_cm: float = 7.0, order: Sequence[int] = ORDER) -> BayPast:
    """Ten plants, so many cm from one height to the next, that grow 6 cm a week, with fruit of their own."""
    past = factory.past(6)
    visits = []
    for week, visit in enumerate(past.visits):
        readings = {
            plant.id: replace(
                visit.readings[plant.id],
                height_cm=80.0 + step_cm * order[place] + 6 * week,
                fruit_set=float(1 + place % 4),
            )
            for place, plant in enumerate(past.plants)
        }
        visits.append(replace(visit, readings=readings))
    return replace(past, visits=tuple(visits))


def doubted(past: BayPast, readings: dict[str, Reading]) -> list[str]:
    record = replace(past.visits[-1], readings=readings)
    found = doubts.of_visit(replace(past, visits=past.visits[:-1]), record, PEPPER)
    return [f"{doubt.field} {doubt.rule}" for doubt in found]


def test_another_scouts_eye_is_no_skipped_row() -> None:
    """Every height 6 cm higher, nearly the step from plant to plant: all moved alike, so nothing was skipped."""
    past = bay(order=range(10))
    readings = {
        key: replace(reading, height_cm=(reading.height_cm or 0) + 6)
        for key, reading in past.visits[-1].readings.items()
    }
    assert [rule for rule in doubted(past, readings) if "row" in rule] == []


def test_a_row_that_was_skipped_is_still_found() -> None:
    past = bay()
    keyed = Keyed(past, past.visits[-1], PEPPER)
    readings = dict(past.visits[-1].readings)
    for place in range(3, 9):
        taken = past.visits[-1].readings[keyed.plants[place + 1].id]
        readings[keyed.plants[place].id] = replace(
            readings[keyed.plants[place].id], height_cm=taken.height_cm
        )
    del readings[keyed.plants[9].id]
    assert "height_cm row-skipped" in doubted(past, readings)


def test_young_plants_that_read_alike_are_left_alone_and_a_row_keyed_twice_is_not() -> None:
    past = bay(step_cm=0.3)
    first, second = past.plants[0].id, past.plants[1].id
    bare = {"last_tie_cm": 0.0, "flowers": 0.0, "fruit_set": 0.0, "fruit_green": 0.0}
    young = {key: replace(reading, **bare) for key, reading in past.visits[-1].readings.items()}
    young[second] = replace(young[second], height_cm=young[first].height_cm)
    assert not any("row-repeated" in rule for rule in doubted(past, young))
    grown = dict(past.visits[-1].readings)
    grown[second] = replace(grown[first], id=grown[second].id, marked_plant_id=second)
    assert any("row-repeated" in rule for rule in doubted(past, grown))


@pytest.mark.parametrize(("keyed", "doubt"), [(10.0, True), (9.0, False), (12.0, False)])
def test_only_a_round_number_can_be_ten_times_a_count(keyed: float, doubt: bool) -> None:
    past = bay()
    plant = past.plants[0].id
    readings = dict(past.visits[-1].readings)
    readings[plant] = replace(readings[plant], fruit_set=keyed)
    assert ("fruit_set ten-times" in doubted(past, readings)) is doubt


@pytest.mark.parametrize(("value", "answered"), [(1080.0, True), (1070.0, False)])
def test_an_answer_holds_for_the_value_that_was_answered(value: float, answered: bool) -> None:
    past = bay()
    plant, visit = past.plants[0].id, past.visits[-1]
    answer = DoubtAnswer(factory.key(), visit.visit.id, plant, "height_cm", value, "ten-times")
    high = replace(visit.readings[plant], height_cm=1080.0)
    record = replace(visit, readings={**visit.readings, plant: high}, answers=(answer,))
    found = doubts.of_visit(replace(past, visits=past.visits[:-1]), record, PEPPER)
    assert [doubt.answered for doubt in found if doubt.field == "height_cm"] == [answered]
