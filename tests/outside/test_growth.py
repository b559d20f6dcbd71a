"""Growth of the same plants and robust trends against Student's, Sen's and NIST's own data."""

import math
import random

import pytest

from bayround.agronomy.growth import (
    PairedGrowth,
    Trend,
    paired_growth,
    theil_sen_trend,
)
from bayround.agronomy.refusals import NO_CHANGE_IN_DATE, NO_PLANT_TWICE, TOO_FEW_DATES, Refused

# Student 1908, Biometrika 6:1-25: hours of sleep gained by ten patients under two drugs.
FIRST = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
SECOND = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]

# Sen 1968, J. Am. Stat. Assoc. 63:1379-1389, the worked example (as in scipy's own tests).
SEN_X, SEN_Y = [1.0, 2.0, 3.0, 4.0, 10.0, 12.0, 18.0], [9.0, 15.0, 19.0, 20.0, 45.0, 55.0, 78.0]


def _growth(earlier: dict[str, float], later: dict[str, float], days: float) -> PairedGrowth[str]:
    result = paired_growth(earlier, later, days)
    assert isinstance(result, PairedGrowth)
    return result


def test_student_s_sleep_data() -> None:
    """Mean 1.58, s sqrt(13.616/9) worked by hand, 95 % interval (.7001142367, 2.4598857633); scipy's paired
    test as second opinion.

    Trap: taken as unpaired the interval reaches below zero (t 1.86, p .079); the pairing is the result.
    """
    from scipy.stats import ttest_ind, ttest_rel

    names = "abcdefghij"
    result = _growth(dict(zip(names, FIRST, strict=True)), dict(zip(names, SECOND, strict=True)), 7)
    assert result.change_cm.value == pytest.approx(1.58, abs=1e-12)
    assert result.standard_deviation_cm == pytest.approx(math.sqrt(13.616 / 9), rel=1e-12)
    assert result.change_cm.low == pytest.approx(0.7001142367, abs=5e-11)
    assert result.change_cm.high == pytest.approx(2.4598857633, abs=5e-11)
    paired = ttest_rel(SECOND, FIRST).confidence_interval(0.95)
    assert (result.change_cm.low, result.change_cm.high) == (
        pytest.approx(paired.low),
        pytest.approx(paired.high),
    )
    assert ttest_ind(SECOND, FIRST).confidence_interval(0.95).low < 0.0


def test_only_the_same_plants_count_and_the_others_are_named() -> None:
    """A tall plant that dropped out and a short one that joined must not turn growth into shrinking."""
    earlier = {"1": 80.0, "2": 90.0, "3": 100.0, "4": 240.0}
    later = {"1": 85.0, "2": 94.0, "3": 99.0, "5": 20.0}
    result = _growth(earlier, later, 7)
    assert result.change_cm.value == pytest.approx((5 + 4 - 1) / 3)
    assert (result.dropped_out, result.joined, result.shrank) == (("4",), ("5",), ("3",))
    assert result.n == 3
    assert result.change_by_plant == (("1", 5.0), ("2", 4.0), ("3", -1.0))
    assert sum(later.values()) / 4 < sum(earlier.values()) / 4


def test_rates_scale_with_the_days_between() -> None:
    """8 cm in 8 days is 1 cm a day and 7 a week, whatever day the round fell on."""
    result = _growth({"a": 50.0, "b": 60.0}, {"a": 57.0, "b": 69.0}, 8)
    assert (result.cm_per_day.value, result.cm_per_week.value) == (pytest.approx(1.0), pytest.approx(7.0))
    assert result.cm_per_week.low == pytest.approx(7 * result.change_cm.low / 8)  # type: ignore[operator]


def test_one_plant_has_no_interval_and_none_is_refused() -> None:
    one = _growth({"a": 50.0, "b": 60.0}, {"a": 57.0}, 7)
    assert (one.change_cm.value, one.change_cm.low, one.standard_deviation_cm) == (7.0, None, None)
    assert paired_growth({"a": 50.0}, {"b": 57.0}, 7) == Refused(NO_PLANT_TWICE)
    for earlier, days in (({"a": 50.0}, 0.0), ({"a": math.nan}, 7.0)):
        with pytest.raises(ValueError):
            paired_growth(earlier, {"a": 57.0}, days)


def test_finite_population_narrows_the_interval() -> None:
    """Ten of twelve plants: half width times sqrt(1 - 10/12)."""
    earlier, later = ({str(i): y for i, y in enumerate(ys)} for ys in (FIRST, SECOND))
    wide, narrow = _growth(earlier, later, 7), paired_growth(earlier, later, 7, population=12)
    assert isinstance(narrow, PairedGrowth)
    assert wide.change_cm.high is not None
    assert narrow.change_cm.high is not None
    assert (narrow.change_cm.high - 1.58) / (wide.change_cm.high - 1.58) == pytest.approx(
        math.sqrt(1 - 10 / 12)
    )


@pytest.mark.parametrize(
    ("level", "low", "high"), [(0.93, 26 / 7, 35 / 8), (0.95, 26 / 7, 35 / 8), (0.90, 3.75, 4.181818)]
)
def test_sen_s_example(level: float, low: float, high: float) -> None:
    """Slope 4, 93 % limits 26/7 and 35/8 as Sen printed them; 95 % the same, for the limits move in steps."""
    trend = theil_sen_trend(SEN_X, SEN_Y, level)
    assert isinstance(trend, Trend)
    assert (trend.slope_per_day, trend.intercept) == (4.0, 4.0)
    assert (trend.low, trend.high) == (pytest.approx(low, abs=5e-7), pytest.approx(high, abs=5e-7))


def test_one_bad_reading_does_not_bend_the_trend() -> None:
    """The last value keyed ten times too high: least squares goes from 4.02 to over 30, the median slope
    stays near 4."""
    from scipy.stats import linregress

    bad = [*SEN_Y[:-1], 780.0]
    trend = theil_sen_trend(SEN_X, bad)
    assert isinstance(trend, Trend)
    assert trend.slope_per_day == pytest.approx(4.0, abs=1.1)
    assert linregress(SEN_X, bad).slope > 30


def test_trend_is_refused_below_five_dates() -> None:
    """Kendall: with four dates all 24 orders leave 2/24 = .083 > .05, so no 95 % interval exists; with five
    2/120."""
    assert theil_sen_trend(SEN_X[:4], SEN_Y[:4]) == Refused(TOO_FEW_DATES)
    assert isinstance(theil_sen_trend(SEN_X[:4], SEN_Y[:4], 0.90), Trend)
    assert isinstance(theil_sen_trend(SEN_X[:5], SEN_Y[:5]), Trend)
    assert theil_sen_trend([], []) == Refused(TOO_FEW_DATES)
    assert theil_sen_trend([3.0] * 6, SEN_Y[:6]) == Refused(NO_CHANGE_IN_DATE)
    with pytest.raises(ValueError):
        theil_sen_trend(SEN_X, SEN_Y[:-1])


def test_growth_interval_covers_by_simulation() -> None:
    """Ten plants growing 5 cm a week, sd 1.5, read to the centimetre: 95 % intervals hold 5 in 93.5 to 96.5
    %."""
    draw = random.Random(12)
    covered = 0
    for _ in range(2000):
        earlier = {plant: draw.gauss(80.0, 8.0) for plant in range(10)}
        later = {plant: round(height + draw.gauss(5.0, 1.5)) for plant, height in earlier.items()}
        result = paired_growth({plant: round(height) for plant, height in earlier.items()}, later, 7)
        assert isinstance(result, PairedGrowth)
        assert result.cm_per_week.low is not None
        assert result.cm_per_week.high is not None
        covered += result.cm_per_week.low <= 5.0 <= result.cm_per_week.high
    assert 0.935 <= covered / 2000 <= 0.965
