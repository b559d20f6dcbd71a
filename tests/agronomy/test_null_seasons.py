"""Seasons without any true difference, through the report that the window shows."""

from __future__ import annotations

import pytest

from bayround.agronomy.repeated_looks import chance_of_false_finding
from bayround.facts.trials import TrialDesign
from null_seasons import DESIGNS, false_share

SEASONS = 400
"""A short run: 5 % of 400 has a standard error of 1.1 %. `python -m tests.null_seasons` holds 5 % ± 1 % on 6,000."""


@pytest.mark.parametrize("design", DESIGNS)
def test_tukey_keeps_the_family_error(design: TrialDesign) -> None:
    """Four varieties that are the same: about one season in twenty shows a false difference, not one in five."""
    assert abs(false_share(design, SEASONS) - 0.05) <= 0.025


@pytest.mark.parametrize(
    ("looks", "published"),
    [(1, 0.05), (2, 0.083), (3, 0.107), (4, 0.126), (5, 0.142), (10, 0.193), (20, 0.248)],
)
def test_repeated_looks(looks: int, published: float) -> None:
    """Armitage, McPherson & Rowe 1969, JRSS A 132:235-244, table 2, nominal 5 % (from memory)."""
    assert chance_of_false_finding(looks) == pytest.approx(published, abs=0.0011)
