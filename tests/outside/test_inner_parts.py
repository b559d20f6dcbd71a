"""Inner parts of the longer computations, each against a certified value, a reference library or a hand sum of its own."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from bayround.agronomy.anova import Source, anova_line, fit_layout, no_spread_left
from bayround.agronomy.guards import not_negative_number, share_from_none_to_all
from bayround.agronomy.pick_windows import RipeningFruit, pick_windows
from bayround.agronomy.repeated_looks import chance_of_false_finding
from bayround.agronomy.ripening_sums import (
    FruitWeight,
    Sample,
    expected_fruit,
    most_when_none_seen,
    variances,
)
from bayround.agronomy.ripening_time import FruitStage, normal_ramp
from bayround.agronomy.sampling import sample_mean_and_deviation
from bayround.agronomy.split_plot import fit_split_plot
from bayround.agronomy.stage_ages import even_ages
from bayround.agronomy.trial_checks import Scale
from bayround.agronomy.trial_factors import HowToCompare, layout_factors, split_plot_factors
from bayround.agronomy.trial_result import Method
from bayround.agronomy.walking import Stop, walking_order
from published_trials import OATS_PLOTS, PLANT_GROWTH, long_form

TUKEY = HowToCompare(Scale.PLAIN, Method.TUKEY, 0.05)


def test_mean_and_deviation_of_a_certified_set() -> None:
    """NIST StRD NumAcc3 (1,001 values about 1,000,000.2): mean 1000000.2, standard deviation 0.1, both exact.

    Trap: the mean of squares less the square of the mean keeps no digit of the deviation.
    """
    values = [1_000_000.2] + [1_000_000.1, 1_000_000.3] * 500
    mean, deviation = sample_mean_and_deviation(values)
    assert mean == pytest.approx(1_000_000.2, rel=1e-15)
    assert deviation == pytest.approx(0.1, rel=1e-8)
    careless = sum(one * one for one in values) / 1001 - (sum(values) / 1001) ** 2
    assert math.sqrt(abs(careless)) != pytest.approx(0.1, rel=1e-3)


def test_a_line_of_the_table_has_rs_f_and_tail() -> None:
    """PlantGrowth (Dobson 1983) in R: 3.76634 on 2 and 10.49209 on 27, F 4.846, p .01591; tail by scipy in full."""
    error = anova_line(Source.ERROR, 27, 10.49209, None)
    line = anova_line(Source.TREATMENT, 2, 3.76634, error)
    assert (round(line.f or 0, 3), round(line.p_value or 0, 5)) == (4.846, 0.01591)
    assert line.p_value == pytest.approx(stats.f.sf(line.f, 2, 27), rel=1e-12)
    assert (error.f, line.tested_against) == (None, Source.ERROR)


def test_rounding_is_no_spread_and_the_smallest_real_one_is() -> None:
    """Numbers of about 16 digits (IEEE 754 double): noise of one unit in the last place is none, of 1e-12 is one."""
    values = np.full(12, 4.7e6)
    noise = np.spacing(4.7e6)
    assert no_spread_left(12 * noise**2, values)
    assert no_spread_left(0.0, values)
    assert not no_spread_left(12 * (4.7e6 * 1e-12) ** 2, values)


def test_the_smooth_ramp_is_the_integral_of_the_normal_distribution() -> None:
    for time, deviation in ((3.0, 2.0), (-1.5, 2.0), (0.0, 1.0), (40.0, 5.0)):
        area, _error = integrate.quad(lambda x, s=deviation: stats.norm.cdf(x / s), -np.inf, time)
        assert normal_ramp(time, deviation) == pytest.approx(area, abs=1e-9)
    assert normal_ramp(0.0, 1.0) == pytest.approx(1 / math.sqrt(2 * math.pi), rel=1e-15)
    assert (normal_ramp(-2.0, 0.0), normal_ramp(2.0, 0.0)) == (0.0, 2.0)


def sample(counts: list[list[float]], *, clock: float = 0.0) -> Sample:
    """A hundred plants, one stage of ten days of which every second fruit is picked, ages spread evenly."""
    return Sample(
        np.array(counts), [FruitStage("green", 10.0, 0.5)], 100, 0.0, clock, None, FruitWeight(0.2), 0.8,
        [even_ages(10.0, 1.0)], 0.0, 7.0,
    )  # fmt: skip


def test_expected_fruit_by_hand() -> None:
    """Six fruit a plant on 100 plants, half of them within five days, half of these picked: 150."""
    seen = sample([[4.0], [8.0]])
    assert expected_fruit(seen, None, 5.0) == pytest.approx(150.0, rel=1e-12)
    assert expected_fruit(seen, 5.0, 10.0) == pytest.approx(150.0, rel=1e-12)
    assert expected_fruit(seen, None, 99.0) == pytest.approx(300.0, rel=1e-12)


def test_variances_by_hand() -> None:
    """Plants: 100² (1 - 2/100) s²/2 with s² = 8 · .25² (Cochran 1977, ch. 2); luck: binomial, 600 · .25 · .75.

    A clock one day fast or slow moves 30 fruit either way: 900.
    """
    found = variances(sample([[4.0], [8.0]], clock=1.0), None, 5.0)
    assert found.plants == pytest.approx(100**2 * 0.98 * 8 * 0.25**2 / 2, rel=1e-12)
    assert found.luck == pytest.approx(600 * 0.25 * 0.75, rel=1e-12)
    assert found.clock == pytest.approx(30.0**2, rel=1e-9)
    assert (found.chances, found.ages) == (0.0, 0.0)


def test_limit_when_no_plant_carries_any_is_garwoods() -> None:
    """Exact Poisson limit of a count of 0 (Garwood 1936): χ²(.9; 2)/2 = 2.302585 fruit on the plants looked at."""
    limit = stats.chi2.ppf(0.9, 2) / 2
    found = most_when_none_seen(sample([[0.0]] * 4), None, 5.0)
    assert found == pytest.approx(limit / 4 * 100 * 0.25, rel=1e-12)


def test_pick_windows_by_hand() -> None:
    """The same hundred plants week by week: 150 fruit in the first five days, 150 in the next, 0.2 kg each."""
    fruit = RipeningFruit((FruitStage("green", 10.0, 0.5),), 0.0, 0.0)
    first, second = pick_windows(
        [[4.0], [8.0]], fruit, week_ends=(5.0, 10.0), plants_standing=100, weight=FruitWeight(0.2), week=7.0
    )
    assert (first.fruit, second.fruit) == (pytest.approx(150.0), pytest.approx(150.0))
    assert (first.kg, second.kg) == (pytest.approx(30.0), pytest.approx(30.0))
    assert first.error_plants == pytest.approx(math.sqrt(100**2 * 0.98 * 0.25), rel=1e-9)


@pytest.mark.parametrize(("looks", "published"), [(1, 0.050), (2, 0.083), (5, 0.142), (10, 0.193)])
def test_looking_again_and_again(looks: int, published: float) -> None:
    """Armitage, McPherson & Rowe 1969, table 2: .05, .083, .142, .193; trap: independent looks would give .4013 at 10."""
    assert chance_of_false_finding(looks) == pytest.approx(published, abs=0.0011)
    if looks == 10:
        assert round(1 - 0.95**10, 4) == 0.4013
        assert chance_of_false_finding(10) < 0.25


def test_compared_means_of_a_layout_are_rs() -> None:
    """PlantGrowth: means 5.032, 4.661, 5.526, pooled error .1971284 (R's lm); trt2 - trt1 p .0120064 (TukeyHSD)."""
    values, names = long_form(PLANT_GROWTH)
    (factor,) = layout_factors(fit_layout(values, names), TUKEY)
    assert [round(one.mean, 3) for one in factor.means] == [5.032, 4.661, 5.526]
    assert factor.means[0].standard_error == pytest.approx(0.1971284, abs=5e-8)
    pair = next(one for one in factor.comparisons if {one.first, one.second} == {"trt1", "trt2"})
    assert pair.p_value == pytest.approx(0.0120064, abs=1e-6)
    assert [one.letters for one in factor.means] == ["ab", "b", "a"]


def test_compared_means_of_a_split_plot_are_yatess() -> None:
    """Oats (Yates 1935): nitrogen 79.39, 98.89, 114.22, 123.39; the pair's error √(2 · 177.083 / 18) = 4.436."""
    fit = fit_split_plot(
        [p[3] for p in OATS_PLOTS], [p[0] for p in OATS_PLOTS], [p[1] for p in OATS_PLOTS],
        [p[2] for p in OATS_PLOTS],
    )  # fmt: skip
    whole, sub = split_plot_factors(fit, TUKEY)[:2]
    assert [round(one.mean, 2) for one in sub.means] == [79.39, 98.89, 114.22, 123.39]
    assert {round(one.standard_error, 3) for one in sub.comparisons} == {4.436}
    assert [one.letters for one in whole.means] == ["a", "a", "a"]  # varieties: F 1.49, p .27


def test_the_walk_goes_up_one_row_and_down_the_next() -> None:
    """Boustrophedon, as the ox ploughs; common practice, no source. Rows without a stop are not counted."""
    stops = [Stop(3, 9), Stop(1, 2), Stop(3, 1), Stop(1, 7), Stop(6, 4), Stop(6, 5)]
    walked = [(stop.row, stop.position) for stop in walking_order(stops)]
    assert walked == [(1, 2), (1, 7), (3, 9), (3, 1), (6, 4), (6, 5)]


@pytest.mark.parametrize("wrong", [-1e-9, math.nan, math.inf])
def test_what_is_below_nothing_or_no_number_is_refused(wrong: float) -> None:
    """Definition: a length, count or weight lies from 0 up and is finite."""
    assert not_negative_number(0, "n") == 0.0
    with pytest.raises(ValueError, match="must not be below 0"):
        not_negative_number(wrong, "n")


@pytest.mark.parametrize("wrong", [-1e-9, 1 + 1e-9, math.nan])
def test_what_is_no_share_is_refused(wrong: float) -> None:
    """Definition: a share lies from 0 to 1, both taken in."""
    assert [share_from_none_to_all(one, "s") for one in (0, 1)] == [0.0, 1.0]
    with pytest.raises(ValueError, match="from 0 to 1"):
        share_from_none_to_all(wrong, "s")
