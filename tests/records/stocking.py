"""The facts of a season in one row, to be put into a farm file."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from bayround.facts.season import SeasonFacts


def all_of(season: SeasonFacts) -> list[Any]:
    """Return every fact of a season but the farm's own record."""
    return [fact for part in fields(season) if part.name != "farm" for fact in getattr(season, part.name)]
