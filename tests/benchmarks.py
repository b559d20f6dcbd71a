"""How long a bay-week, a week of 200 bays and the window take: `python -m tests.benchmarks`.

The sample farm's bays are taken again and again under new names until there are 200 of them. Beside each time
stands the time numpy needs for the bare sums of the same readings in the same run, and how often that goes
into it: the ratio says the same on a fast and on a slow computer. Times are processor time, the best of several.
What the window takes is measured in `benchmarks_window`, by the clock on the wall.
"""

from __future__ import annotations

import argparse
import gc
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from datetime import date
from pathlib import Path
from typing import Any

from bayround.actions import forecasts, sample
from bayround.crops import Crops, load_crops
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.rounds import READING_FIELDS
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.week import build
from bayround.week.bay_figures import all_figures

LAST_DAY = date(2026, 11, 20)
BAYS = 200
BAY_WEEK_LIMIT_MS = 5.0
WEEK_LIMIT_S = 1.0
OF_BAY = {
    "bays", "plantings", "marked_plants", "visits", "readings", "pest_checks", "card_counts", "weed_notes",
    "doubt_answers", "jobs", "job_events", "treatment_bays", "picks", "forecasts",
}  # fmt: skip
"""Facts that belong to a bay and are taken again for each copy of it."""

KEYS = {"id", "bay_id", "planting_id", "marked_plant_id", "visit_id", "job_id", "replaces_id"}


@dataclass(frozen=True)
class Times:
    """Best times in seconds."""

    bay_week: float
    bay_sums: float
    week: float
    week_sums: float


def with_forecasts(crops: Crops) -> SeasonFacts:
    """Return the invented season with the forecasts it would have kept."""
    season = sample.season_facts()
    return replace(season, forecasts=forecasts.of_season(season, crops))


def many_bays(season: SeasonFacts, bays: int) -> SeasonFacts:
    """Return a farm of *bays* bays: the season's own, taken again under new keys."""
    copies = -(-bays // len(season.bays))
    grown: dict[str, tuple[Any, ...]] = {}
    for field in fields(season):
        rows = getattr(season, field.name)
        if field.name in OF_BAY:
            grown[field.name] = tuple(_copy(row, copy) for copy in range(copies) for row in rows)
    kept = {bay.id for bay in grown["bays"][:bays]}
    grown["bays"] = grown["bays"][:bays]
    grown["plantings"] = tuple(row for row in grown["plantings"] if row.bay_id in kept)
    return replace(season, **grown)


def _copy(row: Any, copy: int) -> Any:
    if copy == 0:
        return row
    names = {field.name for field in fields(row)}
    changed = {key: f"{getattr(row, key)}/{copy}" for key in KEYS & names if getattr(row, key) is not None}
    return replace(row, **changed)


def best_of(work: Callable[[], object], times: int) -> float:
    """Return the shortest processor time of several runs, in seconds, rubbish collected before."""
    gc.collect()
    shortest = float("inf")
    for _ in range(times):
        began = time.process_time()
        work()
        shortest = min(shortest, time.process_time() - began)
    return shortest


def bare_sums(pasts: tuple[BayPast, ...]) -> Callable[[], object]:
    """Return what numpy does with the newest readings of these bays: a mean and a deviation a field."""
    import numpy as np

    blocks = [
        np.array(
            [
                [reading.value(field) or 0.0 for field in READING_FIELDS]
                for reading in past.latest.readings.values()
            ]
        )
        for past in pasts
        if past.latest is not None
    ]

    def sums() -> list[tuple[Any, Any]]:
        return [(block.mean(axis=0), block.std(axis=0, ddof=1)) for block in blocks]

    return sums


def measure(bays: int = BAYS, runs: int = 7) -> Times:
    """Measure both, once warm."""
    crops = load_crops()
    season = with_forecasts(crops)
    few = gather(season, LAST_DAY)
    farm = many_bays(season, bays)
    many = gather(farm, LAST_DAY)
    week = Week.of(LAST_DAY)
    for past in few:
        all_figures(past, crops, LAST_DAY)
    gc.freeze()
    gc.disable()  # as in the window, where the collector waits for the screen's timer (window/collector.py)
    try:
        return Times(
            bay_week=best_of(lambda: [all_figures(past, crops, LAST_DAY) for past in few], runs) / len(few),
            bay_sums=best_of(bare_sums(few), runs) / len(few),
            week=best_of(lambda: build.build(farm, crops, week, LAST_DAY), runs),
            week_sums=best_of(bare_sums(many), runs),
        )
    finally:
        gc.enable()


def report(times: Times, bays: int) -> str:
    """Return both times, the bare sums beside them, and the ratios."""
    rows = (
        ("one bay-week", times.bay_week * 1000, BAY_WEEK_LIMIT_MS, "ms", times.bay_week / times.bay_sums),
        (f"week of {bays} bays", times.week, WEEK_LIMIT_S * bays / BAYS, "s", times.week / times.week_sums),
    )
    lines = [f"{'':<20}{'time':>10}{'limit':>10}{'× numpy sums':>16}"]
    for name, value, limit, unit, ratio in rows:
        lines.append(f"{name:<20}{f'{value:.2f} {unit}':>10}{f'{limit:.2f} {unit}':>10}{ratio:>16.0f}")
    lines.append(f"numpy sums of one bay: {times.bay_sums * 1000:.3f} ms; of all: {times.week_sums:.4f} s")
    return "\n".join(lines)


def main() -> int:
    """Print the table; 1 when a limit is passed."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--bays", type=int, default=BAYS, help="how many bays the farm has")
    parser.add_argument("--runs", type=int, default=12, help="the best of so many runs counts")
    parser.add_argument("--ten-years", action="store_true", help="opening and backing up ten years, instead")
    parser.add_argument("--no-window", action="store_true", help="leave the window out")
    chosen = parser.parse_args()
    if chosen.ten_years:
        from tests import ten_years

        return ten_years.run(chosen.bays, min(chosen.runs, 3))
    times = measure(chosen.bays, chosen.runs)
    print(report(times, chosen.bays))
    sys.path.insert(0, str(Path(__file__).parent))
    import benchmark_workbook

    both = benchmark_workbook.measure(chosen.bays, 3)
    print(benchmark_workbook.report(both, chosen.bays))
    light = both.time_ratio <= benchmark_workbook.LIMIT and both.memory_ratio <= benchmark_workbook.LIMIT
    shown = True
    if not chosen.no_window:
        import benchmarks_window

        window = benchmarks_window.measure(chosen.bays, chosen.runs)
        print(window.report())
        shown = window.within
    quick = times.bay_week * 1000 < BAY_WEEK_LIMIT_MS and times.week < WEEK_LIMIT_S * chosen.bays / BAYS
    return 0 if quick and light and shown else 1


if __name__ == "__main__":
    sys.exit(main())
