"""A farm of its own for every test, empty or stocked with one bay of ten plants and two rounds.

It is a file; in modules that say ``ON_BOTH = True`` every test runs a second time on a real PostgreSQL.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from stocking import all_of

import factory
import postgres
from bayround.facts.season import SeasonFacts
from bayround.facts.server_address import FarmPlace
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.moving import move
from bayround.records.opening import open_place
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


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if getattr(metafunc.module, "ON_BOTH", False) and "engine" in metafunc.fixturenames:
        metafunc.parametrize("engine", ["file", "server"], indirect=True)


@pytest.fixture
def engine(request: pytest.FixtureRequest) -> str:
    """Where the farm of a test is kept: "file" or "server"."""
    return str(getattr(request, "param", "file"))


@pytest.fixture(scope="session")
def on_server(patterns: Path) -> dict[str, str]:
    """The databases that tests get copies of; made once, of the same patterns."""
    made = {}
    for name in ("empty", "stocked"):
        address = postgres.shared().new_database()
        with open_farm(patterns / name, read_only=True) as pattern:
            move(pattern, address)
        made[name] = address.database
    return made


@pytest.fixture
def put(
    engine: str, patterns: Path, farm_path: Path, request: pytest.FixtureRequest
) -> Iterator[Callable[[str], FarmPlace]]:
    """Put a copy of a pattern where the test's farm is kept."""
    if engine == "file":
        yield lambda name: Path(shutil.copyfile(patterns / name, farm_path))
        return
    made: list[str] = []

    def on_server(name: str) -> FarmPlace:
        address = postgres.shared().new_database(request.getfixturevalue("on_server")[name])
        made.append(address.database)
        return address

    yield on_server
    for database in made:
        postgres.shared().drop(database)


@pytest.fixture
def store(put: Callable[[str], FarmPlace]) -> Iterator[Store]:
    with open_place(put("empty")) as opened:
        yield opened


@pytest.fixture
def stocked(put: Callable[[str], FarmPlace]) -> Iterator[Store]:
    with open_place(put("stocked")) as opened:
        yield opened
