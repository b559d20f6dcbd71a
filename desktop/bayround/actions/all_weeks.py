"""The tables of all weeks in one workbook, for pivot tables."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

from bayround.actions import file_names
from bayround.actions.farm import OpenFarm
from bayround.actions.week import newest_week
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.paper.all_weeks import book
from bayround.paper.workbook.book import Stopped
from bayround.records import read_season
from bayround.week import build
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

__all__ = ["Stopped", "default_name", "facts", "write"]


def facts(farm: OpenFarm) -> SeasonFacts:
    """Return everything the workbook is built from.

    Raises:
        Refused: when the farm has no round yet.
    """
    newest_week(farm)
    return read_season.read_season(farm.store)


def write(
    farm: OpenFarm,
    season: SeasonFacts,
    path: Path,
    today: date,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Path, int]:
    """Write the workbook of every week with a round; return its path and how many weeks it holds.

    Does not touch the farm file: *season* is what `facts` returned.

    Raises:
        Stopped: *cancelled* said yes.
        Problem: as `workbook.write_week`.
    """
    weeks = sorted({Week.of(walked.held_on) for walked in season.rounds})
    crops = farm.crops

    def pictures() -> Iterator[WeekSnapshot]:
        for week in weeks:
            yield build.build(season, crops, week, today)

    return book.write(pictures(), len(weeks), path, crops, progress, cancelled), len(weeks)


def default_name(farm_name: str) -> str:
    """Return ``<farm> all weeks.xlsx``, without signs that Windows, macOS or Linux refuse in a name."""
    return file_names.safe(_("{farm} all weeks").format(farm=farm_name), ".xlsx")
