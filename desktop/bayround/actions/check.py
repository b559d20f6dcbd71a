"""Is the farm file sound?"""

from __future__ import annotations

from collections.abc import Iterator

from bayround.actions.farm import OpenFarm
from bayround.facts.season import SeasonFacts
from bayround.records import check as records_check
from bayround.records import read_season
from bayround.records.store import Store
from bayround.week import corrected
from bayround.words import _


def check(farm: OpenFarm) -> tuple[str, ...]:
    """Go through the whole farm file and return what was found, in words; nothing when all is well.

    Raises:
        FarmFileProblem: when the file is so damaged that it can't be read.
    """
    return of_store(farm.store)


def of_store(store: Store) -> tuple[str, ...]:
    """Like `check`, of a farm file that is open."""
    found = records_check.check(store)
    return found or tuple(_closed_weeks(read_season.read_season(store)))


def _closed_weeks(season: SeasonFacts) -> Iterator[str]:
    """Yield the closed weeks whose workbook knew of corrections that the file no longer holds as they were."""
    for close in season.week_closes:
        if close.chain_head is not None and corrected.entries_up_to(season, close.chain_head) is None:
            yield _(
                "The history of corrections is not the one that the workbook of {week} went out with: "
                "entries are missing or were altered since."
            ).format(week=close.week)
