"""Day and rate of the steepest growth, with standard errors, against published and refitted values."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import curve_fit

from bayround.agronomy.curve_rates import steepest_growth
from bayround.agronomy.curves import CurveFit, fit_curve

RAT42_DAYS = [9.0, 14, 21, 28, 42, 57, 63, 70, 79]
RAT42_YIELD = [8.93, 10.80, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08]
"""NIST StRD Rat42 (Ratkowsky 1983, p. 61)."""

ORANGE_DAYS = [118.0, 484, 664, 1004, 1231, 1372, 1582] * 5
ORANGE_CM = [
    30, 58, 87, 115, 120, 142, 145, 33, 69, 111, 156, 172, 203, 203, 30, 51, 75, 108, 115, 139, 140,
    32, 62, 112, 167, 179, 209, 214, 30, 49, 81, 125, 142, 174, 177,
]  # fmt: skip
"""Draper & Smith 1981, Applied Regression Analysis, p. 524: five orange trees (data set Orange of R)."""


def fitted(kind: str, days: list[float], values: list[float]) -> CurveFit:
    fit = fit_curve(kind, days, values)  # type: ignore[arg-type]
    assert isinstance(fit, CurveFit)
    return fit


def test_orange_trees_have_the_published_midpoint_and_error() -> None:
    """R, SSlogis on the pooled data: midpoint 728.755 with standard error 107.30 (published output of nls).

    `fit_curve` itself refuses these trees (a straight line is as well supported), so scipy fits them here.
    """

    def curve(day: np.ndarray, asymptote: float, shift: float, rate: float) -> np.ndarray:
        return asymptote / (1 + np.exp(shift - rate * day))

    best, covariance = curve_fit(curve, ORANGE_DAYS, ORANGE_CM, p0=[190, 2, 0.003], xtol=1e-12, ftol=1e-12)
    template = fitted("logistic", RAT42_DAYS, RAT42_YIELD)
    fit = replace(
        template,
        asymptote=best[0],
        shift=best[1],
        rate_per_day=best[2],
        covariance=tuple(tuple(row) for row in covariance.tolist()),
        steepest_day=best[1] / best[2],
        steepest_rate_per_day=best[0] * best[2] / 4,
    )
    found = steepest_growth(fit)
    assert found.day == pytest.approx(728.755, abs=0.01)
    assert found.day_error == pytest.approx(107.30, abs=0.01)


def test_rat42_against_a_fit_written_in_the_day_and_rate_themselves() -> None:
    """The same logistic with midpoint and steepest rate as its numbers: scipy's own errors of them."""
    found = steepest_growth(fitted("logistic", RAT42_DAYS, RAT42_YIELD))

    def curve(day: np.ndarray, asymptote: float, midpoint: float, rate: float) -> np.ndarray:
        return asymptote / (1 + np.exp(-4 * rate / asymptote * (day - midpoint)))

    best, covariance = curve_fit(curve, RAT42_DAYS, RAT42_YIELD, p0=[72, 39, 1.2], xtol=1e-12, ftol=1e-12)
    errors = np.sqrt(np.diag(covariance))
    assert found.day == pytest.approx(best[1], rel=1e-6)
    assert found.rate_per_day == pytest.approx(best[2], rel=1e-6)
    assert found.day_error == pytest.approx(errors[1], rel=1e-4)
    assert found.rate_error == pytest.approx(errors[2], rel=1e-4)
    assert found.day == pytest.approx(38.8674, abs=5e-5)
    assert found.rate_per_day == pytest.approx(1.2202, abs=5e-5)


def test_gompertz_against_a_fit_written_in_the_day_and_rate_themselves() -> None:
    found = steepest_growth(fitted("gompertz", RAT42_DAYS, RAT42_YIELD))

    def curve(day: np.ndarray, asymptote: float, midpoint: float, rate: float) -> np.ndarray:
        return asymptote * np.exp(-np.exp(-math.e * rate / asymptote * (day - midpoint)))

    _best, covariance = curve_fit(curve, RAT42_DAYS, RAT42_YIELD, p0=[83, 33, 1.1], xtol=1e-12, ftol=1e-12)
    errors = np.sqrt(np.diag(covariance))
    assert found.day == pytest.approx(33.0065, abs=5e-5)
    assert found.day_error == pytest.approx(errors[1], rel=1e-4)
    assert found.rate_error == pytest.approx(errors[2], rel=1e-4)


def test_errors_taken_as_independent_would_be_wrong() -> None:
    """The trap: adding relative errors of shift and rate as if they were unrelated."""
    fit = fitted("logistic", RAT42_DAYS, RAT42_YIELD)
    loose = fit.steepest_day * math.hypot(
        fit.standard_errors[1] / fit.shift, fit.standard_errors[2] / fit.rate_per_day
    )
    assert loose > 1.5 * steepest_growth(fit).day_error
