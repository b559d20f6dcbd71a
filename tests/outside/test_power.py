"""Plots needed and differences that can be seen, against statsmodels, R pwr and tables."""

import math

import pytest

from bayround.agronomy.power import (
    error_degrees_of_freedom,
    plots_for_f_test,
    plots_for_two_counts,
    plots_for_two_means,
    power_of_f_test,
    power_of_t_test,
    smallest_detectable_difference,
    smallest_difference_of_design,
)


@pytest.mark.parametrize(
    ("effect", "power", "expected", "digits"),
    [
        (0.2, 0.8, 393.4057, 4),
        (0.5, 0.8, 63.76561, 5),
        (0.8, 0.8, 25.52457, 5),
        (1.0, 0.8, 16.7147224, 7),
        (0.2, 0.9, 526.33, 2),
        (0.5, 0.9, 85.03, 2),
        (0.8, 0.9, 33.83, 2),
        (1.0, 0.9, 22.02, 2),
    ],
)
def test_plots_for_two_means(effect: float, power: float, expected: float, digits: int) -> None:
    """R pwr.t.test prints 63.76561 for d .5; statsmodels TTestIndPower the rest, and its power at our answer."""
    from statsmodels.stats.power import TTestIndPower

    plots = plots_for_two_means(effect, 1.0, power=power)
    assert round(plots, digits) == expected
    assert TTestIndPower().power(effect, plots, 0.05) == pytest.approx(power, abs=1e-11)


def test_pairs() -> None:
    """statsmodels TTestPower, d .5, 80 %: 33.3671 pairs."""
    assert round(plots_for_two_means(3.0, 6.0, paired=True), 4) == 33.3671


def test_normal_approximation_would_not_pass() -> None:
    """2 (z + z)² / d² gives 62.79 plots for d .5: one plot too few."""
    assert plots_for_two_means(0.5, 1.0) - 2 * (1.959964 + 0.841621) ** 2 / 0.25 > 0.9


@pytest.mark.parametrize(("plots", "expected"), [(20, 0.3379390), (30, 0.4778965)])
def test_power_of_two_means(plots: int, expected: float) -> None:
    """statsmodels TTestIndPower at d .5; units do not matter."""
    assert power_of_t_test(0.5, 1.0, plots) == pytest.approx(expected, abs=5e-8)
    assert power_of_t_test(-15.0, 30.0, plots) == pytest.approx(expected, abs=5e-8)


def test_three_treatments() -> None:
    """R pwr.anova.test / statsmodels FTestAnovaPower: k 3, f .25, 80 %: 157.1898 plots in all."""
    assert plots_for_f_test(0.25, 3) == pytest.approx(157.1898, abs=5e-5)


@pytest.mark.parametrize(("effect", "treatments", "plots"), [(0.4, 4, 24), (0.25, 3, 60), (0.0, 5, 20)])
def test_power_of_f_agrees_with_statsmodels(effect: float, treatments: int, plots: int) -> None:
    from statsmodels.stats.power import FTestAnovaPower

    expected = FTestAnovaPower().power(effect, plots, 0.05, k_groups=treatments)
    assert power_of_f_test(effect, treatments, plots) == pytest.approx(float(expected), rel=1e-6)


@pytest.mark.parametrize(
    ("first", "second", "k", "expected"),
    [(3, 1.5, 1, 49.01), (3, 1.5, 0.5, 81.68), (3, 1.5, math.inf, 16.34), (10, 7, 2, 76.68)],
)
def test_plots_for_two_counts(first: float, second: float, k: float, expected: float) -> None:
    """Two negative binomial means (Zhu & Lakkis 2014, formula from memory), worked out to two decimals."""
    assert round(plots_for_two_counts(first, second, clumping_k=k), 2) == expected
    assert plots_for_two_counts(second, first, clumping_k=k) == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(("groups", "blocks", "expected"), [(6, True, 15), (6, False, 18)])
def test_error_degrees(groups: int, blocks: bool, expected: int) -> None:
    """Gomez & Gomez 1984: six rates in four blocks leave 15."""
    assert error_degrees_of_freedom(groups, 4, in_blocks=blocks) == expected


@pytest.mark.parametrize("plots", [5, 20, 64])
def test_smallest_difference_of_two_treatments_undoes_the_power(plots: int) -> None:
    """Second implementation: statsmodels TTestIndPower.solve_power(nobs1, alpha .05, power .8)."""
    from statsmodels.stats.power import TTestIndPower

    expected = float(TTestIndPower().solve_power(nobs1=plots, alpha=0.05, power=0.8))
    assert smallest_difference_of_design(1.0, 2, plots, in_blocks=False) == pytest.approx(expected, abs=1e-6)


def test_smallest_difference_by_simulation() -> None:
    """Six rates in four blocks, error deviation 332.5 (the rice): Tukey finds that difference of a pair 80 % ± 1.5 %."""
    import numpy as np
    from scipy.stats import studentized_range

    smallest = smallest_difference_of_design(332.5, 6, 4, in_blocks=True)
    source = np.random.default_rng(1984)
    means = source.normal(0, 332.5 / 2, size=(40_000, 2)) + np.array([smallest, 0])
    error = 332.5 * np.sqrt(source.chisquare(15, 40_000) / 15)
    found = np.abs(means[:, 0] - means[:, 1]) > studentized_range.ppf(0.95, 6, 15) * error / 2
    assert abs(found.mean() - 0.8) < 0.015


@pytest.mark.parametrize(
    "call",
    [
        lambda: power_of_t_test(1, 0, 10),
        lambda: power_of_t_test(1, 1, 1),
        lambda: plots_for_two_means(0, 1),
        lambda: plots_for_two_means(1e-9, 1),
        lambda: power_of_f_test(0.3, 1, 20),
        lambda: power_of_f_test(0.3, 4, 4),
        lambda: plots_for_f_test(0, 3),
        lambda: plots_for_two_counts(3, 3),
        lambda: plots_for_two_counts(3, 2, clumping_k=0),
        lambda: error_degrees_of_freedom(3, 1, in_blocks=True),
        lambda: smallest_detectable_difference(0, 10, 3),
        lambda: smallest_detectable_difference(1, 10, 3, power=0.04),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
