"""What must hold for every growth figure, crossing day, pair of scouts and keyed number."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bayround.agronomy.agreement import (
    Concordance,
    Kappa,
    Weighting,
    kappa,
    limits_of_agreement,
    lins_concordance,
)
from bayround.agronomy.digit_slips import meant_values
from bayround.agronomy.growth import PairedGrowth, Trend, paired_growth, theil_sen_trend
from bayround.agronomy.reaching import ReachingDay, day_line_reaches
from bayround.agronomy.robust import robust_deviation
from bayround.agronomy.slips import FieldLimits, check_value, expect_from_past

steady = settings(deadline=None, derandomize=True, max_examples=50)
height = st.integers(50, 3000).map(lambda x: x / 10)
by_plant = st.dictionaries(st.integers(1, 12), height, max_size=10)
pairs = st.lists(st.tuples(height, height), min_size=4, max_size=20)


@steady
@given(by_plant, by_plant, st.integers(1, 30))
def test_every_plant_is_counted_once(earlier: dict[int, float], later: dict[int, float], days: int) -> None:
    result = paired_growth(earlier, later, days)
    if not isinstance(result, PairedGrowth):
        assert not set(earlier) & set(later)
        return
    measured = {plant for plant, _ in result.change_by_plant}
    assert measured | set(result.dropped_out) == set(earlier)
    assert measured | set(result.joined) == set(later)
    assert result.n == len(measured)
    assert result.cm_per_week.value == pytest.approx(7 * result.cm_per_day.value)
    backwards = paired_growth(later, earlier, days)
    assert isinstance(backwards, PairedGrowth)
    assert backwards.change_cm.value == pytest.approx(-result.change_cm.value, abs=1e-9)


@steady
@given(st.lists(height, min_size=5, max_size=12), st.floats(-5.0, 5.0))
def test_a_steady_trend_added_is_added_to_the_slope(values: list[float], extra: float) -> None:
    days = [7.0 * week for week in range(len(values))]
    plain, tilted = (
        theil_sen_trend(days, values),
        theil_sen_trend(days, [value + extra * day for value, day in zip(values, days, strict=True)]),
    )
    assert isinstance(plain, Trend)
    assert isinstance(tilted, Trend)
    assert tilted.slope_per_day == pytest.approx(plain.slope_per_day + extra, abs=1e-6)
    assert plain.low <= plain.slope_per_day <= plain.high


@steady
@given(
    st.lists(st.floats(-2.0, 2.0), min_size=4, max_size=10), st.floats(0.0, 500.0), st.floats(-1000.0, 1000.0)
)
def test_crossing_day_lies_inside_its_limits_and_moves_with_the_calendar(
    noise: list[float], level: float, origin: float
) -> None:
    days = [7.0 * week for week in range(len(noise))]
    values = [60.0 + 0.9 * day + extra for day, extra in zip(days, noise, strict=True)]
    result = day_line_reaches(days, values, level, 0.8)
    assert isinstance(result, ReachingDay)
    assert result.low <= result.day + 1e-6
    assert result.day <= result.high + 1e-6
    moved = day_line_reaches([day + origin for day in days], values, level, 0.8)
    assert isinstance(moved, ReachingDay)
    assert moved.day - origin == pytest.approx(result.day, rel=1e-6, abs=1e-3)


@steady
@given(pairs)
def test_concordance_never_exceeds_correlation_and_is_the_same_both_ways(
    seen: list[tuple[float, float]],
) -> None:
    first, second = [a for a, _ in seen], [b for _, b in seen]
    one, other = lins_concordance(first, second), lins_concordance(second, first)
    assume(isinstance(one, Concordance))
    assert isinstance(one, Concordance)
    assert isinstance(other, Concordance)
    assert abs(one.concordance) <= abs(one.correlation) + 1e-9
    assert one.concordance == pytest.approx(other.concordance, abs=1e-9)
    assert -1.0 <= one.low <= one.concordance + 1e-9
    assert one.concordance <= one.high + 1e-9 <= 1.0 + 1e-8
    there, back = limits_of_agreement(first, second), limits_of_agreement(second, first)
    assert there.mean_difference == pytest.approx(-back.mean_difference)
    assert there.lower_limit == pytest.approx(-back.upper_limit)


@steady
@given(st.lists(st.lists(st.integers(0, 20), min_size=3, max_size=3), min_size=3, max_size=3))
def test_kappa_is_the_same_both_ways_and_at_most_one(table: list[list[int]]) -> None:
    assume(sum(map(sum, table)) > 0)
    turned = [[table[j][i] for j in range(3)] for i in range(3)]
    weightings: list[Weighting] = ["none", "linear", "quadratic"]
    for weighting in weightings:
        one, other = kappa(table, weighting), kappa(turned, weighting)
        if isinstance(one, Kappa) and isinstance(other, Kappa):
            assert one.kappa == pytest.approx(other.kappa, abs=1e-9)
            assert one.kappa <= 1.0 + 1e-12
            assert math.isfinite(one.standard_error)


@steady
@given(st.integers(1, 99_999), st.integers(0, 5), st.sampled_from(["swap", "double", "drop", "ten", "tenth"]))
def test_the_number_meant_is_always_among_those_offered(number: int, at: int, slip: str) -> None:
    """Whatever the slip of the hand, undoing it is one of the explanations."""
    text = str(number)
    at %= len(text)
    slipped = {
        "swap": text[:at] + text[at + 1 : at + 2] + text[at] + text[at + 2 :],
        "double": text[: at + 1] + text[at:],
        "drop": text[:at] + text[at + 1 :],
        "ten": text + "0",
        "tenth": text[:-1] if text.endswith("0") else "",
    }[slip]
    assume(slipped != "" and int(slipped) != number)
    assert float(number) in [meant.value for meant in meant_values(float(slipped))]


@steady
@given(st.lists(height, min_size=1, max_size=15))
def test_the_robust_deviation_never_blows_up(values: list[float]) -> None:
    assert math.isfinite(robust_deviation(values))
    assert robust_deviation(values) >= 0


@steady
@given(st.lists(st.integers(1, 9), min_size=2, max_size=8), st.integers(1, 4))
def test_what_is_expected_is_never_doubted(rises: list[int], weeks: int) -> None:
    limits = FieldLimits(5.0, 400.0, 1.5, never_falls=True, largest_weekly_rise=20.0)
    total, history = 60.0, [(0.0, 60.0)]
    for week, rise in enumerate(rises, start=1):
        total += rise
        history.append((7.0 * week, total))
    day = history[-1][0] + 7.0 * weeks
    ahead = expect_from_past(history, day, limits)
    assert ahead is not None
    assert check_value(ahead.centre, day, history, limits) == []
