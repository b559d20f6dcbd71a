"""A farm file in a folder of its own, empty or stocked with one bay of ten plants and two rounds."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from stocking import all_of

import factory
from bayround.facts.season import SeasonFacts
from bayround.records.farm_file import create_farm
from bayround.records.store import Store
from bayround.records.write_setup import add


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
