"""A farm file in a folder of its own, empty or stocked with one bay of ten plants and two rounds."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from stocking import all_of

import factory
from bayround.facts.season import SeasonFacts
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.store import Store
from bayround.records.write_setup import add


@pytest.fixture
def farm_path(tmp_path: Path) -> Path:
    folder = tmp_path / "Farm über % #1?"  # signs that an address of a file must quote
    folder.mkdir()
    return folder / "Hill.bayround"


@pytest.fixture(scope="session")
def season() -> SeasonFacts:
    return factory.season(factory.past())


@pytest.fixture(scope="session")
def patterns(season: SeasonFacts, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The two farm files that tests get copies of; made once."""
    folder = tmp_path_factory.mktemp("patterns")
    create_farm(folder / "empty", "Hill farm").close()
    with create_farm(folder / "stocked", "Hill farm") as made:
        add(made, *all_of(season))
    return folder


@pytest.fixture
def store(patterns: Path, farm_path: Path) -> Iterator[Store]:
    shutil.copyfile(patterns / "empty", farm_path)
    with open_farm(farm_path) as opened:
        yield opened


@pytest.fixture
def stocked(patterns: Path, farm_path: Path) -> Iterator[Store]:
    shutil.copyfile(patterns / "stocked", farm_path)
    with open_farm(farm_path) as opened:
        yield opened
