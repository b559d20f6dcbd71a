"""Agreement of two scouts against Cohen's, Bland & Altman's and Lin's figures, statsmodels and R."""

import random

import pytest

from bayround.agronomy.agreement import (
    Concordance,
    Kappa,
    Weighting,
    cross_table,
    disagreement_weights,
    kappa,
    limits_of_agreement,
    lins_concordance,
    mean_difference,
)
from bayround.agronomy.refusals import NO_SPREAD_TO_COMPARE, ONE_CATEGORY_ONLY, Refused

# Cohen 1960, Educ. Psychol. Meas. 20:37-46 and 1968, Psychol. Bull. 70:213-220: 200 diagnoses by two judges.
COHEN = [[88, 14, 18], [10, 40, 10], [2, 6, 12]]
COHEN_WEIGHTS = [[0.0, 1.0, 3.0], [1.0, 0.0, 6.0], [3.0, 6.0, 0.0]]

# Bland & Altman 1986, Lancet i:307-310: peak flow by two meters.
LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]


def _kappa(
    table: list[list[int]], weighting: Weighting = "none", weights: list[list[float]] | None = None
) -> Kappa:
    result = kappa(table, weighting, weights)
    assert isinstance(result, Kappa)
    return result


def test_cohen_s_kappa() -> None:
    """Published .492; interval of Fleiss, Cohen & Everitt 1969 by statsmodels and R psych."""
    result = _kappa(COHEN)
    assert (result.observed, result.by_chance) == (pytest.approx(0.70), pytest.approx(0.41))
    assert result.kappa == pytest.approx(0.4915254237, abs=5e-11)
    assert result.standard_error == pytest.approx(0.0510018156, abs=5e-11)
    assert (result.low, result.high) == (
        pytest.approx(0.3915637021, abs=5e-11),
        pytest.approx(0.5914871454, abs=5e-11),
    )


def test_cohen_s_weighted_kappa() -> None:
    """Published .348 (1968); with his asymmetric weights .353."""
    result = _kappa(COHEN, weights=COHEN_WEIGHTS)
    assert result.observed == pytest.approx(1 - 0.90 / 6)
    assert result.by_chance == pytest.approx(1 - 1.38 / 6)
    assert result.kappa == pytest.approx(0.3478260870, abs=5e-11)
    assert result.standard_error == pytest.approx(0.0755040153, abs=5e-11)
    assert (result.low, result.high) == (
        pytest.approx(0.1998409364, abs=5e-11),
        pytest.approx(0.4958112375, abs=5e-11),
    )
    skewed = _kappa(COHEN, weights=[[0.0, 1.0, 4.0], [1.0, 0.0, 6.0], [2.0, 2.0, 0.0]])
    assert skewed.kappa == pytest.approx(0.3533834586, abs=5e-11)


@pytest.mark.parametrize(("weighting", "value"), [("linear", 0.4736842105), ("quadratic", 0.4545454545)])
def test_linear_and_quadratic_weights(weighting: Weighting, value: float) -> None:
    """scikit-learn and statsmodels give the same."""
    assert _kappa(COHEN, weighting).kappa == pytest.approx(value, abs=5e-11)


@pytest.mark.parametrize(
    ("weighting", "theirs"), [("none", None), ("linear", "linear"), ("quadratic", "quadratic")]
)
def test_kappa_of_random_tables_agrees_with_statsmodels(weighting: Weighting, theirs: str | None) -> None:
    """Value and standard error, both from statsmodels.stats.inter_rater."""
    from statsmodels.stats.inter_rater import cohens_kappa

    draw = random.Random(1)
    for size in (2, 3, 5):
        table = [[draw.randint(0, 9) + 12 * (i == j) for j in range(size)] for i in range(size)]
        ours, other = _kappa(table, weighting), cohens_kappa(table, wt=theirs)
        assert ours.kappa == pytest.approx(other.kappa, rel=1e-10)
        assert ours.standard_error == pytest.approx(other.std_kappa, rel=1e-10)


def test_disagreement_weights() -> None:
    assert disagreement_weights(3, "quadratic") == ((0.0, 1.0, 4.0), (1.0, 0.0, 1.0), (4.0, 1.0, 0.0))
    assert disagreement_weights(3, "none") == ((0.0, 1.0, 1.0), (1.0, 0.0, 1.0), (1.0, 1.0, 0.0))


def test_two_by_two_and_the_paradox() -> None:
    """20 5 / 10 15 gives .4, SE .1269960629; 90 % agreement may mean kappa -.0526316 or .8."""
    result = _kappa([[20, 5], [10, 15]])
    assert (result.kappa, result.standard_error) == (
        pytest.approx(0.4),
        pytest.approx(0.1269960629, abs=5e-11),
    )
    assert (result.low, result.high) == (
        pytest.approx(0.1510922905, abs=5e-11),
        pytest.approx(0.6489077095, abs=5e-11),
    )
    rare, even = _kappa([[90, 5], [5, 0]]), _kappa([[45, 5], [5, 45]])
    assert (rare.observed, even.observed) == (0.9, 0.9)
    assert (rare.kappa, even.kappa) == (pytest.approx(-0.0526316, abs=5e-8), pytest.approx(0.8))


def test_one_category_and_impossible_tables() -> None:
    assert kappa([[30, 0], [0, 0]]) == Refused(ONE_CATEGORY_ONLY)
    for table in ([[1]], [[1, 2], [3]], [[0, 0], [0, 0]], [[1, -1], [0, 3]]):
        with pytest.raises(ValueError):
            kappa(table)
    for weights in ([[0.0, 1.0]], [[0.0, -1.0], [1.0, 0.0]], [[0.0, 0.0], [0.0, 0.0]]):
        with pytest.raises(ValueError):
            kappa([[5, 1], [2, 7]], weights=weights)


def test_table_from_two_lists_of_grades() -> None:
    assert cross_table("aabbc", "abbbc", "abc") == ((1, 1, 0), (0, 2, 0), (0, 0, 1))
    with pytest.raises(ValueError):
        cross_table("ab", "ax", "ab")
    with pytest.raises(ValueError):
        cross_table("ab", "a", "ab")


def test_lin_s_concordance_of_the_peak_flow_meters() -> None:
    """R epiR 2.0.57: .942742431427 (.850491873169, .978726279170); r, accuracy and SE by the formulas of
    Lin 1989, 2000.

    Trap: with divisor n - 1 it would be .9427524674.
    """
    result = lins_concordance(LARGE, MINI)
    assert isinstance(result, Concordance)
    assert result.concordance == pytest.approx(0.942742431427, abs=5e-13)
    assert result.correlation == pytest.approx(0.943279446891, abs=5e-13)
    assert result.accuracy == pytest.approx(0.999430693136, abs=5e-13)
    assert result.standard_error == pytest.approx(0.028616737461, abs=5e-13)
    assert (result.low, result.high) == (
        pytest.approx(0.850491873169, abs=5e-13),
        pytest.approx(0.978726279170, abs=5e-13),
    )


def test_concordance_at_its_ends() -> None:
    same = lins_concordance([1.0, 2.0, 4.0], [1.0, 2.0, 4.0])
    assert isinstance(same, Concordance)
    assert (same.concordance, same.low, same.high) == (1.0, 1.0, 1.0)
    apart = lins_concordance([1.0, 2.0, 4.0], [11.0, 12.0, 14.0])
    assert isinstance(apart, Concordance)
    assert apart.correlation == pytest.approx(1.0)
    assert apart.concordance < 0.05
    mirrored = lins_concordance([1.0, 2.0, 3.0], [3.0, 2.0, 1.0])
    assert isinstance(mirrored, Concordance)
    assert (mirrored.concordance, mirrored.low) == (-1.0, -1.0)
    assert lins_concordance([1.0, 1.0, 1.0], [1.0, 2.0, 3.0]) == Refused(NO_SPREAD_TO_COMPARE)
    assert lins_concordance([1.0, 2.0, 3.0], [1.0, 2.0, 1.0]) == Refused(NO_SPREAD_TO_COMPARE)


def test_limits_of_agreement_of_the_peak_flow_meters() -> None:
    """Bland & Altman 1986: difference -2.1, SD 38.8, limits -79.7 and 75.5 (2 SD); SE of a limit 16.3."""
    result = limits_of_agreement(LARGE, MINI)
    assert result.mean_difference == pytest.approx(-2.1176470588, abs=5e-11)
    assert result.standard_deviation == pytest.approx(38.7651298736, abs=5e-11)
    assert (result.lower_limit, result.upper_limit) == (
        pytest.approx(-78.0959, abs=1.5e-3),
        pytest.approx(73.8606, abs=1.5e-3),
    )
    assert (result.mean_low, result.mean_high) == (
        pytest.approx(-22.0488377, abs=5e-8),
        pytest.approx(17.8135436, abs=5e-8),
    )
    assert result.limit_standard_error == pytest.approx(16.2846, abs=5e-5)
    paper = limits_of_agreement(LARGE, MINI, multiplier=2.0)
    assert (paper.lower_limit, paper.upper_limit) == (
        pytest.approx(-79.6479, abs=5e-5),
        pytest.approx(75.4126, abs=5e-5),
    )


def test_scout_s_mean_difference_is_scipy_s_paired_interval() -> None:
    from scipy.stats import ttest_rel

    result = mean_difference(LARGE, MINI)
    interval = ttest_rel(LARGE, MINI).confidence_interval(0.95)
    assert (result.low, result.high) == (pytest.approx(interval.low), pytest.approx(interval.high))
    for bad in ([], LARGE[:-1]):
        with pytest.raises(ValueError):
            mean_difference(bad, MINI)


def test_kappa_and_concordance_intervals_cover_by_simulation() -> None:
    """150 plants graded by two scouts with true kappa .6; 40 heights with true concordance .8: 92.5 to 97 %
    inside."""
    draw = random.Random(21)
    inside_kappa = inside_lin = 0
    for _ in range(600):
        table = [[0, 0], [0, 0]]
        for _ in range(150):
            truth = draw.random() < 0.5
            second = truth if draw.random() < 0.6 else draw.random() < 0.5
            table[truth][second] += 1
        graded = kappa(table)
        assert isinstance(graded, Kappa)
        inside_kappa += graded.low <= 0.6 <= graded.high
        plants = [draw.gauss(0.0, 2.0) for _ in range(40)]
        first, second_scout = ([plant + draw.gauss(0.0, 1.0) for plant in plants] for _ in range(2))
        agreed = lins_concordance(first, second_scout)
        assert isinstance(agreed, Concordance)
        inside_lin += agreed.low <= 0.8 <= agreed.high
    assert 0.925 <= inside_kappa / 600 <= 0.97
    assert 0.925 <= inside_lin / 600 <= 0.97
