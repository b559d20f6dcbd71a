"""How many plants, and whether two bays differ, against handbook numbers and scipy."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scipy import stats

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.figures import comparison, sample_size

PEPPER = load_crops().profile("sweet_pepper")


def bay_of(heights: list[float], plants: int = 2300, name: str = "Bay 1") -> BayPast:
    """Return a bay whose marked plants have these heights."""
    past = factory.past(1)
    assert past.planting is not None
    planting = replace(past.planting, plants=plants)
    marked = factory.plants(planting, len(heights))
    numbers = {plant.id: {"height_cm": value} for plant, value in zip(marked, heights, strict=True)}
    record = factory.record(planting, factory.FIRST_ROUND, numbers)
    return replace(past, bay=replace(past.bay, name=name), planting=planting, plants=marked, visits=(record,))


def with_cv(percent: float, plants: int) -> BayPast:
    """Return a bay of two marked plants with mean 100 and this coefficient of variation."""
    off = percent / 2**0.5
    return bay_of([100 - off, 100 + off], plants)


@pytest.mark.parametrize(
    ("cv", "wanted", "plants", "expected"),
    [(20, 5, 1_000_000, 64), (20, 10, 1_000_000, 18), (30, 10, 1_000_000, 38), (20, 5, 300, 54)],
)
def test_marked_plants_for_a_precision(cv: float, wanted: float, plants: int, expected: int) -> None:
    """Cochran 1977, ch. 4, with Student's t iterated: 64, 18 and 38 plants (the normal gives 61.5 for the first); of
    300 plants 54 (the shortcut 64/(1 + 64/300) gives 53, whose interval is ± 5.002)."""
    figure = sample_size.marked_plants(with_cv(cv, plants), PEPPER, "height_cm", wanted)
    assert figure.value == expected


def test_the_precision_now_is_the_intervals_half_width() -> None:
    heights = [92.0, 101, 97, 110, 105, 99, 90, 103]
    past = bay_of(heights)
    figure = sample_size.marked_plants(past, PEPPER, "height_cm")
    mean = sum(heights) / 8
    half = stats.t.ppf(0.975, 7) * stats.sem(heights) * (1 - 8 / 2300) ** 0.5
    assert figure.says == f"now ± {round(100 * half / mean)} %"
    assert "8 plants are measured" in sample_size.marked_sentence(past, PEPPER, "height_cm")


def test_the_careful_number_is_larger() -> None:
    figure = sample_size.marked_plants(bay_of([80.0, 100, 120, 95, 105]), PEPPER, "height_cm", 5)
    careful = dict(figure.why.inputs)["To keep the promise in 80 % of cases"]
    assert int(careful) > (figure.value or 0)


def test_one_plant_tells_nothing_of_scatter() -> None:
    figure = sample_size.marked_plants(bay_of([100.0]), PEPPER, "height_cm")
    assert figure.value is None
    assert figure.missing


def test_twenty_clean_plants_could_miss_fourteen_percent() -> None:
    """Exact: 1 - 0.05^(1/20) = 13.9 %; and 59 plants find 5 % with 95 % (Cannon & Roe 1982 tables, from memory)."""
    assert sample_size.largest_missed(20).value == pytest.approx(100 * (1 - 0.05 ** (1 / 20)))
    said = sample_size.detection_sentence(20, 5)
    assert "up to 14 % infested" in said
    assert "look at 59" in said
    assert sample_size.largest_missed(0).value is None


def test_units_to_inspect_for_a_share() -> None:
    """z²·p(1-p)/h²: 139 units for 10 % ± 5 points at 95 % (Cochran 1977, ch. 4)."""
    assert sample_size.inspected_units(2, 20, 5).value == 139
    assert sample_size.inspected_units(0, 20, 5).value is not None
    assert sample_size.inspected_units(0, 0, 5).missing


def test_bays_are_compared_by_welchs_interval() -> None:
    one, two = [100.0, 112, 95, 104, 99, 108], [90.0, 85, 97, 88, 92, 80, 94]
    found = comparison.compare_bays(bay_of(one, 10**7, "N1"), bay_of(two, 10**7, "N2"), "height_cm")
    interval = stats.ttest_ind(one, two, equal_var=False).confidence_interval(0.95)
    assert found.difference.low == pytest.approx(interval.low, rel=1e-5)
    assert found.difference.high == pytest.approx(interval.high, rel=1e-5)
    assert found.told_apart
    assert found.sentence.startswith("N1 is clearly ahead in height")


def test_the_bay_ahead_is_named_whichever_comes_first() -> None:
    one, two = bay_of([100.0, 112, 95, 104], name="N1"), bay_of([60.0, 65, 62, 70], name="N2")
    sentence = comparison.compare_bays(two, one, "height_cm").sentence
    assert sentence.startswith("N1 is clearly ahead")
    assert "-" not in sentence.split("difference is")[1]


def test_bays_that_cant_be_told_apart_say_what_it_would_take() -> None:
    one, two = [100.0, 112, 95, 104], [99.0, 110, 97, 100]
    found = comparison.compare_bays(bay_of(one, name="N1"), bay_of(two, name="N2"), "height_cm")
    assert not found.told_apart
    assert "can't be told apart in height" in found.sentence
    assert found.needed is not None
    assert f"about {found.needed} plants" in found.sentence
    assert found.needed > 50


def test_a_bay_with_one_plant_is_not_compared() -> None:
    found = comparison.compare_bays(bay_of([100.0]), bay_of([90.0, 91]), "height_cm")
    assert found.difference.value is None
    assert found.sentence == found.difference.missing
