"""A file of version 1 holds keys of 36 signs; what is keyed in after the upgrade has 22. Both live in one farm."""

from __future__ import annotations

import shutil
from contextlib import closing
from dataclasses import fields, replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from bayround.actions import data_package
from bayround.actions import farm as farm_actions
from bayround.facts.farm import House, HouseKind
from bayround.facts.ids import LONG, SHORT, new_id
from bayround.facts.kept import Condition, HouseCheck, StandCount
from bayround.facts.rounds import Round, Visit
from bayround.facts.work import Pick
from bayround.jobs.house_fault import standing
from bayround.records import merge, read_visit, write_setup, write_visit
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.read_season import read_season
from bayround.records.salvage import salvage
from bayround.records.store import Store

OLD = Path(__file__).with_name("version_1.bayround")
TODAY = date(2026, 11, 24)
NOW = datetime(2026, 11, 24, 9, tzinfo=UTC)
PLANTS = 3


def key_in(store: Store) -> Visit:
    """Key a visit into the farm, as the window does, and leave it a draft."""
    known = read_season(store)
    person, planting = known.people[0].id, known.plantings[0]
    walk = write_visit.start_round(store, Round(new_id(), TODAY, person))
    begun = Visit(new_id(), walk.id, planting.bay_id, planting.id, TODAY, person, started_at=NOW)
    visit = write_visit.start_visit(store, begun)
    for place, plant in enumerate(known.marked_plants[:PLANTS]):
        write_visit.save_cell(store, visit.id, plant.id, "height_cm", 150.0 + place)
    return visit


@pytest.fixture
def mixed(tmp_path: Path) -> Path:
    """An old file, brought up to date, with a new visit in it."""
    path = tmp_path / "farm.bayround"
    shutil.copy(OLD, path)
    with open_farm(path) as store:
        write_visit.finish_visit(store, key_in(store).id, NOW)
    return path


def kinds_of_key(path: Path) -> dict[str, set[int]]:
    with open_farm(path, read_only=True) as store:
        season = read_season(store)
    parts = ("rounds", "visits", "readings")
    return {part: {len(row.id) for row in getattr(season, part)} for part in parts}


def test_both_stand_in_one_farm_and_nothing_is_wrong_with_it(mixed: Path) -> None:
    assert set(map(frozenset, kinds_of_key(mixed).values())) == {frozenset({SHORT, LONG})}
    with open_farm(mixed) as store:
        assert check(store) == ()
        newest = read_season(store).visits[-1]
        read = read_visit.read_visit(store, newest.id).readings
        assert sorted(reading.height_cm or 0.0 for reading in read) == [150.0, 151.0, 152.0]


def test_an_old_laptop_and_an_upgraded_one_are_merged(mixed: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.bayround"
    shutil.copy(OLD, other)
    with open_farm(other) as store:
        found = merge.merge(store, [mixed])
        assert (found.added, found.changed, found.conflicts, found.doubled) == (
            {"round": 1, "visit": 1, "reading": PLANTS}, {}, (), (),
        )  # fmt: skip
        assert check(store) == ()
        assert not merge.merge(store, [mixed, OLD]).anything


def test_both_come_through_the_data_package_and_through_a_salvage(mixed: Path, tmp_path: Path) -> None:
    with closing(farm_actions.open_farm(mixed, read_only=True)) as farm:
        data_package.package(farm, tmp_path / "farm.zip")
    data_package.rebuild(tmp_path / "farm.zip", tmp_path / "again.bayround")
    found = salvage(mixed, tmp_path / "saved.bayround")
    assert (found.dropped, found.incomplete) == ({}, [])
    with open_farm(mixed) as store:
        season = read_season(store)
    for path in (tmp_path / "again.bayround", tmp_path / "saved.bayround"):
        with open_farm(path) as store:
            again = read_season(store)
        for part in fields(season):
            if part.name != "farm":
                assert set(getattr(again, part.name)) == set(getattr(season, part.name))
        assert replace(again.farm, revision=0) == replace(season.farm, revision=0)


def test_a_backup_from_before_the_upgrade_lends_no_first_page(mixed: Path, tmp_path: Path) -> None:
    """The upgrade made tables anew on other pages: picks would be read as something else, and be lost unsaid."""
    with open_farm(mixed) as store:
        planting = read_season(store).plantings[0]
        picks = [Pick(new_id(), planting.bay_id, planting.id, TODAY, kg) for kg in (10.0, 12.5, 14.0)]
        write_setup.add(store, *picks, StandCount(new_id(), planting.id, TODAY, planting.plants - 1))
        season = read_season(store)
    with mixed.open("rb+") as stream:
        stream.write(bytes(4096))
    salvage(mixed, tmp_path / "saved.bayround", OLD)
    with open_farm(tmp_path / "saved.bayround") as store:
        again = read_season(store)
        assert check(store) == ()
    assert again.stand_counts == season.stand_counts
    assert set(again.picks) == set(season.picks) == set(picks)
    assert set(again.readings) == set(season.readings)


def test_of_two_checks_on_one_day_the_one_written_after_the_upgrade_is_the_later(mixed: Path) -> None:
    house = House(new_id(), "Net house 9", HouseKind.NET_HOUSE, 40.0, 10.0)
    fault = HouseCheck("0199ffff-ffff-7fff-bfff-ffffffffffff", house.id, TODAY, "wires", Condition.FAULT)
    good = replace(fault, id=new_id(), condition=Condition.GOOD)
    with open_farm(mixed) as store:
        write_setup.add(store, house, good, fault)
        assert standing(read_season(store).house_checks) == ()
