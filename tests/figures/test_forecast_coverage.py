"""Do the intervals of the pick forecast hold four weeks out of five? A few simulated seasons through `figures.picks`.

``python -m tests.pick_coverage`` plays many more, of three crops.
"""

from __future__ import annotations

import numpy as np
import pytest

from bayround.agronomy import forecast_width
from bayround.figures import picks
from pick_coverage import BAND, Farming, Held, play, table_row

FLUSHES = Farming("sweet_pepper", flushes=True)
SEASONS, SEED = 9, 4


@pytest.fixture(scope="module")
def with_flushes() -> Held:
    return play(FLUSHES, SEASONS, SEED)


@pytest.mark.parametrize("even", [False, True])
def test_four_weeks_out_of_five_lie_inside(even: bool, with_flushes: Held) -> None:
    """80 % ± 3 %: fruit set in flushes and evenly, the farm off the crop file, its record used as it grows."""
    held = play(Farming("sweet_pepper", flushes=False), SEASONS, SEED) if even else with_flushes
    print(table_row("pepper", held))
    assert held.weeks > 700
    assert BAND[0] <= held.share <= BAND[1]
    assert abs(held.bias - 1) < 0.1


def test_a_farm_steadier_than_the_crop_file_gets_narrower_intervals(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cucumber whose weeks are all alike, where the file expects flushes: what held too often is told narrower."""
    even = Farming("cucumber", flushes=False)
    held = play(even, 4, 6)
    monkeypatch.setattr(forecast_width, "width_factor", lambda *_, **__: 1.0)
    without = play(even, 4, 6)
    print(table_row("with", held), table_row("without", without), sep="\n")
    assert held.weeks > 400
    assert BAND[0] <= held.share <= BAND[1] < without.share


def test_taking_a_stage_for_evenly_filled_would_not_hold(
    monkeypatch: pytest.MonkeyPatch, with_flushes: Held
) -> None:
    """The mistake of forgetting flushes: fruit spread evenly over their stage, and sure to be."""
    monkeypatch.setattr(picks.pick_rounds, "ages_of", lambda *_: None)
    monkeypatch.setattr(picks, "set_variation_of", lambda _profile: 0.0)
    monkeypatch.setattr(forecast_width, "width_factor", lambda *_, **__: 1.0)
    held = play(FLUSHES, SEASONS, SEED)
    print(table_row("evenly filled", held))
    assert np.mean(held.early) < 0.75 < np.mean(with_flushes.early)


def test_taking_the_crop_file_for_the_farm_would_not_hold(
    monkeypatch: pytest.MonkeyPatch, with_flushes: Held
) -> None:
    """The mistake of a forecast that knows of plants, luck and weather only, and never looks at its record."""
    monkeypatch.setattr(picks, "widened", lambda window, *_: window)
    monkeypatch.setattr(picks.ripening, "corrected_window", lambda window, _factor: window)
    held = play(FLUSHES, SEASONS, SEED)
    print(table_row("file for farm", held))
    assert held.share < 0.74
