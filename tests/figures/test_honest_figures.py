"""Where figures went wrong once: each case here was seen to give a wrong number."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.rounds import PlantState
from bayround.facts.weeks import Week
from bayround.facts.work import Pick
from bayround.figures import fruit, heights
from bayround.week.bay_figures import all_figures
from bayround.week.build import build
from bayround.week.earlier import earlier_weeks

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")


def changed(past: BayPast, visit: int, plants: slice, **numbers: object) -> BayPast:
    """Return the bay with some plants' readings at one visit changed."""
    record = past.visits[visit]
    keys = {plant.id for plant in past.plants[plants]}
    readings = {
        key: replace(reading, **numbers) if key in keys else reading  # type: ignore[arg-type]
        for key, reading in record.readings.items()
    }
    visits = list(past.visits)
    visits[visit] = replace(record, readings=readings)
    return replace(past, visits=tuple(visits))


def test_a_thin_visit_does_not_decide_when_the_next_tie_is_due() -> None:
    """Three of ten plants read at the oldest of four visits: the day stays that of the ten plants."""
    past = factory.past(4, start_cm=90.0, growth_cm=6.0, tie_cm=100.0)
    uneven = past
    for visit in range(4):
        for place in range(10):
            tie = 100.0 + (40.0 if place < 3 else 0.0)
            uneven = changed(uneven, visit, slice(place, place + 1), last_tie_cm=tie)
    thin = changed(uneven, 0, slice(3, 10), height_cm=None)
    whole = heights.figures(uneven, PEPPER)["days_to_tie"]
    left = heights.figures(thin, PEPPER)["days_to_tie"]
    assert left.value == pytest.approx(whole.value)
    assert left.n == 10


def test_a_partly_counted_plant_does_not_lower_the_load() -> None:
    past = changed(factory.past(2), 1, slice(0, 5), fruit_green=None)
    assert fruit.figures(past, PEPPER)["fruit_per_plant"].value == pytest.approx(3.0)
    assert fruit.figures(past, PEPPER)["fruit_per_plant"].n == 5


def test_fewer_plants_than_were_marked_does_not_break_the_week() -> None:
    past = factory.past(2)
    assert past.planting is not None
    few = replace(past, planting=replace(past.planting, plants=8))
    assert few.latest is not None
    assert all_figures(few, CROPS, few.latest.day)["height_cm"].value is not None


def test_ready_fruit_are_never_fewer_than_none() -> None:
    past = changed(factory.past(2), 1, slice(0, 1), fruit_coloured=6.0)
    assert fruit.figures(past, PEPPER)["ripe_per_m2"].low == 0.0


def test_two_plants_alike_give_no_interval_and_no_verdict() -> None:
    past = factory.past(2)
    assert past.latest is not None
    two = {plant.id: past.latest.readings[plant.id] for plant in past.plants[:2]}
    two = {key: replace(reading, fruit_green=20.0) for key, reading in two.items()}
    past = replace(past, visits=(replace(past.latest, readings=two),))
    found = all_figures(past, CROPS, past.visits[0].day)
    assert found["fruit_per_m2"].low is None
    assert found["load_over_band"].says == "perhaps too much"


def test_a_crop_removed_midweek_keeps_its_week() -> None:
    past = factory.past(3)
    assert past.planting is not None
    assert past.latest is not None
    removed = replace(past.planting, removed_on=past.latest.day + timedelta(days=2))
    facts = factory.season(replace(past, planting=removed))
    week = Week.of(past.latest.day)
    snapshot = build(facts, CROPS, week, date(2027, 1, 1))
    assert snapshot.totals["readings_count"].value == 10
    assert snapshot.jobs == ()
    assert build(facts, CROPS, week.plus(1), date(2027, 1, 1)).bays[0].planting is None
    assert gather(facts, week.sunday)[0].planting is None


def test_an_earlier_week_beside_this_one_knows_no_later_picks() -> None:
    past = factory.past(3)
    assert past.planting is not None
    picks = tuple(
        Pick(factory.key(), past.bay.id, past.planting.id, record.day, 100.0) for record in past.visits
    )
    past = replace(past, picks=picks)
    told = dict(earlier_weeks(past, CROPS, Week.of(past.visits[2].day), 5))
    assert told[Week.of(past.visits[0].day)]["picked_kg"].value == 100.0


def test_a_dead_plant_is_said_and_leaves_the_next_sheet() -> None:
    past = changed(factory.past(2), 1, slice(0, 1), state=PlantState.DEAD)
    assert past.latest is not None
    snapshot = build(factory.season(past), CROPS, Week.of(past.latest.day), date(2027, 1, 1))
    assert any("found dead" in warning for warning in snapshot.bays[0].warnings)
    assert len(past.plants_on(past.latest.day)) == 10
    assert len(past.plants_on(past.latest.day + timedelta(days=7))) == 9
