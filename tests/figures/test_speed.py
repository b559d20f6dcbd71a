"""A bay-week is quick: measured against a loop of plain Python in the same run, so that a slow computer may be slow.

``python -m tests.benchmarks`` prints the times themselves, for a farm of 200 bays too.
"""

from __future__ import annotations

import time

from bayround.crops import load_crops
from bayround.facts.bay_past import gather
from bayround.facts.season import SeasonFacts
from bayround.week.bay_figures import all_figures
from benchmarks import LAST_DAY, best_of, many_bays, with_forecasts

LOOPS = 100_000
LOOP_MS = 6.5
"""What the loop takes on the computer for which a bay-week may take 5 ms."""


def loop() -> int:
    found = 0
    for number in range(LOOPS):
        found += number * number % 7
    return found


def test_a_bay_week_takes_less_than_five_milliseconds() -> None:
    crops = load_crops()
    season = with_forecasts(crops)
    pasts = gather(season, LAST_DAY)
    slowness = best_of(loop, 9) * 1000 / LOOP_MS
    took = best_of(lambda: [all_figures(past, crops, LAST_DAY) for past in pasts], 9) * 1000 / len(pasts)
    assert took / slowness < 5.0


def test_the_copies_of_the_benchmark_are_bays_of_their_own() -> None:
    crops = load_crops()
    season: SeasonFacts = with_forecasts(crops)
    farm = many_bays(season, 40)
    assert len(farm.bays) == len({bay.id for bay in farm.bays}) == 40
    pasts = gather(farm, LAST_DAY)
    first, again = (
        next(past for past in pasts if past.bay.id == season.bays[0].id + end) for end in ("", "/1")
    )
    mine, theirs = (all_figures(past, crops, LAST_DAY) for past in (first, again))
    assert {key: figure.value for key, figure in mine.items()} == {k: f.value for k, f in theirs.items()}
    assert first.visits[0].visit.id != again.visits[0].visit.id


def test_the_clock_of_the_benchmark_runs() -> None:
    assert best_of(lambda: time.sleep(0) or sum(range(200_000)), 1) > 0
