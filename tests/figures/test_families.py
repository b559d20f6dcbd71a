"""The figures of one bay against values worked out beside them by other means."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from scipy import stats

import factory
from bayround.crops import load_crops
from bayround.facts.rounds import CardCount, PlantState
from bayround.figures import fruit, heights, pests, stand
from bayround.week.bay_figures import all_figures

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")


def test_density_of_the_check_house() -> None:
    """Common practice, no source: 40 m × 10 m with 2,300 plants is 400 m² and 5.75 plants/m²."""
    bay = factory.bay(factory.house())
    found = stand.density(bay, factory.planting(bay))
    assert found["area_m2"].text == "400"
    assert found["plants_per_m2"].text == "5.75"
    assert found["stems_per_m2"].text == "11.50"


def test_growth_is_the_paired_t_interval_of_scipy() -> None:
    past = factory.past(2)
    assert past.latest is not None
    grown = {plant.id: 4.0 + 0.5 * place for place, plant in enumerate(past.plants)}
    readings = {
        key: replace(reading, height_cm=(past.visits[0].readings[key].height_cm or 0) + grown[key])
        for key, reading in past.latest.readings.items()
    }
    past = replace(past, visits=(past.visits[0], replace(past.latest, readings=readings)))
    figure = heights.growth_figure(past)
    assert figure.value == pytest.approx(sum(grown.values()) / 10)
    low, high = stats.ttest_1samp(list(grown.values()), 0).confidence_interval(0.95)
    shrink = (1 - 10 / 2300) ** 0.5
    assert figure.low == pytest.approx(figure.value - (figure.value - low) * shrink)
    assert figure.high == pytest.approx(figure.value + (high - figure.value) * shrink)


def test_growth_says_who_dropped_out_and_leaves_out_dead_plants() -> None:
    past = factory.past(2)
    assert past.latest is not None
    first = past.plants[0]
    readings = dict(past.latest.readings)
    readings[first.id] = replace(readings[first.id], state=PlantState.DEAD)
    past = replace(past, visits=(past.visits[0], replace(past.latest, readings=readings)))
    figure = heights.growth_figure(past)
    assert figure.n == 9
    assert ("Only measured before", "1") in figure.why.inputs


def test_load_per_m2_is_load_per_plant_times_density() -> None:
    past = factory.past(2)
    found = fruit.figures(past, PEPPER)
    assert found["fruit_per_plant"].value == pytest.approx(3.0)
    assert found["fruit_per_m2"].value == pytest.approx(3.0 * 5.75)
    assert found["fruit_per_stem"].value == pytest.approx(1.5)


def test_new_fruit_counts_picked_fruit_back() -> None:
    past = factory.past(2)
    assert past.latest is not None
    readings = {
        key: replace(reading, fruit_green=1.0, fruit_picked=2.0)
        for key, reading in past.latest.readings.items()
    }
    past = replace(past, visits=(past.visits[0], replace(past.latest, readings=readings)))
    assert fruit.figures(past, PEPPER)["fruit_set_since"].value == pytest.approx(1.0)


def test_incidence_is_newcombes_wilson_interval() -> None:
    """Source: Newcombe 1998, Stat. Med. 17:857–872, Table I, 81 of 263: 0.2553 to 0.3662."""
    past = factory.past(2)
    assert past.latest is not None
    checks = (factory.check("thrips", 163, 51), factory.check("thrips", 100, 30))
    past = replace(past, visits=(past.visits[0], replace(past.latest, checks=checks)))
    figure = pests.figures(past, PEPPER, CROPS.organisms)["incidence_thrips"]
    assert figure.low == pytest.approx(25.53, abs=0.005)
    assert figure.high == pytest.approx(36.62, abs=0.005)
    worst = pests.figures(past, PEPPER, CROPS.organisms)["incidence_percent"]
    assert (worst.value, worst.says) == (figure.value, "Thrips")


def test_cards_are_caught_per_card_and_day() -> None:
    past = factory.past(1)
    assert past.latest is not None
    cards = (CardCount("a", "v", "1", "thrips", 12, 7.0), CardCount("b", "v", "2", "thrips", 16, 7.0))
    past = replace(past, visits=(replace(past.latest, cards=cards),))
    figure = pests.figures(past, PEPPER, CROPS.organisms)["cards_thrips"]
    assert figure.value == pytest.approx(2.0)


def test_every_figure_is_missing_with_a_reason_in_a_bay_without_visits() -> None:
    past = replace(factory.past(1), visits=())
    found = all_figures(past, CROPS, date(2026, 10, 6))
    for figure in found.values():
        assert (figure.value is None) == bool(figure.missing), figure.id
    assert found["growth_cm_week"].missing


def test_every_figure_id_is_its_key_and_has_a_rule() -> None:
    past = factory.past(3)
    found = all_figures(past, CROPS, factory.FIRST_ROUND + timedelta(days=20))
    for key, figure in found.items():
        assert key == figure.id
        assert figure.why.rule, key
        assert figure.label, key
