"""A forecast's width from model and record, against its closed form worked out with numpy and scipy.

Gelman et al. 2013, Bayesian Data Analysis, 3rd ed., section 3.3: with a flat prior on the mean and a scaled
inverse chi-square prior (w, prior²) on the variance, the posterior scale is (w·prior² + (n-1)s²)/(w + n-1).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from bayround.agronomy.forecast_width import pooled_deviation, relative_deviation_of_next, scaled_residuals

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
