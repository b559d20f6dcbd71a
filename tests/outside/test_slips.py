"""The robust z against Iglewicz & Hoaglin's data, every slip rule against typed examples, digit slips by
hand."""

import math

import pytest

from bayround.agronomy.digit_slips import Meant, meant_values
from bayround.agronomy.robust import median_absolute_deviation, robust_deviation
from bayround.agronomy.row_slips import check_repeated_row, check_row_order
from bayround.agronomy.slips import (
    FieldLimits,
    Neighbour,
    check_value,
    expect_from_neighbours,
    expect_from_past,
)

# Iglewicz & Hoaglin 1993, How to Detect and Handle Outliers.
TEN = [2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3]

HEIGHT = FieldLimits(
    5.0, 400.0, 1.5, never_falls=True, largest_weekly_rise=20.0, measuring_error=1.0, plant_spread=8.0
)
FRUIT = FieldLimits(0.0, 60.0, 1.0, counted=True)
PAST = [(0.0, 60.0), (7.0, 65.0), (14.0, 71.0), (21.0, 76.0)]
OTHERS = [Neighbour(80.0, 75.0), Neighbour(91.0, 85.0), Neighbour(72.0, 67.0), Neighbour(66.0, 60.0)]


def _rules(
    value: float, history: list[tuple[float, float]], limits: FieldLimits, day: float = 28.0
) -> list[str]:
    return [one.rule for one in check_value(value, day, history, limits, OTHERS if limits is HEIGHT else ())]


def test_robust_deviation_of_the_ten_values() -> None:
    """Median 2.45, MAD .15; the two bad values score 25.8558 and 26.3055, their plain z only 1.87 and 1.91
    (masking)."""
    from statistics import fmean, stdev

    expected = [-1.5738, 0.6745, -0.2248, 0.2248, -0.6745, -1.5738, -0.6745, 0.6745, 25.8558, 26.3055]
    assert median_absolute_deviation(TEN) == pytest.approx(0.15)
    scores = [(value - 2.45) / robust_deviation(TEN) for value in TEN]
    assert scores == [pytest.approx(score, abs=5e-5) for score in expected]
    plain = [(value - fmean(TEN)) / stdev(TEN) for value in TEN[-2:]]
    assert plain == [pytest.approx(1.8724, abs=5e-5), pytest.approx(1.9126, abs=5e-5)]


def test_robust_deviation_is_scipy_s_up_to_the_fifth_digit() -> None:
    """scipy scale="normal" divides by .6744898, the book by .6745: .2223903328 against .2223870."""
    from scipy.stats import median_abs_deviation

    assert median_abs_deviation(TEN, scale="normal") == pytest.approx(0.2223903328, abs=5e-11)
    assert robust_deviation(TEN) == pytest.approx(0.15 / 0.6745, rel=1e-12)


def test_more_than_half_alike_falls_back_on_the_mean_distance() -> None:
    """0 0 0 0 0 0 1 0 0 7: 6.9815 for the 7 and .9974 for the 1 (pest counts)."""
    scale = robust_deviation([0, 0, 0, 0, 0, 0, 1, 0, 0, 7])
    # 7 / (1.253314 * .8) = 6.9815, 1 / (1.253314 * .8) = .9974
    assert 7 / scale == pytest.approx(6.9815, abs=1e-4)
    assert 1 / scale == pytest.approx(0.9974, abs=1e-4)
    assert robust_deviation([3.0, 3.0, 3.0]) == 0.0
    with pytest.raises(ValueError):
        robust_deviation([])


def test_what_may_have_been_meant() -> None:
    """By hand: 112 may be 11 or 1120 by a place, 121 swapped, 12 with a digit doubled, 1312 with one
    dropped."""
    meant = meant_values(112.0)
    assert Meant("ten-times", 11.0) in meant
    assert Meant("tenth", 1120.0) in meant
    assert Meant("digits-swapped", 121.0) in meant
    assert Meant("digit-doubled", 12.0) in meant
    assert Meant("digit-dropped", 1312.0) in meant
    assert all(one.value != 112.0 for one in meant)
    decimal = meant_values(8.5, decimals=1)
    assert Meant("tenth", 85.0) in decimal
    assert Meant("digit-dropped", 84.5) in decimal
    assert Meant("digits-swapped", 5.8) in decimal
    with pytest.raises(ValueError):
        meant_values(-1.0)


@pytest.mark.parametrize(
    ("value", "first_rule", "expected"),
    [
        (810.0, "ten-times", 81.0),
        (8.0, "digit-dropped", None),
        (811.0, "digit-doubled", 81.0),
        (18.0, "digits-swapped", 81.0),
        (74.0, "below-last-week", 81.5),
        (93.0, "out-of-line", 81.5),
    ],
)
def test_each_slip_on_a_height_is_named(value: float, first_rule: str, expected: float | None) -> None:
    """The plant grew 5, 6 and 5 cm, so 81 is right this week: what one would have expected is offered."""
    doubts = check_value(value, 28.0, PAST, HEIGHT, OTHERS)
    assert first_rule in [one.rule for one in doubts]
    found = next(one for one in doubts if one.rule == first_rule)
    assert found.message_key == f"doubt.{first_rule}"
    if expected is not None:
        assert found.expected == pytest.approx(expected, abs=0.5)


def test_clean_values_raise_no_doubt() -> None:
    for value in (78.0, 79.0, 81.0, 83.0, 84.0):
        assert check_value(value, 28.0, PAST, HEIGHT, OTHERS) == []
    for value in (0.0, 3.0, 5.0, 7.0):
        assert check_value(value, 28.0, [(0.0, 2.0), (7.0, 3.0), (14.0, 4.0), (21.0, 3.0)], FRUIT) == []


def test_decimal_point_lost_in_a_field_with_one_decimal() -> None:
    past = [(day, height + 0.4) for day, height in PAST]
    limits = FieldLimits(5.0, 400.0, 1.5, decimals=1, never_falls=True)
    doubts = check_value(815.0, 28.0, past, limits)
    assert (doubts[0].rule, doubts[0].expected) == ("ten-times", 81.5)
    assert check_value(8.1, 28.0, past, limits)[0].expected == pytest.approx(81.0, abs=1.0)


def test_hard_limits_hold_without_any_past() -> None:
    assert [one.rule for one in check_value(401.0, 0.0, [], HEIGHT)] == ["above-highest"]
    assert "below-lowest" in _rules(-1.0, [], FRUIT)
    assert [one.rule for one in check_value(30.0, 0.0, [], FRUIT)] == []


def test_a_fall_within_the_measuring_error_is_let_pass() -> None:
    slow = [(0.0, 100.0), (7.0, 101.0), (14.0, 102.0)]
    assert "below-last-week" not in _rules(101.0, slow, HEIGHT, 21.0)
    assert "below-last-week" in _rules(100.5, slow, HEIGHT, 21.0)


def test_the_largest_rise_scales_with_the_weeks_between() -> None:
    """20 cm a week: 38 cm in two weeks is allowed, 42 is not."""
    past = [(0.0, 50.0)]
    limits = FieldLimits(5.0, 400.0, 1.5, never_falls=True, largest_weekly_rise=20.0)
    assert check_value(88.0, 14.0, past, limits) == []
    assert [one.rule for one in check_value(92.0, 14.0, past, limits)] == ["rose-too-much"]


def test_a_warm_week_for_all_is_no_slip() -> None:
    """All neighbours grew 12 cm; this plant's past says 5: the neighbours speak for it. Alone it is
    doubted."""
    warm = [Neighbour(last + 12.0, last) for last in (75.0, 85.0, 67.0, 60.0)]
    assert check_value(88.0, 28.0, PAST, HEIGHT, warm) == []
    assert check_value(88.0, 28.0, PAST, HEIGHT)[-1].rule == "out-of-line"


def test_counts_are_judged_on_the_root_scale() -> None:
    """Anscombe 1948: 2 sqrt(x + 3/8) has deviation 1; from a median of 3, 30 lies far out and 7 does not."""
    past = [(0.0, 3.0), (7.0, 3.0), (14.0, 3.0)]
    ahead = expect_from_past(past, 21.0, FRUIT)
    assert ahead is not None
    widened = math.sqrt(1 + math.pi / 2 / 3)
    assert ahead.distance(7.0) == pytest.approx((2 * math.sqrt(7.375) - 2 * math.sqrt(3.375)) / widened)
    assert next(one.rule for one in check_value(30.0, 21.0, past, FRUIT)) == "ten-times"
    assert check_value(33.0, 21.0, past, FRUIT)[0].rule == "digit-doubled"


def test_a_weak_explanation_is_not_enough() -> None:
    """11 where 4 is usual: squared distance 4.3, that of 1 (a digit doubled) 2.2; 2.1 is less than 9 to 1
    asks for."""
    assert check_value(11.0, 21.0, [(0.0, 4.0), (7.0, 4.0), (14.0, 4.0)], FRUIT) == []


def test_expectations_need_something_to_go_by() -> None:
    assert expect_from_past([(0.0, 50.0)], 7.0, HEIGHT) is None
    assert expect_from_past([], 7.0, FRUIT) is None
    assert expect_from_neighbours(50.0, OTHERS[:2], HEIGHT) is None
    assert expect_from_neighbours(None, OTHERS, FRUIT) is None
    level = expect_from_neighbours(None, OTHERS, HEIGHT)
    assert level is not None
    assert level.centre == pytest.approx(76.0)
    ahead = expect_from_neighbours(50.0, OTHERS, HEIGHT)
    assert ahead is not None
    assert ahead.centre == pytest.approx(55.5)


def test_row_repeated() -> None:
    row = [81.0, 3.0, 2.0, 0.0]
    assert [one.rule for one in check_repeated_row(row, list(row))] == ["row-repeated"]
    assert check_repeated_row([82.0, 3.0, 2.0, 0.0], row) == []
    assert check_repeated_row([81.0, 3.0, None, None], [81.0, 3.0, None, None]) == []
    assert check_repeated_row([0.0, 0.0, 0.0], [0.0, 0.0, 0.0]) == []
    with pytest.raises(ValueError):
        check_repeated_row([1.0], [1.0, 2.0])


def test_rows_one_plant_off_are_found_where_they_begin() -> None:
    """Ten plants of different height; row 4 skipped, then row 4 keyed twice; clean rows and one slip are no
    shift."""
    heights = [61.0, 84.0, 70.0, 95.0, 58.0, 77.0, 88.0, 66.0, 92.0, 73.0]
    expected = [expect_from_past([(0.0, h - 10.0), (7.0, h - 5.0)], 14.0, HEIGHT) for h in heights]
    assert check_row_order([*heights], expected) == []
    (skipped,) = check_row_order([*heights[:4], *heights[5:], None], expected)
    assert (skipped.first_row, skipped.doubt.rule) == (4, "row-skipped")
    (doubled,) = check_row_order([*heights[:5], *heights[4:9]], expected)
    assert (doubled.first_row, doubled.doubt.rule) == (5, "row-doubled")
    assert check_row_order([*heights[:4], 580.0, *heights[5:]], expected) == []
    assert check_row_order([*heights[:4], None, None], expected[:6]) == []
    with pytest.raises(ValueError):
        check_row_order(heights[:-1], expected)


def test_impossible_input_is_refused() -> None:
    for call in (
        lambda: check_value(math.nan, 28.0, PAST, HEIGHT),
        lambda: check_value(81.0, 21.0, PAST, HEIGHT),
        lambda: check_value(81.0, 28.0, PAST[::-1], HEIGHT),
        lambda: FieldLimits(10.0, 5.0, 1.0),
        lambda: FieldLimits(0.0, 5.0, 0.0),
    ):
        with pytest.raises(ValueError):
            call()
