"""Weeks of the sample farm and of generated farms, compared face by face."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import faces

import generated_farms
from bayround.actions import sample
from bayround.actions.workbook import write_week
from bayround.crops import load_crops
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.week import build
from bayround.week.snapshot import WeekSnapshot

CROPS = load_crops()
_FILES_AT_ONCE = 150


def weeks_of(season: SeasonFacts) -> list[Week]:
    """Return the weeks with a round, oldest first."""
    return sorted({Week.of(walked.held_on) for walked in season.rounds})


def sample_weeks(last: int = 0) -> Iterator[tuple[str, WeekSnapshot]]:
    """Yield every week of the invented farm, or the *last* ones."""
    season = sample.season_facts()
    for week in weeks_of(season)[-last:]:
        yield f"sample {week}", _picture(season, week)


def generated_weeks(farms: int, first_seed: int = 1) -> Iterator[tuple[str, WeekSnapshot]]:
    """Yield every week of so many generated farms."""
    for seed in range(first_seed, first_seed + farms):
        season = generated_farms.farm_of(seed)
        for week in weeks_of(season):
            yield f"farm {seed} {week}", _picture(season, week)


def _picture(season: SeasonFacts, week: Week) -> WeekSnapshot:
    return build.with_earlier(build.build(season, CROPS, week, week.sunday), CROPS)


def compare_all(weeks: Iterator[tuple[str, WeekSnapshot]], folder: Path) -> faces.Tally:
    """Write every week's workbook, let LibreOffice show them, compare all faces."""
    tally = faces.Tally()
    waiting: list[tuple[WeekSnapshot, Path]] = []
    for name, snapshot in weeks:
        waiting.append((snapshot, write_week(snapshot, folder / f"{name}.xlsx", crops=CROPS)))
        if len(waiting) == _FILES_AT_ONCE:
            _compare(tally, waiting, folder)
            waiting.clear()
    _compare(tally, waiting, folder)
    return tally


def _compare(tally: faces.Tally, waiting: list[tuple[WeekSnapshot, Path]], folder: Path) -> None:
    if not waiting:
        return
    shown = folder / "shown"
    shown.mkdir(exist_ok=True)
    faces.convert([path for _snapshot, path in waiting], shown)
    for snapshot, path in waiting:
        faces.compare(tally, snapshot, path, shown)
        path.unlink()
        for made in shown.glob(f"{path.stem}-*.csv"):
            made.unlink()
