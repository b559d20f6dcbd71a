"""What must hold for every sample, share and walk, whatever the numbers."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayround.agronomy.incidence import (
    clopper_pearson_interval,
    cluster_incidence,
    poisson_interval,
    wilson_interval,
)
from bayround.agronomy.sample_sizes import plants_for_mean, plants_to_find_one, plants_to_find_one_in_bay
from bayround.agronomy.sampling import cluster_estimate, mean_interval, ratio_estimate
from bayround.agronomy.walking import plan_walk, row_quotas, walking_order

steady = settings(deadline=None, derandomize=True, max_examples=50)
heights = st.lists(st.floats(0.0, 400.0).map(lambda x: round(x, 1)), min_size=2, max_size=20)
rows_of_plants = st.lists(st.integers(0, 40), min_size=1, max_size=12)


@steady
@given(rows_of_plants, st.integers(0, 60), st.integers(0, 10**6))
def test_walk_is_spread_distinct_and_inside(sizes: list[int], wanted: int, seed: int) -> None:
    """Each row gets its share within one; within a row neighbouring stops are evenly apart within one
    plant."""
    wanted = min(wanted, sum(sizes))
    walk = plan_walk(sizes, wanted, seed)
    assert len(walk) == len(set(walk)) == wanted
    for row, size in enumerate(sizes, start=1):
        places = sorted(stop.position for stop in walk if stop.row == row)
        share = wanted * size / sum(sizes) if wanted else 0.0
        assert math.floor(share - 1e-9) <= len(places) <= math.ceil(share + 1e-9)
        assert all(1 <= place <= size for place in places)
        gaps = [later - earlier for earlier, later in pairwise(places)]
        if gaps:
            assert max(gaps) - min(gaps) <= 1
    assert walk == walking_order(walk)


@steady
@given(rows_of_plants, st.integers(0, 60), st.floats(0.0, 0.999))
def test_quotas_sum_to_what_is_wanted(sizes: list[int], wanted: int, start: float) -> None:
    wanted = min(wanted, sum(sizes))
    assert sum(row_quotas(sizes, wanted, start)) == wanted


@steady
@given(heights, st.floats(0.1, 10.0), st.floats(-100.0, 100.0))
def test_mean_interval_follows_unit_and_origin(values: list[float], scale: float, shift: float) -> None:
    plain = mean_interval(values)
    moved = mean_interval([value * scale + shift for value in values])
    assert plain.low is not None
    assert plain.high is not None
    assert moved.low is not None
    assert moved.high is not None
    assert moved.mean == pytest.approx(plain.mean * scale + shift, abs=1e-6)
    assert moved.high - moved.low == pytest.approx((plain.high - plain.low) * scale, abs=1e-5)
    assert plain.low <= plain.mean <= plain.high


@steady
@given(heights, st.integers(0, 100))
def test_knowing_the_bay_never_widens_the_interval(values: list[float], others: int) -> None:
    known, unknown = mean_interval(values, len(values) + others), mean_interval(values)
    assert known.standard_error is not None
    assert unknown.standard_error is not None
    assert known.standard_error <= unknown.standard_error


@steady
@given(st.lists(heights, min_size=2, max_size=6))
def test_cluster_mean_is_the_mean_of_all_plants(groups: list[list[float]]) -> None:
    result = cluster_estimate(groups)
    plants = [value for group in groups for value in group]
    assert result.mean == pytest.approx(sum(plants) / len(plants), abs=1e-9)
    assert -1.0 <= result.intraclass_correlation <= 1.0 + 1e-12
    assert 0.0 < result.effective_n <= len(plants)


@steady
@given(heights)
def test_ratio_to_ones_is_the_mean(values: list[float]) -> None:
    ratio, mean = ratio_estimate(values, [1.0] * len(values)), mean_interval(values)
    assert ratio.ratio == pytest.approx(mean.mean)
    assert ratio.standard_error == pytest.approx(mean.standard_error, abs=1e-9)


@steady
@given(st.integers(0, 80), st.integers(1, 80), st.floats(0.5, 0.999))
def test_share_intervals_are_ordered_symmetric_and_within_0_and_1(k: int, n: int, level: float) -> None:
    k = min(k, n)
    for interval in (wilson_interval, clopper_pearson_interval):
        one, other = interval(k, n, level), interval(n - k, n, level)
        assert 0.0 <= one.low <= one.share <= one.high <= 1.0
        assert one.low == pytest.approx(1.0 - other.high, abs=1e-9)
        if k < n:
            more = interval(k + 1, n, level)
            assert more.low >= one.low
            assert more.high >= one.high
    assert poisson_interval(k, level)[0] <= k <= poisson_interval(k, level)[1]


@steady
@given(st.lists(st.tuples(st.integers(0, 12), st.integers(1, 12)), min_size=2, max_size=9))
def test_clustered_interval_holds_its_share_and_is_no_narrower_than_the_exact_one(
    bays: list[tuple[int, int]],
) -> None:
    found = [min(k, n) for k, n in bays]
    seen = [n for _, n in bays]
    result = cluster_incidence(found, seen)
    plain = clopper_pearson_interval(sum(found), sum(seen))
    assert 0.0 <= result.low <= result.share <= result.high <= 1.0
    assert result.low <= plain.low + 1e-9
    assert result.high >= plain.high - 1e-9


@steady
@given(st.integers(2, 400), st.integers(1, 400), st.floats(0.5, 0.99))
def test_a_known_bay_needs_no_more_plants_than_an_endless_one(
    population: int, infested: int, level: float
) -> None:
    infested = min(infested, population)
    bay = plants_to_find_one_in_bay(population, infested, level)
    assert isinstance(bay, int)
    assert 1 <= bay <= population - infested + 1
    if infested < population:
        assert bay <= plants_to_find_one(infested / population, level)


@steady
@given(st.floats(0.5, 50.0), st.floats(0.05, 1.0), st.integers(2, 3000))
def test_plants_for_a_mean_never_exceed_the_bay(deviation: float, relative: float, population: int) -> None:
    known = plants_for_mean(deviation, deviation * relative, population)
    unknown = plants_for_mean(deviation, deviation * relative)
    assert isinstance(known, int)
    assert isinstance(unknown, int)
    assert known <= min(population, unknown)
