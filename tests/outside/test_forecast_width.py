"""A forecast's width from model and record, against its closed form worked out with numpy and scipy.

Gelman et al. 2013, Bayesian Data Analysis, 3rd ed., section 3.3: with a flat prior on the mean and a scaled
inverse chi-square prior (w, prior²) on the variance, the posterior scale is (w·prior² + (n-1)s²)/(w + n-1).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from bayround.agronomy.forecast_width import (
    counting_variation,
    pooled_deviation,
    pooled_variation_of_counts,
    relative_deviation_of_next,
    scaled_residuals,
    width_factor,
)

RESIDUALS = [-0.1245130, -0.0432287, -0.1263360, -0.0495405]


def test_it_is_the_posterior_scale_of_the_variance() -> None:
    s2 = float(np.var(RESIDUALS, ddof=1))
    expected = math.sqrt((4 * 0.35**2 + 3 * s2) / 7)
    assert pooled_deviation(RESIDUALS, prior_deviation=0.35, prior_weight=4) == pytest.approx(
        expected, rel=1e-12
    )


def test_the_posterior_found_by_integration_has_this_scale() -> None:
    """Prior times likelihood over a grid of variances: the posterior mean is scale · ν/(ν - 2)."""
    n, s2, weight, prior = 4, float(np.var(RESIDUALS, ddof=1)), 4.0, 0.2

    def density(variance: float) -> float:
        log_prior = -(weight / 2 + 1) * math.log(variance) - weight * prior**2 / (2 * variance)
        log_like = -(n - 1) / 2 * math.log(variance) - (n - 1) * s2 / (2 * variance)
        return math.exp(log_prior + log_like - 20)

    whole, _ = integrate.quad(density, 1e-6, 5, limit=400, points=[0.01, 0.05])
    first, _ = integrate.quad(lambda v: v * density(v), 1e-6, 5, limit=400, points=[0.01, 0.05])
    freedom = weight + n - 1
    scale = pooled_deviation(RESIDUALS, prior_deviation=prior, prior_weight=weight) ** 2
    assert first / whole == pytest.approx(scale * freedom / (freedom - 2), rel=1e-4)


def test_few_residuals_leave_the_prior_and_many_outweigh_it() -> None:
    assert pooled_deviation([], prior_deviation=0.3, prior_weight=4) == 0.3
    assert pooled_deviation([0.7], prior_deviation=0.3, prior_weight=4) == 0.3
    many = stats.norm.rvs(scale=0.5, size=4000, random_state=7).tolist()
    assert pooled_deviation(many, prior_deviation=0.1, prior_weight=4) == pytest.approx(0.5, abs=0.02)


def test_errors_add_as_squares() -> None:
    assert relative_deviation_of_next(0.3, 0.4) == pytest.approx(0.5)


def test_scaled_residuals_are_log_ratios_where_errors_are_small() -> None:
    """ln(1.02), ln(0.97), ln(1.05), to the first order of the error; the level is that of what was foreseen."""
    found = scaled_residuals([102.0, 97.0, 105.0], [100.0, 100.0, 100.0])
    assert found == pytest.approx(np.log([1.02, 0.97, 1.05]), rel=0.015)


def test_scaled_residuals_stay_within_bounds_where_a_log_ratio_does_not() -> None:
    """By hand: nothing came of 100: -100 / root of (50 x 50) = -2 where the level is 50; both nothing is left out."""
    assert scaled_residuals([0.0, 0.0], [100.0, 0.0]) == pytest.approx([-100 / math.sqrt(50 * 50)])
    assert scaled_residuals([], []) == []
    with pytest.raises(ValueError):
        scaled_residuals([1.0], [])


@pytest.mark.parametrize(("prior", "weight"), [(-0.1, 4.0), (0.3, 0.0), (math.nan, 4.0)])
def test_impossible_input_is_refused(prior: float, weight: float) -> None:
    with pytest.raises(ValueError):
        pooled_deviation([0.1, 0.2], prior_deviation=prior, prior_weight=weight)


def test_intervals_that_held_too_often_become_narrower() -> None:
    """By hand: all of 10 held, 4 weeks' worth of promise: (4 x 0.8 + 10) / 14 = 0.942857; half of it above the mean
    is 0.971429, between Φ(1.90) = 0.97128 and Φ(1.91) = 0.97193 of any printed table of the normal distribution."""
    found = width_factor(10, 10, level=0.8, prior_weight=4)
    assert found == pytest.approx(1.2815515655 / stats.norm.ppf(0.5 + 0.5 * 13.2 / 14), rel=1e-9)
    assert 1.2815515655 / 1.91 < found < 1.2815515655 / 1.90


def test_intervals_that_held_too_seldom_become_wider_and_good_ones_stay() -> None:
    """Half of 6 held: (3.2 + 3) / 10 = 0.62, z = 0.8779; 8 of 10 is what was promised; none judged: as promised."""
    assert width_factor(3, 6, level=0.8, prior_weight=4) == pytest.approx(1.28155 / 0.87790, rel=1e-4)
    assert width_factor(8, 10, level=0.8, prior_weight=4) == pytest.approx(1.0)
    assert width_factor(0, 0, level=0.8, prior_weight=4) == 1.0


def test_with_many_weeks_the_factor_is_that_of_the_errors() -> None:
    """Normal errors of standard deviation 2, intervals made for 3: in the long run two thirds of the width."""
    errors = stats.norm.rvs(scale=2, size=20000, random_state=11)
    inside = int((abs(errors) <= 3 * stats.norm.ppf(0.9)).sum())
    assert width_factor(inside, 20000, level=0.8, prior_weight=4) == pytest.approx(2 / 3, rel=0.02)


@pytest.mark.parametrize(
    ("inside", "weeks", "level", "weight"), [(3, 2, 0.8, 4.0), (1, 2, 1.0, 4.0), (1, 2, 0.8, 0.0)]
)
def test_a_width_from_impossible_input_is_refused(
    inside: int, weeks: int, level: float, weight: float
) -> None:
    with pytest.raises(ValueError):
        width_factor(inside, weeks, level=level, prior_weight=weight)


def test_variation_of_counts_leaves_out_the_luck_of_counting() -> None:
    """By hand: 4, 10, 7, 3 on 12 plants each: mean 6, s² = 30/3 = 10, (10 - 6)/36 = 1/9; (4·0.25 + 3/9) / 7 = 4/21.
    The moment estimate of the negative binomial, Bliss & Fisher 1953 (from memory): k = 36/(10 - 6) = 9."""
    found = pooled_variation_of_counts([4, 10, 7, 3], [12] * 4, prior_variation=0.5, prior_weight=4)
    assert found == pytest.approx(4 / 21, rel=1e-12)
    assert counting_variation([4, 10, 7, 3], [12] * 4) == pytest.approx(1 / 6, rel=1e-12)
    # On 6 and 18 plants 1.5 and 4.5 are to be expected of 6 on 24: (1/1.5 + 1/4.5) / 2.
    assert counting_variation([2, 4], [6, 18]) == pytest.approx(4 / 9, rel=1e-12)


def test_many_rounds_tell_even_weeks_from_flushes() -> None:
    """Poisson counts vary by luck only (0); gamma weeks of variation 0.5 vary by 0.25 more (negative binomial, k 4)."""
    even = stats.poisson.rvs(7, size=8000, random_state=3).tolist()
    flushes = stats.nbinom.rvs(4, 4 / 11, size=8000, random_state=3).tolist()
    plants = [12] * 8000
    weights = {"prior_variation": 0.5, "prior_weight": 4.0}
    assert pooled_variation_of_counts(even, plants, **weights) == pytest.approx(0, abs=0.01)
    assert pooled_variation_of_counts(flushes, plants, **weights) == pytest.approx(0.25, abs=0.02)
    assert pooled_variation_of_counts([3], [12], **weights) == 0.25


@pytest.mark.parametrize(
    ("counts", "plants"), [([], []), ([0, 0], [5, 5]), ([1, -1], [5, 5]), ([1], [0]), ([1], [])]
)
def test_impossible_counts_are_refused(counts: list[float], plants: list[float]) -> None:
    with pytest.raises(ValueError):
        pooled_variation_of_counts(counts, plants, prior_variation=0.5, prior_weight=4)
