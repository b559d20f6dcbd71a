"""Pairs of treatments: Tukey, least significant difference, share explained."""

import math

import pytest

from bayround.agronomy.anova import LayoutFit, fit_layout
from bayround.agronomy.comparisons import (
    TreatmentDifference,
    explained_share,
    protected_lsd,
    significant_pairs,
    tukey_comparisons,
)
from published_trials import INSECT_SPRAYS, PLANT_GROWTH, RICE_PLOTS, long_form


def tukey(fit: LayoutFit) -> dict[tuple[str, str], TreatmentDifference]:
    error = fit.error_line
    return {
        (each.first, each.second): each
        for each in tukey_comparisons(
            fit.treatments,
            fit.means,
            fit.mean_covariance,
            error_mean_square=error.mean_square,
            error_degrees=error.degrees_of_freedom,
        )
    }


def lsd(fit: LayoutFit) -> tuple[TreatmentDifference, ...] | None:
    error, p_value = fit.error_line, fit.treatment_line.p_value
    assert p_value is not None
    return protected_lsd(
        fit.treatments,
        fit.means,
        fit.mean_covariance,
        error_mean_square=error.mean_square,
        error_degrees=error.degrees_of_freedom,
        f_test_p_value=p_value,
    )


def test_plant_growth() -> None:
    """PlantGrowth as R's TukeyHSD gives it."""
    found = tukey(fit_layout(*long_form(PLANT_GROWTH)))
    assert found["ctrl", "trt1"].p_value == pytest.approx(0.390871144202, abs=1e-9)
    assert found["ctrl", "trt2"].p_value == pytest.approx(0.197995991300, abs=1e-9)
    pair = found["trt1", "trt2"]
    assert pair.p_value == pytest.approx(0.012006423979, abs=1e-9)
    assert (-pair.high, -pair.low) == pytest.approx((0.17378394859, 1.55621605141), abs=1e-9)
    assert pair.high - pair.difference == pytest.approx(0.6912160514, abs=1e-9)
    assert significant_pairs(list(found.values())) == (("trt1", "trt2"),)


def test_insect_sprays_on_the_root_scale() -> None:
    """InsectSprays, square roots of counts, as R's TukeyHSD gives it."""
    values, treatments = long_form(INSECT_SPRAYS)
    found = tukey(fit_layout([value**0.5 for value in values], treatments))
    assert found["C", "D"].p_value == pytest.approx(0.008081268772, abs=1e-9)
    assert found["C", "E"].p_value == pytest.approx(0.251263832360, abs=1e-9)
    assert found["D", "E"].p_value == pytest.approx(0.736638851768, abs=1e-9)
    assert found["A", "F"].p_value == pytest.approx(0.914496414900, abs=1e-9)


def test_honest_difference_of_the_raw_counts() -> None:
    """InsectSprays raw: q 4.1508507258, difference 4.6994085121."""
    fit = fit_layout(*long_form(INSECT_SPRAYS))
    pair = tukey(fit)["A", "B"]
    assert pair.high - pair.difference == pytest.approx(4.6994085121, abs=1e-9)


def test_three_analgesics() -> None:
    """The SAS Tukey example that scipy's own tests quote: 2-3 4.34 (.69084, 7.98916), 2-1 4.6 (.95084, 8.24916)."""
    groups = {
        "1": [24.5, 23.5, 26.4, 27.1, 29.9],
        "2": [28.4, 34.2, 29.5, 32.2, 30.1],
        "3": [26.1, 28.3, 24.3, 26.2, 27.8],
    }
    found = tukey(fit_layout(*long_form(groups)))
    second = found["2", "3"]
    assert (second.difference, second.low, second.high) == pytest.approx((4.34, 0.69084, 7.98916), abs=5e-6)
    first = found["1", "2"]
    assert (-first.difference, -first.high, -first.low) == pytest.approx((4.6, 0.95084, 8.24916), abs=5e-6)
    assert set(significant_pairs(list(found.values()))) == {("1", "2"), ("2", "3")}


def test_unequal_sizes_agree_with_scipy() -> None:
    """Second implementation of Tukey-Kramer: scipy.stats.tukey_hsd on groups of 4, 7 and 10."""
    from scipy.stats import tukey_hsd

    uneven = {name: each[:size] for (name, each), size in zip(PLANT_GROWTH.items(), (4, 7, 10), strict=True)}
    found = list(tukey(fit_layout(*long_form(uneven))).values())
    expected = tukey_hsd(*uneven.values())
    interval = expected.confidence_interval(0.95)
    for each, (i, j) in zip(found, ((0, 1), (0, 2), (1, 2)), strict=True):
        assert each.difference == pytest.approx(expected.statistic[i, j], rel=1e-12)
        assert each.p_value == pytest.approx(expected.pvalue[i, j], abs=1e-9)
        assert (each.low, each.high) == pytest.approx((interval.low[i, j], interval.high[i, j]), rel=1e-8)


def test_two_treatments_are_a_plain_t_test() -> None:
    """Second implementation: scipy.stats.ttest_ind."""
    from scipy.stats import ttest_ind

    two = {name: PLANT_GROWTH[name] for name in ("trt1", "trt2")}
    pair = tukey(fit_layout(*long_form(two)))["trt1", "trt2"]
    expected = ttest_ind(two["trt1"], two["trt2"])
    interval = expected.confidence_interval(0.95)
    assert pair.p_value == pytest.approx(expected.pvalue, rel=1e-9)
    assert (pair.low, pair.high) == pytest.approx((interval.low, interval.high), rel=1e-9)


def test_least_significant_difference_after_a_significant_f() -> None:
    """PlantGrowth: t 2.0518305165, LSD .5720126116; p-values as scipy's pooled t."""
    found = lsd(fit_layout(*long_form(PLANT_GROWTH)))
    assert found is not None
    assert found[0].high - found[0].difference == pytest.approx(0.5720126116, abs=1e-9)
    assert found[0].standard_error == pytest.approx(0.5720126116 / 2.0518305165, rel=1e-9)


def test_least_significant_difference_of_insect_sprays() -> None:
    """InsectSprays raw: t 1.9965644190, LSD 3.1967186062."""
    found = lsd(fit_layout(*long_form(INSECT_SPRAYS)))
    assert found is not None
    assert found[0].high - found[0].difference == pytest.approx(3.1967186062, abs=1e-9)


def test_no_least_significant_difference_without_a_significant_f() -> None:
    """Gomez rice seed rates: LSD would be 501.136405 and call pairs different, but F (p .1128) forbids it."""
    fit = fit_layout([p[2] for p in RICE_PLOTS], [p[1] for p in RICE_PLOTS], [p[0] for p in RICE_PLOTS])
    assert lsd(fit) is None
    assert max(fit.means) - min(fit.means) > 501.136405
    honest = tukey(fit)["25", "50"]
    assert honest.high - honest.difference == pytest.approx(763.882132, abs=1e-5)
    assert significant_pairs(list(tukey(fit).values())) == ()


SHARES = [(4.8460878624, 2, 27), (44.7993292051, 5, 66), (0.3, 3, 12), (1.18046237440255, 4, 20)]


@pytest.mark.parametrize(("f", "between", "within"), SHARES)
def test_limits_of_the_share_explained(f: float, between: int, within: int) -> None:
    """Steiger 2004, by the defining sum: noncentral F as a Poisson mixture of beta distributions (scipy.special)."""
    import numpy as np
    from scipy.special import betainc
    from scipy.stats import poisson

    def below_f(noncentrality: float) -> float:
        terms = np.arange(2000)
        beta = betainc(between / 2 + terms, within / 2, between * f / (between * f + within))
        return float(np.sum(poisson.pmf(terms, noncentrality / 2) * beta))

    found = explained_share(f, between, within)
    for limit, probability in ((found.low, 0.975), (found.high, 0.025)):
        noncentrality = limit / (1 - limit) * (between + within + 1)
        if limit == 0:
            assert below_f(0) <= probability
        else:
            assert below_f(noncentrality) == pytest.approx(probability, abs=1e-8)


@pytest.mark.parametrize(("f", "between", "within"), SHARES)
def test_share_explained_agrees_with_statsmodels(f: float, between: int, within: int) -> None:
    """Second implementation: statsmodels, whose inverse of the noncentral F keeps only about 3 digits."""
    from statsmodels.stats.oneway import confint_noncentrality

    found, size = explained_share(f, between, within), between + within + 1
    expected = [float(each) for each in confint_noncentrality(f, (between, within), alpha=0.05)]
    limits = [0.0 if math.isnan(each) else each / (each + size) for each in expected]
    assert (found.low, found.high) == pytest.approx(limits, abs=5e-4)


def test_share_explained_of_silicon_resistivity() -> None:
    """NIST SiRstv certificate: R-squared 1.90999039051129E-01."""
    assert explained_share(1.18046237440255, 4, 20).share == pytest.approx(0.190999039051129, rel=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: tukey_comparisons(["A"], [1.0], [[1.0]], error_mean_square=1, error_degrees=3),
        lambda: tukey_comparisons(["A", "B"], [1.0, 2.0], [[1.0]], error_mean_square=1, error_degrees=3),
        lambda: tukey_comparisons(
            ["A", "B"], [1.0, 2.0], [[1, 0], [0, 1]], error_mean_square=0, error_degrees=3
        ),
        lambda: explained_share(-1, 2, 10),
        lambda: explained_share(1, 0, 10),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
