"""Change and trend of a share infested, against published tables and statsmodels."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.contingency_tables import Table
from statsmodels.stats.proportion import confint_proportions_2indep

from bayround.agronomy.share_change import share_change, share_trend, trend_is_clear

NEWCOMBE = (
    ((48, 80), (56, 70), 0.0524, 0.3339),
    ((3, 10), (9, 10), 0.1705, 0.8090),
    ((2, 7), (6, 7), 0.0582, 0.8062),
    ((0, 29), (5, 56), -0.0381, 0.1926),
    ((0, 20), (0, 10), -0.1611, 0.2775),
    ((0, 10), (0, 10), -0.2775, 0.2775),
    ((0, 20), (10, 10), 0.6791, 1.0000),
    ((0, 10), (10, 10), 0.6075, 1.0000),
)
"""Newcombe 1998, Stat. Med. 17:873-890, Table II, method 10 (table from memory; statsmodels agrees, below)."""


@pytest.mark.parametrize(("earlier", "later", "low", "high"), NEWCOMBE)
def test_newcombes_eight_examples(
    earlier: tuple[int, int], later: tuple[int, int], low: float, high: float
) -> None:
    found = share_change(earlier, later)
    assert (found.low, found.high) == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


@pytest.mark.parametrize(("earlier", "later", "_low", "_high"), NEWCOMBE)
def test_statsmodels_gives_the_same_limits(
    earlier: tuple[int, int], later: tuple[int, int], _low: float, _high: float
) -> None:
    low, high = confint_proportions_2indep(*later, *earlier, method="newcomb", compare="diff")
    found = share_change(earlier, later)
    assert (found.low, found.high) == (pytest.approx(low, abs=1e-9), pytest.approx(high, abs=1e-9))


def test_the_plain_interval_is_not_used() -> None:
    """The trap: ± z·√(sum of variances) says "exactly no change" after two clean visits."""
    assert share_change((0, 10), (0, 10)).high > 0.25


def test_trend_of_the_malformations_of_agresti() -> None:
    """Agresti 2002, Categorical Data Analysis, 2nd ed., section 5.3.5: z² = 6.57, P = 0.010 (from memory)."""
    days, cases = [0.0, 0.5, 1.5, 4.0, 7.0], [48, 38, 5, 1, 1]
    looked = [17114, 14502, 793, 127, 38]
    trend = share_trend(days, cases, looked)
    assert trend is not None
    assert trend.z**2 == pytest.approx(6.57, abs=0.005)
    assert trend_is_clear(trend)


def test_trend_is_that_of_statsmodels() -> None:
    days, found, looked = [0.0, 7.0, 14.0, 22.0], [1, 3, 4, 9], [20, 20, 19, 20]
    trend = share_trend(days, found, looked)
    assert trend is not None
    table = np.array([found, [all_ - some for all_, some in zip(looked, found, strict=True)]])
    other = Table(table).test_ordinal_association(row_scores=np.array([1, 0]), col_scores=np.array(days))
    units = sum(looked)
    assert trend.z == pytest.approx(other.zscore * np.sqrt(units / (units - 1)), rel=1e-9)


def test_slope_is_the_weighted_least_squares_line() -> None:
    days, found, looked = np.array([0.0, 7.0, 14.0, 22.0]), np.array([1, 3, 4, 9]), np.array([20, 40, 19, 20])
    trend = share_trend(days.tolist(), found.tolist(), looked.tolist())
    assert trend is not None
    slope, _intercept = np.polyfit(days, found / looked, 1, w=np.sqrt(looked))
    assert trend.slope_per_day == pytest.approx(slope, rel=1e-9)


def test_no_trend_without_variation() -> None:
    assert share_trend([0.0, 7.0], [0, 0], [20, 20]) is None
    assert share_trend([0.0, 7.0], [20, 20], [20, 20]) is None
    assert share_trend([3.0, 3.0], [1, 2], [20, 20]) is None


def test_impossible_counts_are_refused() -> None:
    with pytest.raises(ValueError):
        share_trend([0.0, 7.0], [1, 21], [20, 20])
    with pytest.raises(ValueError):
        share_change((3, 2), (1, 2))
