"""Is the farm file sound?"""

from __future__ import annotations

from bayround.actions.farm import OpenFarm
from bayround.records import check as records_check


def check(farm: OpenFarm) -> tuple[str, ...]:
    """Go through the whole farm file and return what was found, in words; nothing when all is well.

    Raises:
        FarmFileProblem: when the file is so damaged that it can't be read.
    """
    return records_check.check(farm.store)
