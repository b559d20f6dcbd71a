"""Trend and curve of heights against scipy and NIST's certified values."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from scipy import stats

import factory
from bayround.facts.bay_past import BayPast
from bayround.figures import heights, trend

RAT42_DAYS = [9, 14, 21, 28, 42, 57, 63, 70, 79]
RAT42_CM = [8.93, 10.80, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08]
"""NIST StRD Rat42 (Ratkowsky 1983, p. 61): asymptote 72.462237576 (standard error 1.7340283401)."""

SEN_DAYS = [1, 2, 3, 4, 10, 12, 18]
SEN = [9.0, 15, 19, 20, 45, 55, 78]
"""Sen 1968, J. Am. Stat. Assoc. 63:1379-1389."""


def bay_with(days: list[int], means: list[float], spread: float = 2.0) -> BayPast:
    """Return a bay visited so many days after transplanting, whose ten plants have these means."""
    past = factory.past(1)
    assert past.planting is not None
    visits = []
    for day, mean in zip(days, means, strict=True):
        numbers = {
            plant.id: {"height_cm": mean + spread * (place - 4.5)} for place, plant in enumerate(past.plants)
        }
        visits.append(factory.record(past.planting, factory.TRANSPLANTED + timedelta(days=day), numbers))
    return replace(past, visits=tuple(visits))


def test_trend_is_scipys_on_the_newest_six_visits() -> None:
    figure = trend.trend(bay_with(SEN_DAYS, SEN, 0.5))
    other = stats.theilslopes(SEN[-6:], SEN_DAYS[-6:], 0.95)
    assert figure.value == pytest.approx(other.slope * 7)
    assert (figure.low, figure.high) == (
        pytest.approx(other.low_slope * 7),
        pytest.approx(other.high_slope * 7),
    )


def test_one_wrong_visit_does_not_bend_the_trend() -> None:
    straight = [50.0 + 6 * week for week in range(6)]
    slipped = [*straight[:3], straight[3] + 60, *straight[4:]]
    days = [7 * week for week in range(6)]
    found, bent = trend.trend(bay_with(days, straight)), trend.trend(bay_with(days, slipped))
    assert found.value == pytest.approx(6.0)
    assert bent.value == pytest.approx(6.0, abs=0.5)
    least_squares = stats.linregress(days, slipped).slope * 7
    assert abs(least_squares - 6) > 1.5


def test_four_visits_are_too_few_and_said_so() -> None:
    figure = trend.trend(bay_with([0, 7, 14, 21], [50, 56, 62, 68]))
    assert figure.value is None
    assert figure.missing


def test_curve_of_rat42_has_nists_asymptote_and_error() -> None:
    past = bay_with(RAT42_DAYS, RAT42_CM, 0.0)
    curve = trend.curve(past)
    assert isinstance(curve, trend.GrowthCurve)
    assert curve.fit.kind == "logistic"  # corrected AIC 17.0 against 26.0 of the Gompertz curve
    figures = trend.curve_figures(past, curve)
    final = figures["curve_final_cm"]
    assert final.value == pytest.approx(7.2462237576e01, rel=1e-6)
    t = stats.t.ppf(0.975, 6)
    assert final.high is not None
    assert final.high - (final.value or 0) == pytest.approx(t * 1.7340283401, rel=1e-5)
    assert figures["curve_fastest_at_weeks"].value == pytest.approx(38.8674 / 7, rel=1e-5)


def test_the_drawn_curve_goes_through_the_fit_and_not_far_beyond_it() -> None:
    past = bay_with(RAT42_DAYS, RAT42_CM, 0.0)
    points = trend.curve_points(past)
    assert points[0][0] == factory.TRANSPLANTED + timedelta(days=9)
    last = factory.TRANSPLANTED + timedelta(days=79)
    assert last < points[-1][0] <= last + timedelta(weeks=3)
    at_57 = next(cm for day, cm in points if day == factory.TRANSPLANTED + timedelta(days=57))
    asymptote, shift, rate = 7.2462237576e01, 2.6180768402, 6.7359200066e-02
    assert at_57 == pytest.approx(asymptote / (1 + 2.718281828459045 ** (shift - rate * 57)), rel=1e-6)


def test_a_straight_line_is_no_curve() -> None:
    past = bay_with([7 * week for week in range(9)], [30.0 + 6 * week for week in range(9)])
    assert isinstance(trend.curve(past), str)
    assert trend.curve_points(past) == ()
    assert trend.curve_figures(past, trend.curve(past))["curve_final_cm"].missing


def test_a_plant_skipped_once_costs_a_visit_and_not_the_curve() -> None:
    past = bay_with(RAT42_DAYS, RAT42_CM, 0.1)
    skipped = dict(past.visits[4].readings)
    del skipped[past.plants[0].id]
    thinner = replace(
        past, visits=(*past.visits[:4], replace(past.visits[4], readings=skipped), *past.visits[5:])
    )
    curve = trend.curve(thinner)
    assert isinstance(curve, trend.GrowthCurve)
    assert curve.fit.degrees_of_freedom == len(RAT42_DAYS) - 1 - 3
    assert curve.plants == 10


def test_the_newest_visits_are_those_asked_for() -> None:
    past = bay_with([7 * week for week in range(8)], [30.0 + week for week in range(8)])
    assert len(heights.recent_means(past)[0]) == heights.RECENT_VISITS
    assert len(heights.recent_means(past, 8)[0]) == 8
