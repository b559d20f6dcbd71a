"""How often Tukey finds a difference where there is none: `python -m tests.null_seasons [SEASONS]`.

Four varieties that are the same, five plots each, typed into a trial and read off the report that the window shows.
A season counts as false when any pair is told apart. P-values and yardsticks, which cost time, are left out;
intervals decide what is told apart, and stay.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from unittest.mock import patch

import numpy as np

from bayround.agronomy import comparisons, trial_factors
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.figures import trials
from bayround.figures.trial_plots import PlotValue

SEED, SEASONS = 1953, 6000
TODAY = date(2026, 11, 24)
DESIGNS = (TrialDesign.COMPLETELY_RANDOMISED, TrialDesign.BLOCKS)


def false_share(design: TrialDesign, seasons: int, seed: int = SEED) -> float:
    """Return the share of seasons in which at least one pair of equal varieties is told apart."""
    source = np.random.default_rng(seed)
    trial = Trial("t", "Null", "", design, "variety", "typed", date(2026, 7, 1), ended_on=TODAY)
    false = 0
    with quick():
        for _season in range(seasons):
            values = source.normal(6.0, 0.6, 20)
            if design is TrialDesign.BLOCKS:
                values = values + np.repeat(source.normal(0, 1, 5), 4)
            report = trials.report(trial, _plots(trial, values, design is TrialDesign.BLOCKS), TODAY)
            assert report.tested is not None
            false += any(line.told_apart for line in report.effects)
    return false / seasons


@contextmanager
def quick() -> Iterator[None]:
    """Leave out p-values and yardsticks."""
    with (
        patch.object(comparisons, "chance_range_above", lambda value, groups, degrees: 0.5),
        patch.object(trial_factors, "smallest_detectable_difference", lambda *a, **k: 1.0),
        patch.object(trial_factors, "explained_share", lambda *a: comparisons.Share(0.0, 0.0, 0.0)),
    ):
        yield


def _plots(trial: Trial, values: np.ndarray, blocks: bool) -> list[PlotValue]:
    found = []
    for place, value in enumerate(values):
        block = str(place // 4) if blocks else ""
        plot = TrialPlot(str(place), trial.id, str(place), "ABCD"[place % 4], "", block, value=float(value))
        found.append(PlotValue(plot, "", float(value)))
    return found


def main(words: list[str]) -> int:
    """Print the share for each design; 1 when one lies outside 5 % ± 1 %."""
    seasons = int(words[0]) if words else SEASONS
    shares = {design: false_share(design, seasons) for design in DESIGNS}
    for design, share in shares.items():
        print(f"{design.value}: a false difference in {share:.2%} of {seasons} seasons (5 % ± 1 %)")
    return int(any(abs(share - 0.05) > 0.01 for share in shares.values()))


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
