"""A farm file in a folder of its own, empty or stocked with one bay of ten plants and two rounds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import factory
import pytest
from bayround.facts.season import SeasonFacts
from bayround.records.farm_file import create_farm
from bayround.records.store import Store
from bayround.records.write_setup import add


def all_of(season: SeasonFacts) -> list[Any]:
    """Return every fact of a season but the farm's own record."""
    return [fact for part in fields(season) if part.name != "farm" for fact in getattr(season, part.name)]


@pytest.fixture
def farm_path(tmp_path: Path) -> Path:
    folder = tmp_path / "Farm über % #1?"  # signs that an address of a file must quote
    folder.mkdir()
    return folder / "Hill.bayround"


@pytest.fixture
def store(farm_path: Path) -> Iterator[Store]:
    with create_farm(farm_path, "Hill farm") as made:
        yield made


@pytest.fixture
def season() -> SeasonFacts:
    return factory.season(factory.past())


@pytest.fixture
def stocked(store: Store, season: SeasonFacts) -> Store:
    add(store, *all_of(season))
    return store
