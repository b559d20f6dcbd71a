"""How good were the pick forecasts, and what the past ones say about the next.

Measures as in Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 3rd ed., section 5.8, and
Hyndman & Koehler 2006, International Journal of Forecasting 22:679-688. Error = actual - forecast. The
bias factors are ordinary Bayesian shrinkage (gamma, and normal on the log scale): few weeks move
the factor little, many weeks move it to where the picks say.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.incidence import wilson_interval
from bayround.agronomy.inputs import finite_numbers, positive_number, same_length, share_between, whole_number

__all__ = [
    "AmountBias",
    "ForecastErrors",
    "IntervalRecord",
    "RatioBias",
    "amount_bias",
    "forecast_errors",
    "interval_record",
    "naive_scale",
    "ratio_bias",
]


@dataclass(frozen=True, slots=True)
class ForecastErrors:
    """Errors of past forecasts, in the unit of the picks or in %.

    mean_error: above 0 means forecasts were too low. bias_percent, wape_percent: None when nothing was
    picked at all; mape_percent: None when one actual is 0; mase: None without a scale.
    """

    n: int
    mean_error: float
    bias_percent: float | None
    mean_absolute_error: float
    root_mean_square_error: float
    wape_percent: float | None
    mape_percent: float | None
    mase: float | None


@dataclass(frozen=True, slots=True)
class IntervalRecord:
    """How often the interval held what came (share with Wilson's limits), and its mean interval score."""

    n: int
    inside: int
    coverage: float
    coverage_low: float
    coverage_high: float
    interval_score: float


@dataclass(frozen=True, slots=True)
class AmountBias:
    """Factor from sums, how uncertain it is as a share of itself."""

    factor: float
    factor_error: float


@dataclass(frozen=True, slots=True)
class RatioBias:
    """Factor from the weekly log ratios: weight x their mean, and the errors needed for the next week."""

    factor: float
    own_share: float
    mean_log_ratio: float
    week_deviation: float
    factor_error: float


def naive_scale(history: Sequence[float], period: int = 1) -> float:
    """Mean absolute change over ``period`` steps in past picks: the yardstick of MASE, same unit.

    Errors: ValueError when the history is no longer than the period, or nothing ever changed.
    """
    steps = whole_number(period, "period", at_least=1)
    values = finite_numbers(history, "history", at_least=steps + 1)
    changes = [abs(later - earlier) for earlier, later in zip(values, values[steps:], strict=False)]
    scale = math.fsum(changes) / len(changes)
    if scale == 0:
        raise ValueError("nothing ever changed in the history: there is no yardstick")
    return scale


def forecast_errors(
    actual: Sequence[float], forecast: Sequence[float], *, scale: float | None = None
) -> ForecastErrors:
    """Bias, MAE, RMSE, WAPE, MAPE and MASE of past forecasts.

    ``actual`` and ``forecast`` week by week, one unit; ``scale`` from `naive_scale`. WAPE = sum of absolute
    errors / sum of actuals, the one to use for picks: MAPE breaks down in weeks of little.
    Errors: ValueError when lists are empty, differ in length, or an actual is below 0.
    """
    came, foreseen = finite_numbers(actual, "actual"), finite_numbers(forecast, "forecast")
    same_length(came, foreseen, "actual and forecast")
    for value in came:
        not_negative_number(value, "actual")
    errors = [a - f for a, f in zip(came, foreseen, strict=True)]
    count, total = len(errors), math.fsum(came)
    absolute = math.fsum(abs(error) for error in errors)
    mape = None
    if min(came) > 0:
        mape = 100 * math.fsum(abs(e) / a for e, a in zip(errors, came, strict=True)) / count
    return ForecastErrors(
        n=count,
        mean_error=math.fsum(errors) / count,
        bias_percent=100 * math.fsum(errors) / total if total else None,
        mean_absolute_error=absolute / count,
        root_mean_square_error=math.sqrt(math.fsum(error**2 for error in errors) / count),
        wape_percent=100 * absolute / total if total else None,
        mape_percent=mape,
        mase=None if scale is None else absolute / count / positive_number(scale, "scale"),
    )


def interval_record(
    actual: Sequence[float], low: Sequence[float], high: Sequence[float], *, level: float
) -> IntervalRecord:
    """How often past intervals held the actual pick, and their mean score.

    Score of one week: width + (2 / alpha) x how far outside (Gneiting & Raftery 2007, JASA 102:359-378, from
    memory); smaller is better. ``level``: what the intervals promised. Errors: ValueError when lists are
    empty or differ in length, or a low is above its high.
    """
    came = finite_numbers(actual, "actual")
    lows, highs = finite_numbers(low, "low"), finite_numbers(high, "high")
    same_length(came, lows, "actual and low")
    same_length(came, highs, "actual and high")
    if any(bottom > top for bottom, top in zip(lows, highs, strict=True)):
        raise ValueError("an interval's low is above its high")
    weeks = list(zip(came, lows, highs, strict=True))
    penalty = 2 / (1 - share_between(level, "level"))
    score = math.fsum(
        top - bottom + penalty * (max(0.0, bottom - value) + max(0.0, value - top))
        for value, bottom, top in weeks
    )
    inside = sum(bottom <= value <= top for value, bottom, top in weeks)
    share = wilson_interval(inside, len(weeks))
    return IntervalRecord(len(weeks), inside, share.share, share.low, share.high, score / len(weeks))


def amount_bias(
    actual: Sequence[float],
    forecast: Sequence[float],
    *,
    week_deviation: float,
    factor_deviation: float,
    usual: float = 0.0,
    weeks_ahead: int = 1,
) -> AmountBias:
    """Factor for forecasts of kg, weeks without a pick included: (prior + sum of actuals) / (prior + sum of forecasts).

    Gamma with prior mean 1 (gamma-Poisson, in units of evenly uncertain weeks); weeks swing by ``week_deviation`` (standard deviation over
    mean), factors of farms lie ``factor_deviation`` around 1. Weeks count by what was foreseen in them: as
    (sum of forecasts)² / (sum of squares) even ones (Kish 1965, Survey Sampling, effective sample size), and
    never as more than sum of forecasts / ``usual``, so that weeks of little teach little about the ``usual`` week.
    Errors of forecasts made h weeks ahead hang together over h - 1 weeks (Diebold & Mariano 1995, J. Bus. Econ.
    Stat. 13:253-263): only one week in h of them counts.
    factor_error = 1 / sqrt(gamma shape). Errors: ValueError when lists are empty or differ in length, an actual
    is below 0, or a forecast or a deviation is not above 0.
    """
    came, foreseen = finite_numbers(actual, "actual"), finite_numbers(forecast, "forecast")
    same_length(came, foreseen, "actual and forecast")
    for value, expected in zip(came, foreseen, strict=True):
        not_negative_number(value, "actual")
        positive_number(expected, "forecast")
    said = math.fsum(foreseen)
    weeks = said**2 / math.fsum(each**2 for each in foreseen)
    if not_negative_number(usual, "usual") > 0:
        weeks = min(weeks, said / usual)
    weeks /= whole_number(weeks_ahead, "weeks_ahead", at_least=1)
    of_weeks = weeks / positive_number(week_deviation, "week_deviation") ** 2
    of_prior = 1 / positive_number(factor_deviation, "factor_deviation") ** 2
    shape = of_prior + of_weeks * math.fsum(came) / said
    return AmountBias(shape / (of_prior + of_weeks), 1 / math.sqrt(shape))


def ratio_bias(
    actual: Sequence[float], forecast: Sequence[float], *, week_deviation: float, factor_deviation: float
) -> RatioBias:
    """Factor for forecasts of fruit or kg: exp(weight x mean of ln(actual / forecast)).

    week_deviation: standard deviation of the log ratio from week to week; factor_deviation: how far
    factors of farms and crops lie around 1, on the log scale. weight = (K / week²) / (K / week² + 1 /
    factor²) over K weeks. Weeks in which nothing came cannot be used and are refused.
    Errors: ValueError when lists are empty, differ in length, or a number is not above 0.
    """
    came, foreseen = finite_numbers(actual, "actual"), finite_numbers(forecast, "forecast")
    same_length(came, foreseen, "actual and forecast")
    ratios = [
        math.log(positive_number(a, "actual") / positive_number(f, "forecast"))
        for a, f in zip(came, foreseen, strict=True)
    ]
    of_weeks = len(ratios) / positive_number(week_deviation, "week_deviation") ** 2
    of_prior = 1 / positive_number(factor_deviation, "factor_deviation") ** 2
    weight, mean = of_weeks / (of_weeks + of_prior), math.fsum(ratios) / len(ratios)
    return RatioBias(
        math.exp(weight * mean), weight, mean, float(week_deviation), 1 / math.sqrt(of_weeks + of_prior)
    )
