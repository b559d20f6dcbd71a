"""A farm of one house with two bays of pepper, open for writing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import farm as farm_actions
from bayround.actions.jobs import Moment
from bayround.records import write_setup


@pytest.fixture
def small(tmp_path: Path) -> Iterator[SmallFarm]:
    opened = farm_actions.create(tmp_path / "small.bayround", "Small farm")
    person, house = factory.person(hours_per_week=40.0), factory.house()
    bays = (factory.bay(house, position=1), factory.bay(house, name="Bay 2", position=2))
    plantings = (factory.planting(bays[0]), factory.planting(bays[1]))
    write_setup.add(opened.store, person, house, *bays, *plantings)
    now = datetime(2026, 10, 20, 12, tzinfo=UTC)
    yield SmallFarm(opened, person, house, bays, plantings, Moment(TODAY, now, person.id))
    opened.close()
