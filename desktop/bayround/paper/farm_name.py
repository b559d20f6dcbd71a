"""The farm's name as every paper shows it."""

from __future__ import annotations

from bayround.facts.farm import FarmInfo
from bayround.words import _


def shown(farm: FarmInfo) -> str:
    """Return the name of the farm, marked when it is invented."""
    marked = not farm.invented or _("invented") in farm.name.casefold()
    return farm.name if marked else _("{farm} (invented sample)").format(farm=farm.name)
