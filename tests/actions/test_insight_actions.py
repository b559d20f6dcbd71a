"""The further pages of a bay: what they hold, and what is refused in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import insight
from bayround.actions.insight import BayInsight, Wire
from bayround.facts.money import Price
from bayround.facts.problems import Refused
from bayround.records import write_setup


def walk(small: SmallFarm, visits: int = 6) -> None:
    """Walk both bays weekly up to the day, the second by another scout in the last but one week."""
    other = factory.person(name="Rowan")
    write_setup.add(small.open.store, other)
    for bay, planting in zip(small.bays, small.plantings, strict=True):
        marked = factory.plants(planting)
        facts: list[object] = [*marked]
        for week in range(visits):
            day = TODAY - timedelta(weeks=visits - week)
            scout = other.id if week == visits - 2 else small.person.id
            begun = factory.Round(factory.key(), day, scout)
            high = 4.0 if scout == other.id else 0.0
            numbers = {
                plant.id: {
                    "height_cm": 60 + 7.0 * week + place + high,
                    "flowers": 3.0,
                    "fruit_set": 4.0 + place % 2,
                    "fruit_green": 2.0,
                    "fruit_turning": 1.0,
                    "fruit_coloured": 0.0,
                }
                for place, plant in enumerate(marked)
            }
            record = factory.record(planting, day, numbers)
            visit = replace(record.visit, round_id=begun.id, scout_id=scout, bay_id=bay.id)
            check = factory.check("aphids", 20, 0, visit_id=visit.id)
            facts += [begun, visit, *record.readings.values(), check]
        write_setup.add(small.open.store, *facts)


def read(small: SmallFarm) -> BayInsight:
    return insight.read(small.open, small.bays[0].id, TODAY)


def test_all_of_it_is_there(small: SmallFarm) -> None:
    walk(small)
    found = read(small)
    assert found.trend.value == pytest.approx(7.0, abs=0.5)
    assert len(found.forecast) == 5
    assert [line.weeks_ahead for line in found.forecast] == [0, 1, 2, 3, 4]
    assert any(
        "With 20 clean units you could have missed up to 14 %" in said for said in found.size_sentences
    )
    (pair,) = found.scouts
    assert pair.sentence.startswith("Rowan reads heights about 4.0 cm higher than")
    assert pair.switch is not None
    assert pair.switch.label.startswith("Rowan reads more")
    assert pair.switch.value == pytest.approx(4.0)
    assert found.scout_changed
    assert found.wire is not None
    assert found.choice is None


def test_prices_kept_start_the_choice_and_typed_ones_go_before(small: SmallFarm) -> None:
    walk(small)
    day = TODAY - timedelta(days=30)
    write_setup.add(
        small.open.store,
        Price(factory.key(), day, "sweet_pepper", 100, colour="green"),
        Price(factory.key(), day, "sweet_pepper", 180, colour="red"),
    )
    found = read(small)
    assert found.choice is not None
    assert (found.choice.green_price_per_kg, found.choice.coloured_price_per_kg) == (1.0, 1.8)
    typed = insight.with_typed(found.choice, loss_percent=20.0)
    assert (typed.loss_percent, typed.days_to_colour) == (20.0, found.choice.days_to_colour)
    choice = insight.green_or_coloured(found.past, typed)
    assert choice.figures["break_even_price_ratio"].value == pytest.approx(1 / 0.8)


def test_a_wire_comes_with_its_caution_or_not_at_all(small: SmallFarm) -> None:
    walk(small)
    past = read(small).past
    found = insight.wire_load(small.open, past, Wire(3.0, 0.05, 17.0))
    assert found.caution == insight.wire_caution()
    with pytest.raises(Refused):
        insight.wire_load(small.open, past, Wire(3.0, 0.0, 17.0))


def test_a_bay_without_visits_says_why_everywhere(small: SmallFarm) -> None:
    found = read(small)
    assert found.trend.missing
    assert found.forecast == ()
    assert found.record_sentence
    with pytest.raises(Refused):
        insight.wire_load(small.open, found.past, Wire(3.0, 0.05, 17.0))
    start = insight.starting_choice(small.open, found.past, 1.0, 1.5, TODAY)
    with pytest.raises(Refused):
        insight.green_or_coloured(found.past, start)


def test_a_bay_that_is_gone_is_refused(small: SmallFarm) -> None:
    with pytest.raises(Refused):
        insight.read(small.open, "gone", TODAY)
