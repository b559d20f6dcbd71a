"""Growth curves against NIST's certified values, R, and simulation."""

import math
import random

import pytest

from bayround.agronomy.curves import CurveDay, CurveFit, CurveKind, curve_value, day_curve_reaches, fit_curve
from bayround.agronomy.refusals import (
    CURVE_NOT_FOUND,
    LEVEL_ABOVE_CURVE,
    NO_CEILING_YET,
    TOO_FEW_DATES,
    Refused,
)

# NIST StRD Rat42 (Ratkowsky 1983, p. 61): pasture yield against growing time.
RAT42_X = [9.0, 14.0, 21.0, 28.0, 42.0, 57.0, 63.0, 70.0, 79.0]
RAT42_Y = [8.93, 10.80, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08]

# NIST StRD Rat43 (Ratkowsky 1983, p. 88): onion bulb weight; data from memory, confirmed by the fits.
RAT43_Y = [
    16.08, 33.83, 65.80, 97.20, 191.55, 326.20, 386.87, 520.53,
    590.03, 651.92, 724.93, 699.56, 689.96, 637.56, 717.41,
]  # fmt: skip


def _fit(kind: CurveKind, days: list[float], values: list[float]) -> CurveFit:
    fit = fit_curve(kind, days, values)
    assert isinstance(fit, CurveFit)
    return fit


def test_nist_rat42() -> None:
    """Certified values of the U.S. National Institute of Standards, eleven digits; here six or more agree."""
    fit = _fit("logistic", RAT42_X, RAT42_Y)
    assert fit.asymptote == pytest.approx(7.2462237576e01, rel=1e-8)
    assert fit.shift == pytest.approx(2.6180768402, rel=1e-8)
    assert fit.rate_per_day == pytest.approx(6.7359200066e-02, rel=1e-8)
    certified_errors = (1.7340283401, 8.8295217536e-02, 3.4465663377e-03)
    assert fit.standard_errors == tuple(pytest.approx(error, rel=1e-6) for error in certified_errors)
    assert fit.residual_sum_of_squares == pytest.approx(8.0565229338, rel=1e-10)
    assert fit.residual_deviation == pytest.approx(1.1587725499, rel=1e-10)
    assert fit.degrees_of_freedom == 6
    assert fit.steepest_day == pytest.approx(38.8674, abs=5e-5)
    assert fit.steepest_rate_per_day == pytest.approx(1.2202, abs=5e-5)
    assert curve_value(fit, fit.steepest_day) == pytest.approx(fit.steepest_level, rel=1e-12)


def test_gompertz_on_rat42_is_that_of_r() -> None:
    """R 4.2.2 SSgompertz: 82.832214, 3.399790, k .037074894, RSS 21.793990, steepest at 33.0065; AICc by
    hand."""
    fit = _fit("gompertz", RAT42_X, RAT42_Y)
    assert fit.asymptote == pytest.approx(82.832214, rel=1e-6)
    assert math.exp(fit.shift) == pytest.approx(3.399790, abs=5e-7)
    assert fit.rate_per_day == pytest.approx(0.037074894, rel=1e-6)
    assert fit.residual_sum_of_squares == pytest.approx(21.793990, abs=5e-7)
    assert fit.steepest_day == pytest.approx(33.0065, abs=5e-5)
    assert fit.aicc == pytest.approx(25.9597, abs=5e-5)
    assert _fit("logistic", RAT42_X, RAT42_Y).aicc == pytest.approx(17.0033, abs=5e-5)
    step = (curve_value(fit, fit.steepest_day + 1e-4) - curve_value(fit, fit.steepest_day - 1e-4)) / 2e-4
    assert step == pytest.approx(fit.steepest_rate_per_day, rel=1e-7)


@pytest.mark.parametrize(
    ("kind", "asymptote", "shift", "rate", "rss", "aicc"),
    [
        ("logistic", 702.871352, 4.442567, 0.688566396, 8929.882973, 107.8366),
        ("gompertz", 723.108759, math.log(12.184664), 0.450102252, 13606.142709, 114.1534),
    ],
)
def test_rat43_by_both_curves(
    kind: CurveKind, asymptote: float, shift: float, rate: float, rss: float, aicc: float
) -> None:
    """Three-number fits by R and scipy at their default stopping rules, which leave the sixth digit open.

    A second fit by scipy's trust-region method without derivatives, stopped at 1e-15, agrees to 1e-6.
    """
    import numpy as np
    from scipy.optimize import least_squares

    days = [float(day) for day in range(1, 16)]
    fit = _fit(kind, days, RAT43_Y)
    assert (fit.asymptote, fit.shift) == (pytest.approx(asymptote, rel=1e-5), pytest.approx(shift, rel=1e-5))
    assert fit.rate_per_day == pytest.approx(rate, rel=1e-5)
    assert fit.residual_sum_of_squares == pytest.approx(rss, abs=2e-6)
    assert fit.aicc == pytest.approx(aicc, abs=5e-5)

    def misfit(numbers: list[float]) -> object:
        u = np.exp(numbers[1] - numbers[2] * np.array(days))
        return numbers[0] * (1 / (1 + u) if kind == "logistic" else np.exp(-u)) - np.array(RAT43_Y)

    other = least_squares(
        misfit, [700.0, 3.0, 0.5], xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=[700, 3, 0.5]
    )
    assert (fit.asymptote, fit.shift, fit.rate_per_day) == tuple(
        pytest.approx(value, rel=1e-6) for value in other.x
    )


def test_day_at_which_rat42_reaches_fifty() -> None:
    """Delta method with the certified covariance: 50.746807, SE .747453, t(6) interval (48.917855,
    52.575759)."""
    fit = _fit("logistic", RAT42_X, RAT42_Y)
    reached = day_curve_reaches(fit, 50.0)
    assert isinstance(reached, CurveDay)
    certified = (2.6180768402 - math.log(72.462237576 / 50.0 - 1.0)) / 6.7359200066e-02
    assert reached.day == pytest.approx(certified, rel=5e-9)
    assert reached.day == pytest.approx(50.746807, abs=1e-6)
    assert reached.standard_error == pytest.approx(0.747453, abs=5e-6)
    assert (reached.low, reached.high) == (
        pytest.approx(48.917855, abs=1e-5),
        pytest.approx(52.575759, abs=1e-5),
    )
    assert curve_value(fit, reached.day) == pytest.approx(50.0, rel=1e-12)


def test_gompertz_day_by_numeric_derivatives() -> None:
    """The delta-method gradient against finite differences of the inverse curve."""
    fit = _fit("gompertz", RAT42_X, RAT42_Y)
    reached = day_curve_reaches(fit, 50.0)
    assert isinstance(reached, CurveDay)
    numbers = [fit.asymptote, fit.shift, fit.rate_per_day]

    def day(a: float, c: float, k: float) -> float:
        return (c - math.log(math.log(a / 50.0))) / k

    gradient = []
    for i in range(3):
        up, down = list(numbers), list(numbers)
        up[i], down[i] = numbers[i] * (1 + 1e-6), numbers[i] * (1 - 1e-6)
        gradient.append((day(*up) - day(*down)) / (2e-6 * numbers[i]))
    variance = sum(gradient[i] * fit.covariance[i][j] * gradient[j] for i in range(3) for j in range(3))
    assert reached.day == pytest.approx(day(*numbers), rel=1e-12)
    assert reached.standard_error == pytest.approx(math.sqrt(variance), rel=1e-6)


@pytest.mark.parametrize("level", [69.0, 72.5, 80.0])
def test_no_day_for_a_level_the_curve_may_never_reach(level: float) -> None:
    """The asymptote's own interval reaches down to 68.2: 69 may never come."""
    assert day_curve_reaches(_fit("logistic", RAT42_X, RAT42_Y), level) == Refused(LEVEL_ABOVE_CURVE)


def test_too_few_dates_are_refused() -> None:
    assert fit_curve("logistic", RAT42_X[:5], RAT42_Y[:5]) == Refused(TOO_FEW_DATES)
    assert fit_curve("logistic", [1.0] * 9, RAT42_Y) == Refused(TOO_FEW_DATES)


@pytest.mark.parametrize("kind", ["logistic", "gompertz"])
def test_growth_that_has_not_bent_yet_shows_no_ceiling(kind: CurveKind) -> None:
    """Trap: a logistic always fits. On straight growth it must be refused nearly always, on bent growth
    never."""
    draw = random.Random(4)
    days = [7.0 * week for week in range(9)]
    straight = bent = 0
    for _ in range(60):
        rising = [30.0 + 5.0 * day / 7.0 + draw.gauss(0.0, 1.5) for day in days]
        slowing = [200.0 / (1.0 + math.exp(2.5 - 0.09 * day)) + draw.gauss(0.0, 1.5) for day in days]
        straight += fit_curve(kind, days, rising) == Refused(NO_CEILING_YET)
        bent += isinstance(fit_curve(kind, days, slowing), CurveFit)
    assert straight >= 56
    assert bent == 60


def test_growth_still_speeding_up_is_refused() -> None:
    """Exponential growth has no asymptote to be seen, or no curve at all is found."""
    days = [float(day) for day in range(0, 56, 7)]
    noise = [1.01, 0.99, 1.02, 0.98, 1.0, 1.01, 0.99, 1.0]
    values = [5.0 * math.exp(0.05 * day) * wobble for day, wobble in zip(days, noise, strict=True)]
    assert fit_curve("logistic", days, values) in (Refused(NO_CEILING_YET), Refused(CURVE_NOT_FOUND))


def test_impossible_readings_are_refused() -> None:
    for days, values in (
        (RAT42_X, [*RAT42_Y[:-1], 0.0]),
        (RAT42_X, RAT42_Y[:-1]),
        (RAT42_X, [*RAT42_Y[:-1], math.nan]),
    ):
        with pytest.raises(ValueError):
            fit_curve("logistic", days, values)
    with pytest.raises(ValueError):
        day_curve_reaches(_fit("logistic", RAT42_X, RAT42_Y), 0.0)


def test_intervals_of_the_crossing_day_cover_by_simulation() -> None:
    """14 weekly bay means about a known logistic, sd 3 cm: the day 120 cm is reached lies inside in 91 to
    98.5 %."""
    draw = random.Random(9)
    days = [7.0 * week for week in range(14)]
    true_day = (3.0 - math.log(200.0 / 120.0 - 1.0)) / 0.06
    covered = made = 0
    for _ in range(300):
        values = [200.0 / (1.0 + math.exp(3.0 - 0.06 * day)) + draw.gauss(0.0, 3.0) for day in days]
        fit = fit_curve("logistic", days, [max(0.5, value) for value in values])
        assert isinstance(fit, CurveFit)
        reached = day_curve_reaches(fit, 120.0)
        assert isinstance(reached, CurveDay)
        made += 1
        covered += reached.low <= true_day <= reached.high
    assert 0.91 <= covered / made <= 0.985
