"""The crop's band. No published number of fruit to carry was found: the rules are checked by hand, the quantiles
and intervals against R and scipy."""

import pytest

from bayround.agronomy.fruit import LoadEstimate, PlantCount, fruit_load
from bayround.agronomy.fruit_band import (
    Band,
    BandPoint,
    LoadVerdict,
    PastLoad,
    band_at,
    fruit_to_take_off,
    judge_load,
    propose_band,
)

POINTS = [BandPoint(6, 1, 3), BandPoint(10, 3, 7), BandPoint(20, 4, 8)]


@pytest.mark.parametrize(
    ("week", "low", "high"), [(6, 1, 3), (8, 2, 5), (9, 2.5, 6), (10, 3, 7), (15, 3.5, 7.5), (20, 4, 8)]
)
def test_straight_lines_between_points(week: float, low: float, high: float) -> None:
    """numpy.interp is the second implementation."""
    import numpy as np

    assert band_at(POINTS, week) == Band(low, high)
    assert np.interp(week, [p.week for p in POINTS], [p.low for p in POINTS]) == low


@pytest.mark.parametrize("week", [5.9, 20.1, -3])
def test_a_band_is_not_stretched(week: float) -> None:
    assert band_at(POINTS, week) is None


BAND = Band(4, 8)


def load(value: float, low: float | None, high: float | None) -> LoadEstimate:
    return LoadEstimate(value, None, low, high, 8, 0.95)


EVEN = {"a": 6.0, "b": 6.5, "c": 5.5, "d": 6.0}


@pytest.mark.parametrize(
    ("estimate", "verdict"),
    [
        (load(10, 8.1, 12), LoadVerdict.OVERLOADED),
        (load(3, 2, 3.9), LoadVerdict.UNDERLOADED),
        (load(6, 5, 7), LoadVerdict.INSIDE),
        (load(6, 4, 8), LoadVerdict.INSIDE),
        (load(8, 7, 9), LoadVerdict.CANNOT_TELL),
        (load(9, 7, 11), LoadVerdict.CANNOT_TELL),
        (load(6, 3, 9), LoadVerdict.CANNOT_TELL),
        (load(12, None, None), LoadVerdict.CANNOT_TELL),
    ],
)
def test_verdict_needs_the_whole_interval_on_one_side(estimate: LoadEstimate, verdict: LoadVerdict) -> None:
    found = judge_load(estimate, BAND, EVEN, greatest_variation=0.4, most_outside_share=0.3)
    assert found.verdict is verdict


def test_point_estimate_alone_would_not_pass() -> None:
    """9 fruit lie above the band, but (7, 11) does not: calling it overloaded is the trap."""
    found = judge_load(load(9, 7, 11), BAND, EVEN, greatest_variation=0.4, most_outside_share=0.3)
    assert found.verdict is not LoadVerdict.OVERLOADED


def test_uneven_names_the_plants_farthest_out_first() -> None:
    plants = {"a": 1.0, "b": 12.0, "c": 6.0, "d": 3.0, "e": 9.0}
    found = judge_load(load(6.2, 5, 7.4), BAND, plants, greatest_variation=0.4, most_outside_share=0.3)
    assert found.verdict is LoadVerdict.UNEVEN
    assert found.plants_above == ("b", "e")
    assert found.plants_below == ("a", "d")


def test_variation_is_sample_deviation_over_mean() -> None:
    """scipy.stats.variation with ddof 1."""
    from scipy.stats import variation

    plants = {"a": 1.0, "b": 12.0, "c": 6.0, "d": 3.0, "e": 9.0}
    found = judge_load(load(6, 5, 7), BAND, plants, greatest_variation=2, most_outside_share=1)
    assert found.variation == pytest.approx(float(variation(list(plants.values()), ddof=1)), rel=1e-12)
    assert found.verdict is LoadVerdict.INSIDE


def test_uneven_by_variation_alone() -> None:
    found = judge_load(load(6, 5, 7), BAND, EVEN, greatest_variation=0.05, most_outside_share=1)
    assert found.verdict is LoadVerdict.UNEVEN


def test_what_the_crew_is_told() -> None:
    """By hand: band up to 8.5; 12, 9 and 8.6 come down to 8, that is 4 + 1 + 1 fruit, 2 on average; 3 plants of 6."""
    plants = {"a": 12.0, "b": 9.0, "c": 8.6, "d": 8.5, "e": 6.0, "f": 2.0}
    told = fruit_to_take_off(plants, Band(4, 8.5), plants_standing=600)
    assert told is not None
    assert told.leave_at_most == 8
    assert told.off_by_plant == {"a": 4, "b": 1, "c": 1}
    assert told.usual_fruit_off == 2
    assert told.plants_in_planting[0] == 300
    assert told.fruit_off_in_planting is not None
    assert told.fruit_off_in_planting[0] == 600


def test_how_many_plants_and_fruit_agree_with_statsmodels_and_scipy() -> None:
    """Wilson's interval (statsmodels proportion_confint) and Student's t with finite-population correction (scipy)."""
    from scipy.stats import sem, t
    from statsmodels.stats.proportion import proportion_confint

    plants = {"a": 12.0, "b": 9.0, "c": 10.0, "d": 8.0, "e": 6.0, "f": 2.0}
    told = fruit_to_take_off(plants, BAND, plants_standing=60)
    assert told is not None
    low, high = proportion_confint(3, 6, method="wilson")
    estimate, least, most = told.plants_in_planting
    assert estimate == 30
    assert (least - low * 60, high * 60 - most) == pytest.approx((0, 0), abs=1)
    off = [4, 1, 2, 0, 0, 0]
    half = t.ppf(0.975, 5) * sem(off) * (1 - 6 / 60) ** 0.5
    assert told.fruit_off_in_planting == (70, 0, round(60 * (7 / 6 + half)))


def test_nothing_above_is_nothing_to_do() -> None:
    assert fruit_to_take_off(EVEN, BAND, plants_standing=50) is None


def test_band_from_past_weeks() -> None:
    """Quantiles of type 7 (Hyndman & Fan 1996, R's default): 1..9 at 10 % and 90 % are 1.8 and 8.2."""
    past = [PastLoad(10, float(each)) for each in range(1, 10)]
    proposed = propose_band(past, low_quantile=0.1, high_quantile=0.9, weeks_either_side=0, least_loads=5)
    assert len(proposed) == 1
    assert (proposed[0].point.week, proposed[0].past_loads) == (10, 9)
    assert (proposed[0].point.low, proposed[0].point.high) == pytest.approx((1.8, 8.2), abs=1e-12)


def test_weeks_with_too_few_loads_get_no_point() -> None:
    past = [PastLoad(week, load) for week in (8, 9, 10, 14) for load in (3.0, 4.0)]
    options = {"low_quantile": 0.25, "high_quantile": 0.75}
    assert [p.point.week for p in propose_band(past, weeks_either_side=1, least_loads=4, **options)] == [
        8,
        9,
        10,
    ]
    assert [p.point.week for p in propose_band(past, weeks_either_side=1, least_loads=6, **options)] == [9]
    assert propose_band([], weeks_either_side=1, least_loads=4, **options) == ()


@pytest.mark.parametrize(
    "call",
    [
        lambda: band_at([], 3),
        lambda: band_at([BandPoint(3, 5, 4)], 3),
        lambda: band_at([BandPoint(3, -1, 4)], 3),
        lambda: band_at([BandPoint(3, 1, 4), BandPoint(3, 1, 4)], 3),
        lambda: judge_load(load(6, 5, 7), Band(8, 4), EVEN, greatest_variation=1, most_outside_share=1),
        lambda: judge_load(load(6, 5, 7), BAND, {"a": -1}, greatest_variation=1, most_outside_share=1),
        lambda: judge_load(load(6, 5, 7), BAND, EVEN, greatest_variation=1, most_outside_share=2),
        lambda: fruit_to_take_off({"a": 9}, Band(4.2, 4.8), plants_standing=5),
        lambda: fruit_to_take_off({"a": 9, "b": 1}, BAND, plants_standing=1),
        lambda: propose_band(
            [PastLoad(3, 1)], low_quantile=0.9, high_quantile=0.1, weeks_either_side=1, least_loads=2
        ),
        lambda: propose_band(
            [PastLoad(3, -1)], low_quantile=0.1, high_quantile=0.9, weeks_either_side=1, least_loads=2
        ),
        lambda: propose_band([], low_quantile=0.1, high_quantile=0.9, weeks_either_side=1, least_loads=1),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()


def test_whole_way_from_counts_to_verdict() -> None:
    """Made: 8 plants around 12.5 fruit against a band of 6 to 9 a plant are overloaded."""
    fruit = [12, 15, 9, 14, 11, 10, 13, 16]
    counts = [PlantCount(f"p{n}", f, 2) for n, f in enumerate(fruit)]
    carried = fruit_load(counts, plants_standing=40, area_m2=16).per_plant
    found = judge_load(
        carried,
        Band(6, 9),
        {c.plant: c.fruit for c in counts},
        greatest_variation=0.5,
        most_outside_share=0.5,
    )
    assert found.verdict is LoadVerdict.OVERLOADED
    assert found.plants_above[0] == "p7"
