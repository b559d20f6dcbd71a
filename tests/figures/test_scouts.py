"""Do two scouts see the same? Against Bland & Altman's data, statsmodels, and offsets put in on purpose."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from statsmodels.stats.inter_rater import cohens_kappa, to_table

import factory
from bayround.facts.bay_past import BayPast
from bayround.figures import scouts

LARGE = [494.0, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512.0, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
"""Bland & Altman 1986, Lancet i:307-310: peak flow by two meters, first readings."""

COUNTS = ([3, 2, 4, 1, 0, 2, 5, 3, 3, 2], [3, 3, 4, 1, 1, 2, 4, 3, 2, 2])


def bay_walked_twice(first: list[float], second: list[float], field: str = "height_cm") -> BayPast:
    """Return a bay that scouts a and b walked on the same day, with these values."""
    past = factory.past(1)
    assert past.planting is not None
    marked = factory.plants(past.planting, len(first))
    visits = []
    for scout, values in (("a", first), ("b", second)):
        numbers = {plant.id: {field: value} for plant, value in zip(marked, values, strict=True)}
        record = factory.record(past.planting, factory.FIRST_ROUND, numbers)
        visits.append(replace(record, visit=replace(record.visit, scout_id=scout)))
    return replace(past, plants=marked, visits=tuple(visits))


def test_heights_agree_as_bland_and_altman_and_lin_say() -> None:
    """Concordance .942742431427 (.850491873169 to .978726279170, as epiR); bias -2.1176; ± 1.96 SD -78.0959, 73.8606."""
    (pair,) = scouts.pairs([bay_walked_twice(LARGE, MINI)])
    found = scouts.height_agreement(pair)
    lin, bias = found["scouts_concordance"], found["scouts_height_difference_cm"]
    assert lin.value == pytest.approx(0.942742431427, abs=1e-12)
    assert (lin.low, lin.high) == (pytest.approx(0.850491873169), pytest.approx(0.978726279170))
    assert bias.value == pytest.approx(-2.1176470588)
    assert (bias.low, bias.high) == (pytest.approx(-22.0488377), pytest.approx(17.8135436))
    assert bias.says == "between -78.1 … 73.9 cm"


def test_counts_agree_as_statsmodels_says() -> None:
    first, second = COUNTS
    (pair,) = scouts.pairs([bay_walked_twice([*map(float, first)], [*map(float, second)], "fruit_green")])
    figure = scouts.count_agreement(pair)["scouts_kappa_fruit_green"]
    table, _bins = to_table(list(zip(first, second, strict=True)))
    other = cohens_kappa(table, wt="quadratic")
    assert figure.value == pytest.approx(other.kappa_w if hasattr(other, "kappa_w") else other.kappa)
    assert figure.low == pytest.approx(other.kappa_low)
    assert ("The same number", "6 / 10") in figure.why.inputs


def test_only_the_same_plants_on_the_same_day_by_different_scouts_count() -> None:
    past = bay_walked_twice(LARGE, MINI)
    one, two = past.visits
    same = replace(two, visit=replace(two.visit, scout_id="a"))
    later = replace(two, visit=replace(two.visit, visited_on=one.day + timedelta(days=1)))
    assert scouts.pairs([replace(past, visits=(one, same))]) == ()
    assert scouts.pairs([replace(past, visits=(one, later))]) == ()


def bay_of_weeks(walked_by: str, reads_high_cm: float, growth_cm: float = 6.0) -> BayPast:
    """Return a bay walked weekly by these scouts, one letter a week; b reads so much too high."""
    past = factory.past(len(walked_by), growth_cm=growth_cm)
    visits = []
    for visit, scout in zip(past.visits, walked_by, strict=True):
        readings = {
            key: replace(reading, height_cm=(reading.height_cm or 0) + (reads_high_cm if scout == "b" else 0))
            for key, reading in visit.readings.items()
        }
        visits.append(replace(visit, visit=replace(visit.visit, scout_id=scout), readings=readings))
    return replace(past, visits=tuple(visits))


def test_a_scout_who_reads_high_is_found_when_the_scouts_swap() -> None:
    pasts = [bay_of_weeks(walk, 4.0, growth) for walk in ("aabaa", "bbabb") for growth in (4.0, 6.0, 7.5)]
    figure = scouts.switch_effects(pasts)["a", "b"]
    assert figure.value == pytest.approx(-4.0)
    assert figure.n == 6
    said = scouts.sentence(figure, "Alder", "Rowan")
    assert said.startswith("Rowan reads heights about 4.0 cm higher than Alder (6 bays).")
    assert "growth of that week is off" in said


def test_scouts_who_read_alike_are_not_blamed() -> None:
    pasts = [bay_of_weeks("aabaa", offset) for offset in (-0.6, 0.5, 0.2, -0.1)]
    figure = scouts.switch_effects(pasts)["a", "b"]
    said = scouts.sentence(figure, "Alder", "Rowan")
    assert said.startswith("Alder and Rowan read heights alike as far as 4 bays tell")


def test_one_scout_all_season_tells_nothing() -> None:
    assert scouts.switch_effects([bay_of_weeks("aaaaa", 0.0)]) == {}
    assert not scouts.changed_scout(bay_of_weeks("aaa", 0.0))
    assert scouts.changed_scout(bay_of_weeks("aab", 0.0))
