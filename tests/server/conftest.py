"""Farms on a real PostgreSQL: a database of its own for every test, copied from a pattern made once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import factory
import postgres
from bayround.facts.season import SeasonFacts
from bayround.facts.server_address import ServerAddress
from bayround.records.farm_file import create_farm
from bayround.records.moving import move
from bayround.records.write_setup import add


def all_of(season: SeasonFacts) -> list[object]:
    """Return every fact of a season but the farm's own record."""
    found: list[object] = []
    for name in season.__dataclass_fields__:
        facts = getattr(season, name)
        if name != "farm":
            found += facts
    return found


@pytest.fixture(scope="session")
def server_season() -> SeasonFacts:
    return factory.season(factory.past())


@pytest.fixture(scope="session")
def farm_pattern(tmp_path_factory: pytest.TempPathFactory, server_season: SeasonFacts) -> Path:
    """A stocked farm file that is never opened for writing."""
    path = tmp_path_factory.mktemp("server pattern") / "stocked.bayround"
    with create_farm(path, "Test farm") as store:
        add(store, *all_of(server_season))
    return path


@pytest.fixture(scope="session")
def server_pattern(farm_pattern: Path) -> ServerAddress:
    """The database that the tests get copies of."""
    from bayround.records.farm_file import open_farm

    address = postgres.shared().new_database()
    with open_farm(farm_pattern, read_only=True) as pattern:
        move(pattern, address)
    return address


@pytest.fixture
def server_farm(server_pattern: ServerAddress) -> Iterator[ServerAddress]:
    """A stocked farm on the server, of this test alone."""
    address = postgres.shared().new_database(server_pattern.database)
    yield address
    postgres.shared().drop(address.database)
