"""Forecast accuracy and bias against a forecasting textbook's printed table."""

import math

import pytest

from bayround.agronomy.forecast_score import (
    amount_bias,
    forecast_errors,
    interval_record,
    naive_scale,
    ratio_bias,
)

# Hyndman & Athanasopoulos, Forecasting: Principles and Practice (3rd ed.), section 5.8: quarterly beer production,
# trained on 1992 Q1 to 2007 Q4, tested on 2008 Q1 to 2010 Q2.
BEER = [
    443, 410, 420, 532, 433, 421, 410, 512, 449, 381, 423, 531, 426, 408, 416, 520,
    409, 398, 398, 507, 432, 398, 406, 526, 428, 397, 403, 517, 435, 383, 424, 521,
    421, 402, 414, 500, 451, 380, 416, 492, 428, 408, 406, 506, 435, 380, 421, 490,
    435, 390, 412, 454, 416, 403, 408, 482, 438, 386, 405, 491, 427, 383, 394, 473,
]  # fmt: skip
TEST = [420, 390, 410, 488, 415, 398, 419, 488, 414, 374]
DRIFT = (BEER[-1] - BEER[0]) / (len(BEER) - 1)
METHODS = {
    "mean": [sum(BEER) / len(BEER)] * 10,
    "naive": [473] * 10,
    "seasonal naive": [BEER[-4:][place % 4] for place in range(10)],
    "drift": [473 + DRIFT * (place + 1) for place in range(10)],
}


def test_scale_of_the_beer_data() -> None:
    """The seasonal naive error in the training part, 14.3 (60 differences); it also proves the data typed right."""
    assert naive_scale(BEER, 4) == pytest.approx(14.3, abs=1e-12)


@pytest.mark.parametrize(
    ("method", "printed", "full"),
    [
        ("mean", (38.45, 34.83, 8.28, 2.44), (38.447245, 34.825, 8.283390, 2.435315)),
        ("naive", (62.69, 57.40, 14.18, 4.01), (62.692902, 57.4, 14.184424, 4.013986)),
        ("seasonal naive", (14.31, 13.40, 3.17, 0.94), (14.310835, 13.4, 3.168503, 0.937063)),
        ("drift", (64.90, 58.88, 14.58, 4.12), (64.901293, 58.876190, 14.577487, 4.117216)),
    ],
)
def test_printed_accuracy_table(method: str, printed: tuple[float, ...], full: tuple[float, ...]) -> None:
    """RMSE, MAE, MAPE, MASE of four methods, as printed and to seven digits."""
    found = forecast_errors(TEST, METHODS[method], scale=naive_scale(BEER, 4))
    mine = (found.root_mean_square_error, found.mean_absolute_error, found.mape_percent, found.mase)
    assert mine == pytest.approx(full, abs=1e-6)
    assert mine == pytest.approx(printed, abs=0.0051)


def test_bias_and_wape_by_hand() -> None:
    """Actual 10, 0, 30; forecast 14, 3, 20: errors -4, -3, 10; 3 too low in 40, 17 apart in 40; MAPE undefined at 0."""
    found = forecast_errors([10, 0, 30], [14, 3, 20])
    assert found.mean_error == 1
    assert (found.bias_percent, found.wape_percent) == (7.5, 42.5)
    assert (found.mape_percent, found.mase) == (None, None)
    assert forecast_errors([0, 0], [1, 2]).wape_percent is None


def test_sign_of_the_bias_would_not_pass_the_other_way_round() -> None:
    """Error is actual less forecast: picks above the forecast are a positive bias."""
    assert forecast_errors([10], [8]).mean_error == 2


def test_interval_coverage_with_wilson_limits() -> None:
    """Newcombe 1998, table I: 81 of 263 is (0.2553, 0.3662) by Wilson's score."""
    record = interval_record([1.0] * 81 + [9.0] * 182, [0.0] * 263, [2.0] * 263, level=0.8)
    assert (record.n, record.inside) == (263, 81)
    assert (round(record.coverage_low, 4), round(record.coverage_high, 4)) == (0.2553, 0.3662)


def test_interval_score_by_hand() -> None:
    """Gneiting & Raftery 2007: width 4, and at 80 % ten times what lies outside: 4, 4 + 10, 4 + 20, mean 14."""
    record = interval_record([3, 0, 7], [1, 1, 1], [5, 5, 5], level=0.8)
    assert record.interval_score == pytest.approx(14)
    assert record.inside == 1


# Made: four weeks of picks and forecasts; every figure below was worked out beforehand with scipy.
ACTUAL, FORECAST = [362, 498, 401, 571], [410, 520, 455, 600]


def test_amount_bias_is_the_gamma_poisson_of_even_weeks() -> None:
    """Gamma-Poisson, prior worth 200 fruit, worked out with scipy: shrunk .9299771167, posterior (.8963051, .9641695).

    The same in kg: four even weeks that carry 1985 fruit of information swing by sqrt(4 / 1985) of their mean.
    """
    from scipy.stats import gamma

    even = [sum(FORECAST) / 4] * 4
    named = {"week_deviation": math.sqrt(4 / sum(FORECAST)), "factor_deviation": math.sqrt(1 / 200)}
    bias = amount_bias(ACTUAL, even, **named)
    assert bias.factor == pytest.approx(0.9299771167, abs=1e-10)
    shape = 1 / bias.factor_error**2
    limits = gamma.ppf([0.05, 0.95], shape, scale=bias.factor / shape)
    assert tuple(limits) == pytest.approx((0.8963051, 0.9641695), abs=5e-8)
    assert amount_bias([a / 7 for a in ACTUAL], [f / 7 for f in even], **named).factor == pytest.approx(
        bias.factor
    )


@pytest.mark.parametrize(
    ("deviation", "weight", "factor"),
    [(0.05, 0.6097561, 0.9489674), (0.10, 0.8620690, 0.9286200), (0.20, 0.9615385, 0.9207189)],
)
def test_ratio_bias(deviation: float, weight: float, factor: float) -> None:
    """Log-normal shrinkage, week-to-week .08: mean log ratio -.0859045."""
    bias = ratio_bias(ACTUAL, FORECAST, week_deviation=0.08, factor_deviation=deviation)
    assert bias.mean_log_ratio == pytest.approx(-0.0859045, abs=5e-8)
    assert bias.own_share == pytest.approx(weight, abs=5e-8)
    assert bias.factor == pytest.approx(factor, abs=5e-8)


def test_uneven_weeks_count_as_kish_says() -> None:
    """Kish 1965: weights 1, 1, 2 are worth (1 + 1 + 2)² / 6 = 2.667 even ones; of what is usual, 4 / 2 = 2.

    By hand, swings and factors of farms alike: factor = (1 + w · 0.5) / (1 + w) over w weeks.
    """
    named = {"week_deviation": 0.3, "factor_deviation": 0.3}
    said = [10.0, 10.0, 20.0]
    assert amount_bias([0, 0, 20], said, **named).factor == pytest.approx((1 + 8 / 6) / (1 + 16 / 6))
    few = amount_bias([0, 0, 20], said, usual=20.0, **named)
    assert few.factor == pytest.approx(2 / 3)
    assert few.factor_error == pytest.approx(0.3 / math.sqrt(2))
    ahead = amount_bias([0, 0, 20], said, usual=20.0, weeks_ahead=2, **named)
    assert ahead.factor == pytest.approx(0.75)


def test_few_weeks_move_the_factor_little_and_many_all_the_way() -> None:
    """A week without a pick is a week like others: the factor stays above 0."""
    named = {"week_deviation": 0.3, "factor_deviation": 0.3}
    assert amount_bias([0], [100], **named).factor == pytest.approx(0.5)
    assert amount_bias([50] * 400, [100] * 400, **named).factor == pytest.approx(0.5, abs=0.002)


@pytest.mark.parametrize(
    "call",
    [
        lambda: naive_scale([5, 5, 5]),
        lambda: naive_scale([5], 1),
        lambda: forecast_errors([], []),
        lambda: forecast_errors([1, 2], [1]),
        lambda: forecast_errors([-1], [1]),
        lambda: interval_record([1], [3], [2], level=0.8),
        lambda: interval_record([1], [1], [2], level=1),
        lambda: ratio_bias([0], [1], week_deviation=0.1, factor_deviation=0.1),
        lambda: amount_bias([1], [0], week_deviation=0.3, factor_deviation=0.3),
        lambda: amount_bias([-1], [1], week_deviation=0.3, factor_deviation=0.3),
        lambda: amount_bias([1], [1], week_deviation=0, factor_deviation=0.3),
        lambda: amount_bias([1], [1], week_deviation=0.3, factor_deviation=0.3, usual=-1),
        lambda: amount_bias([1], [1], week_deviation=0.3, factor_deviation=0.3, weeks_ahead=0),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
