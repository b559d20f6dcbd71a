"""Means, ratios, clusters and comparisons against survey data sets, R's survey package, scipy and
statsmodels."""

import math
import random

import pytest

from bayround.agronomy.refusals import NO_SCATTER, Refused
from bayround.agronomy.sampling import (
    cluster_estimate,
    compare_bays,
    design_effect,
    intraclass_correlation,
    mean_interval,
    ratio_estimate,
    walked_mean_interval,
)

EIGHT = [12, 15, 9, 14, 11, 10, 13, 16]

# Lohr, Sampling: Design and Analysis, dormitory example (data and published values from memory): grade points
# of four people in each of five of the 100 suites.
SUITES = [
    [3.08, 2.60, 3.44, 3.04],
    [2.36, 3.04, 3.28, 2.68],
    [2.00, 2.56, 2.52, 1.88],
    [3.00, 2.88, 3.44, 3.64],
    [2.68, 1.92, 3.28, 3.20],
]

# 15 of 757 Californian school districts, R package survey 4.1-1, data set apiclus1, per
# district: schools m, sum of api00, sum of enrolment, sum of pupils tested.
DISTRICTS = [
    (13, 9372, 6777, 6047),
    (34, 22508, 15038, 12618),
    (4, 2077, 1668, 1461),
    (13, 8593, 6958, 5935),
    (16, 11369, 9025, 7573),
    (2, 1116, 683, 610),
    (1, 551, 274, 199),
    (4, 1888, 1436, 1184),
    (12, 9111, 7375, 6431),
    (21, 13761, 14968, 12292),
    (9, 6386, 2180, 1877),
    (11, 7359, 6081, 4895),
    (37, 20394, 25814, 22452),
    (2, 905, 680, 532),
    (4, 2493, 1641, 1373),
]


def test_mean_of_eight_plants_out_of_forty() -> None:
    """Made example; formula of Cochran 1977, t quantile 2.3646242516 of scipy 1.17.1."""
    result = mean_interval(EIGHT, population=40)
    assert result.mean == 12.5
    assert result.standard_deviation == pytest.approx(2.4494897428, abs=5e-11)
    assert result.standard_error == pytest.approx(0.7745966692, abs=5e-11)
    assert (result.low, result.high) == (
        pytest.approx(10.66836993, abs=5e-9),
        pytest.approx(14.33163007, abs=5e-9),
    )


def test_mean_without_population_is_wider_and_agrees_with_scipy() -> None:
    """scipy.stats.t.interval as second implementation."""
    from scipy.stats import sem, t

    result = mean_interval(EIGHT)
    assert (result.low, result.high) == (
        pytest.approx(10.45217533, abs=5e-9),
        pytest.approx(14.54782467, abs=5e-9),
    )
    low, high = t.interval(0.95, 7, loc=12.5, scale=sem(EIGHT))
    assert (result.low, result.high) == (pytest.approx(low, rel=1e-12), pytest.approx(high, rel=1e-12))


def _sample_with(mean: float, variance: float, n: int) -> list[float]:
    """n values with exactly this mean and variance."""
    step = math.sqrt(variance * (n - 1) / n)
    return [mean + step, mean - step] * (n // 2)


def test_mean_of_200_schools_of_6194() -> None:
    """R survey 4.1-1, apisrs: mean 656.585, s2 17682.4248995, SE 9.2497220395, t interval."""
    result = mean_interval(_sample_with(656.585, 17682.4248995, 200), population=6194)
    assert result.standard_error == pytest.approx(9.2497220395, abs=5e-9)
    assert (result.low, result.high) == (
        pytest.approx(638.3449500921, abs=1e-8),
        pytest.approx(674.8250499079, abs=1e-8),
    )


def test_mean_of_300_counties_of_3078() -> None:
    """Lohr's agsrs, R survey: SE with finite population correction 18898.434428 (textbook 18,898: from
    memory)."""
    result = mean_interval(_sample_with(297897.046667, 344551.894757**2, 300), population=3078)
    assert result.standard_error == pytest.approx(18898.434428, abs=5e-6)


def test_one_plant_has_no_interval_and_a_count_of_all_has_none_either() -> None:
    one = mean_interval([7.0])
    assert (one.mean, one.low, one.high, one.standard_error) == (7.0, None, None, None)
    everything = mean_interval(EIGHT, population=8)
    assert (everything.low, everything.high) == (12.5, 12.5)


@pytest.mark.parametrize(
    ("values", "population"), [([], None), ([1.0, math.nan], None), ([math.inf], None), (EIGHT, 7)]
)
def test_impossible_samples_are_refused(values: list[float], population: int | None) -> None:
    with pytest.raises(ValueError):
        mean_interval(values, population)


@pytest.mark.parametrize("level", [0.0, 1.0, 95.0, -0.5])
def test_impossible_levels_are_refused(level: float) -> None:
    with pytest.raises(ValueError):
        mean_interval(EIGHT, level=level)


def test_walked_sample_uses_successive_differences() -> None:
    """Variance of the mean .085 (SE .2915476) against .481 (SE .6935416) by the random-sample formula; N =
    100.

    Formula of Wolter 1985, ch. 7 (from memory), recomputed by hand: squares of the steps sum to 17.
    """
    walk = [3, 4, 4, 6, 5, 7, 8, 7, 9, 10]
    assert walked_mean_interval(walk, 100).standard_error == pytest.approx(0.2915476, abs=5e-8)
    assert mean_interval(walk, 100).standard_error == pytest.approx(0.6935416, abs=5e-8)
    two = walked_mean_interval([3.0, 4.0])
    assert two.high == pytest.approx(mean_interval([3.0, 4.0]).high, rel=1e-12)


def test_ratio_over_districts_is_that_of_r_survey() -> None:
    """R survey 4.1-1, svyratio and svymean on apiclus1 with 757 districts, t on 14 degrees of freedom."""
    m, api, enrolled, tested = zip(*DISTRICTS, strict=True)
    mean = ratio_estimate(api, m, population=757)
    assert mean.ratio == pytest.approx(644.1693989071, abs=5e-11)
    assert mean.standard_error == pytest.approx(23.5422406938, abs=5e-11)
    assert (mean.low, mean.high) == (
        pytest.approx(593.6763144633, abs=5e-10),
        pytest.approx(694.6624833509, abs=5e-10),
    )
    ratio = ratio_estimate(tested, enrolled, population=757)
    assert ratio.ratio == pytest.approx(0.8497087417, abs=5e-11)
    assert ratio.standard_error == pytest.approx(0.0083862972, abs=5e-11)


def test_suites_as_clusters() -> None:
    """Lohr's dormitory example: mean 2.826, SE 0.1636649016, t(4) interval, ICC 0.3385759222, deff
    2.0157277667.

    The trap: taking the 20 people as independent gives an SE of .1121525746, 31 % too small.
    """
    result = cluster_estimate(SUITES, population_bays=100)
    assert result.mean == pytest.approx(2.826, abs=1e-12)
    assert result.standard_error == pytest.approx(0.1636649016, abs=5e-11)
    assert (result.low, result.high) == (
        pytest.approx(2.3715933852, abs=5e-11),
        pytest.approx(3.2804066148, abs=5e-11),
    )
    assert result.intraclass_correlation == pytest.approx(0.3385759222, abs=5e-11)
    assert result.design_effect == pytest.approx(2.0157277667, abs=5e-11)
    assert result.effective_n == pytest.approx(20 / 2.0157277667, rel=1e-9)
    naive = mean_interval([value for suite in SUITES for value in suite], population=400).standard_error
    assert naive == pytest.approx(0.1121525746, abs=5e-11)
    assert naive is not None
    assert result.standard_error > 1.4 * naive


def test_intraclass_correlation_with_unequal_sizes_against_statsmodels_anova() -> None:
    """Mean squares from statsmodels' anova_lm; typical size (N - sum of squares / N) / (k - 1) by hand."""
    import pandas
    from statsmodels.formula.api import ols
    from statsmodels.stats.anova import anova_lm

    groups = [[3.0, 4.0, 5.5], [7.0, 6.0], [2.0, 4.0, 3.0, 3.5, 2.5]]
    frame = pandas.DataFrame([(y, str(g)) for g, ys in enumerate(groups) for y in ys], columns=["y", "bay"])
    table = anova_lm(ols("y ~ bay", frame).fit())
    between, within = table["mean_sq"]
    size = (10 - (9 + 4 + 25) / 10) / 2
    assert intraclass_correlation(groups) == pytest.approx(
        (between - within) / (between + (size - 1) * within), rel=1e-12
    )


def test_correlation_can_be_negative_and_zero() -> None:
    assert intraclass_correlation([[1.0, 3.0], [1.0, 3.0]]) == -1.0
    assert intraclass_correlation([[2.0], [5.0]]) == 0.0
    assert intraclass_correlation([[2.0, 2.0], [2.0, 2.0]]) == 0.0
    assert cluster_estimate([[1.0, 3.0], [1.0, 3.0]]).effective_n == 4.0
    assert design_effect(10, 0.1) == pytest.approx(1.9)


def test_clusters_refuse_impossible_input() -> None:
    for groups in ([[1.0, 2.0]], [[1.0], []]):
        with pytest.raises(ValueError):
            cluster_estimate(groups)
    with pytest.raises(ValueError):
        ratio_estimate([1.0, 2.0], [0.0, 0.0])
    with pytest.raises(ValueError):
        ratio_estimate([1.0, 2.0], [1.0, -1.0])
    with pytest.raises(ValueError):
        ratio_estimate([1.0, 2.0, 3.0], [1.0, 1.0], population=5)


def test_two_bays_compared_as_by_scipy_and_statsmodels() -> None:
    """Dobson's plant growth data (1983), treatment 1 against 2; scipy's and statsmodels' Welch intervals."""
    from scipy.stats import ttest_ind
    from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

    one = [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69]
    two = [6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26]
    result = compare_bays(two, one)
    assert not isinstance(result, Refused)
    interval = ttest_ind(two, one, equal_var=False).confidence_interval(0.95)
    assert (result.low, result.high) == (
        pytest.approx(interval.low, rel=1e-11),
        pytest.approx(interval.high, rel=1e-11),
    )
    compared = CompareMeans(DescrStatsW(two), DescrStatsW(one)).tconfint_diff(usevar="unequal")
    assert (result.low, result.high) == (
        pytest.approx(compared[0], rel=1e-10),
        pytest.approx(compared[1], rel=1e-10),
    )
    assert result.told_apart
    few = compare_bays(two[:3], one[:3], level=0.99)
    assert not isinstance(few, Refused)
    assert not few.told_apart


def test_comparing_bays_counted_out_is_exact_and_no_scatter_is_refused() -> None:
    exact = compare_bays([1.0, 2.0], [1.0, 3.0], 2, 2)
    assert not isinstance(exact, Refused)
    assert (exact.low, exact.high, exact.told_apart) == (-0.5, -0.5, True)
    assert compare_bays([2.0, 2.0], [3.0, 3.0]) == Refused(NO_SCATTER)
    with pytest.raises(ValueError):
        compare_bays([2.0], [3.0, 3.0])


def test_intervals_cover_at_their_level_by_simulation() -> None:
    """4,000 bays of 60 plants, 30 seen: 95 % intervals must cover the bay's own mean in 94 to 96 % of them.

    Normal plants make the t interval exact; without the finite population correction it covers over 98.5 %.
    """
    draw = random.Random(20240105)
    covered = blind = 0
    for _ in range(4000):
        bay = [draw.gauss(100.0, 15.0) for _ in range(60)]
        truth = sum(bay) / 60
        seen = draw.sample(bay, 30)
        result, without = mean_interval(seen, 60), mean_interval(seen)
        assert result.low is not None
        assert result.high is not None
        assert without.low is not None
        assert without.high is not None
        covered += result.low <= truth <= result.high
        blind += without.low <= truth <= without.high
    assert 0.94 <= covered / 4000 <= 0.96
    assert blind / 4000 > 0.985


def test_cluster_interval_covers_where_the_plain_one_fails_by_simulation() -> None:
    """8 bays of 10 plants, correlation .5 within bays: plain t covers under 70 %, the cluster interval
    about 95 %."""
    draw = random.Random(7)
    covered = plain = 0
    for _ in range(1500):
        bays = []
        for _ in range(8):
            level = draw.gauss(0.0, 1.0)
            bays.append([level + draw.gauss(0.0, 1.0) for _ in range(10)])
        result = cluster_estimate(bays)
        single = mean_interval([value for bay in bays for value in bay])
        assert single.low is not None
        assert single.high is not None
        covered += result.low <= 0.0 <= result.high
        plain += single.low <= 0.0 <= single.high
    assert 0.935 <= covered / 1500 <= 0.965
    assert plain / 1500 < 0.70


def test_comparison_calls_equal_bays_different_in_five_of_a_hundred_by_simulation() -> None:
    draw = random.Random(11)
    false = 0
    for _ in range(2000):
        first = [draw.gauss(50.0, 4.0) for _ in range(8)]
        second = [draw.gauss(50.0, 9.0) for _ in range(12)]
        result = compare_bays(first, second)
        assert not isinstance(result, Refused)
        false += result.told_apart
    assert 0.038 <= false / 2000 <= 0.062
