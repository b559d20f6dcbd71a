"""The day a line reaches a level, against Graybill & Iyer's worked examples and simulation."""

import math
import random

import pytest

from bayround.agronomy.reaching import ReachingDay, day_line_reaches
from bayround.agronomy.refusals import NO_CHANGE_IN_DATE, SLOPE_NOT_CLEAR, TOO_FEW_DATES, Refused

# Graybill & Iyer 1994, Regression Analysis, ch. 6, as in the tests of R package investr.
THERMOSTAT = (
    [96.0, 98.0, 100.0, 102.0, 104.0, 106.0, 108.0, 110.0],
    [95.71, 98.16, 99.52, 102.09, 103.79, 106.18, 108.14, 110.21],
)
CHAMBER = (
    [10.0 * i for i in range(11)],
    [206.36, 225.52, 252.18, 289.33, 318.11, 349.49, 383.03, 410.70, 444.40, 469.14, 501.16],
)
# Crystal weights: data from memory, confirmed by the published 9.93 (8.65, 11.05).
CRYSTAL = (
    [2.0 * i for i in range(1, 15)],
    [0.08, 1.12, 4.43, 4.98, 4.92, 7.18, 5.57, 8.40, 8.81, 10.81, 11.16, 10.12, 13.12, 15.04],
)


@pytest.mark.parametrize(
    ("data", "level", "new", "confidence", "published", "full", "g"),
    [
        (
            THERMOSTAT,
            104.0,
            1,
            0.95,
            (103.995, 103.4, 104.6),
            (103.9949156, 103.4040511, 104.5894594),
            0.0018456,
        ),
        (
            THERMOSTAT,
            100.0,
            1,
            0.90,
            (100.1, 99.63, 100.59),
            (100.1123180, 99.6294029, 100.5885031),
            0.0011639,
        ),
        (CHAMBER, 400.0, None, 0.99, (66.5, 65.07, 68.03), (66.5200432, 65.0708935, 68.0258325), 0.0017113),
        (CRYSTAL, 5.0, None, 0.90, (9.93, 8.65, 11.05), (9.929058, 8.650259, 11.047897), None),
    ],
)
def test_published_inverse_predictions(
    data: tuple[list[float], list[float]],
    level: float,
    new: int | None,
    confidence: float,
    published: tuple[float, float, float],
    full: tuple[float, float, float],
    g: float | None,
) -> None:
    result = day_line_reaches(*data, level, confidence, new)
    assert isinstance(result, ReachingDay)
    found = (result.day, result.low, result.high)
    for ours, printed, computed in zip(found, published, full, strict=True):
        digits = len(str(printed).partition(".")[2])
        assert ours == pytest.approx(printed, abs=0.5001 * 10**-digits)
        assert ours == pytest.approx(computed, abs=5e-7)
    if g is not None:
        assert result.g == pytest.approx(g, abs=5e-8)


def test_slope_and_its_error_are_scipy_s() -> None:
    from scipy.stats import linregress

    line = linregress(*CRYSTAL)
    result = day_line_reaches(*CRYSTAL, 20.0)
    assert isinstance(result, ReachingDay)
    assert (result.slope_per_day, result.slope_standard_error) == (
        pytest.approx(line.slope, rel=1e-12),
        pytest.approx(line.stderr, rel=1e-10),
    )
    assert result.days_beyond_last == pytest.approx(result.day - 28.0)
    assert result.day > 28.0


def test_a_flat_series_gives_no_date() -> None:
    """Trap: the plain division answers "day 322"; g is 58.2358, far above 1, so the set of days is the
    whole line."""
    days, values = [0.0, 7.0, 14.0, 21.0, 28.0], [10.1, 10.4, 9.9, 10.6, 10.2]
    assert day_line_reaches(days, values, 12.0) == Refused(SLOPE_NOT_CLEAR)
    assert day_line_reaches(days, [10.0] * 5, 12.0) == Refused(SLOPE_NOT_CLEAR)


def test_refused_exactly_when_the_slope_s_t_test_is_not_significant() -> None:
    """g >= 1 is the same as |t| <= its critical value (scipy linregress p-value), at 95 and 80 %."""
    from scipy.stats import linregress

    draw = random.Random(6)
    days = [0.0, 7.0, 14.0, 21.0, 28.0, 35.0]
    for _ in range(200):
        values = [0.03 * day + draw.gauss(50.0, 1.0) for day in days]
        p_value = linregress(days, values).pvalue
        for confidence in (0.95, 0.80):
            refused = isinstance(day_line_reaches(days, values, 60.0, confidence), Refused)
            assert refused == (p_value >= 1 - confidence)


def test_falling_lines_and_passed_levels() -> None:
    """Mirrored thermostat: same days; a level passed already lies before the last reading."""
    days, values = THERMOSTAT
    up = day_line_reaches(days, values, 104.0)
    down = day_line_reaches(days, [-value for value in values], -104.0)
    assert isinstance(up, ReachingDay)
    assert isinstance(down, ReachingDay)
    assert (down.day, down.low, down.high) == (
        pytest.approx(up.day),
        pytest.approx(up.low),
        pytest.approx(up.high),
    )
    assert up.days_beyond_last < 0.0


def test_too_few_or_equal_days_and_impossible_input() -> None:
    assert day_line_reaches([0.0, 7.0], [10.0, 15.0], 20.0) == Refused(TOO_FEW_DATES)
    assert day_line_reaches([], [], 20.0) == Refused(TOO_FEW_DATES)
    assert day_line_reaches([7.0, 7.0, 7.0], [10.0, 15.0, 12.0], 20.0) == Refused(NO_CHANGE_IN_DATE)
    days, values = [0.0, 7.0, 14.0], [10.0, 15.0, 21.0]
    with pytest.raises(ValueError):
        day_line_reaches(days, values[:2], 20.0)
    with pytest.raises(ValueError):
        day_line_reaches(days, [10.0, 15.0, math.nan], 20.0)
    with pytest.raises(ValueError):
        day_line_reaches(days, values, math.inf)
    with pytest.raises(ValueError):
        day_line_reaches(days, values, 30.0, new_plants=0)
    with pytest.raises(ValueError):
        day_line_reaches(days, values, 30.0, 1.0)


def test_fieller_covers_by_simulation() -> None:
    """Six weekly bay means, 5 cm a week, sd 2 cm: the true day of 150 cm lies inside in 94 to 96.2 %
    (refusals apart)."""
    draw = random.Random(15)
    days = [7.0 * week for week in range(6)]
    covered = made = 0
    for _ in range(4000):
        result = day_line_reaches(
            days, [60.0 + 5.0 * day / 7.0 + draw.gauss(0.0, 2.0) for day in days], 150.0
        )
        if isinstance(result, ReachingDay):
            made += 1
            covered += result.low <= 126.0 <= result.high
    assert made > 3990
    assert 0.94 <= covered / made <= 0.962
