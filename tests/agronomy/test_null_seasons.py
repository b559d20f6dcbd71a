"""Seasons without any true difference, through the report that the window shows."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from bayround.agronomy import comparisons, trial_factors
from bayround.agronomy.repeated_looks import chance_of_false_finding
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.figures import trials
from bayround.figures.trial_plots import PlotValue

SEASONS = 1500
TODAY = date(2026, 11, 24)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out p-values and yardsticks, which cost time; intervals decide what is told apart, and stay."""
    monkeypatch.setattr(comparisons, "chance_range_above", lambda value, groups, degrees: 0.5)
    monkeypatch.setattr(trial_factors, "smallest_detectable_difference", lambda *a, **k: 1.0)
    monkeypatch.setattr(trial_factors, "explained_share", lambda *a: comparisons.Share(0.0, 0.0, 0.0))


def plots_of(trial: Trial, values: np.ndarray, blocks: bool) -> list[PlotValue]:
    found = []
    for place, value in enumerate(values):
        block = str(place // 4) if blocks else ""
        plot = TrialPlot(str(place), trial.id, str(place), "ABCD"[place % 4], "", block, value=float(value))
        found.append(PlotValue(plot, "", float(value)))
    return found


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("design", [TrialDesign.COMPLETELY_RANDOMISED, TrialDesign.BLOCKS])
def test_tukey_keeps_the_family_error(design: TrialDesign) -> None:
    """Four varieties that are the same, five plots each: one false difference or more in 5 % ± 1 % of seasons."""
    source = np.random.default_rng(1953)
    trial = Trial("t", "Null", "", design, "variety", "typed", date(2026, 7, 1), ended_on=TODAY)
    blocks = design is TrialDesign.BLOCKS
    false = 0
    for _season in range(SEASONS):
        values = source.normal(6.0, 0.6, 20) + (np.repeat(source.normal(0, 1, 5), 4) if blocks else 0.0)
        report = trials.report(trial, plots_of(trial, values, blocks), TODAY)
        false += any(line.told_apart for line in report.effects)
    assert abs(false / SEASONS - 0.05) <= 0.01


@pytest.mark.parametrize(
    ("looks", "published"),
    [(1, 0.05), (2, 0.083), (3, 0.107), (4, 0.126), (5, 0.142), (10, 0.193), (20, 0.248)],
)
def test_repeated_looks(looks: int, published: float) -> None:
    """Armitage, McPherson & Rowe 1969, JRSS A 132:235-244, table 2, nominal 5 % (from memory)."""
    assert chance_of_false_finding(looks) == pytest.approx(published, abs=0.0011)
