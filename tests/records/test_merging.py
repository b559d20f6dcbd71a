"""Farm files of two and three laptops become one file: through the doors the program itself uses."""

from __future__ import annotations

import random
import shutil
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from file_tricks import digest
from laptops import plain

from bayround.facts import chain
from bayround.facts.ids import new_id
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.rounds import Round, Visit
from bayround.facts.season import SeasonFacts
from bayround.facts.work import ClimateDay
from bayround.records import corrections, farm_state, history, merge
from bayround.records.check import check
from bayround.records.conflicts import decide, open_conflicts
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.write_setup import add, change
from bayround.records.write_visit import finish_visit, save_cell, start_round, start_visit

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


@pytest.fixture
def laptops(patterns: Path, tmp_path: Path) -> list[Path]:
    """Three copies of one farm with a bay of ten plants and two finished rounds."""
    found = [tmp_path / f"laptop {number}.bayround" for number in range(3)]
    for path in found:
        shutil.copyfile(patterns / "stocked", path)
    return found


def state(path: Path) -> str:
    with open_farm(path) as store, store.reading() as connection:
        return plain(farm_state.read_state(connection))


def correct_height(path: Path, reading_id: str, value: float) -> None:
    with open_farm(path) as store:
        corrections.correct(store, "reading", reading_id, "height_cm", value, None, NOW, "measured again")


def test_a_conflict_is_kept_listed_and_decided(laptops: list[Path], season: SeasonFacts) -> None:
    one, other, third = laptops
    reading = season.readings[0]
    correct_height(one, reading.id, 111.0)
    correct_height(other, reading.id, 122.0)
    with open_farm(other) as store:
        head = history.chain_head(store)
    before = digest(other)
    with open_farm(one) as store:
        found = merge.preview(store, [other])
        assert [item.values for item in found.conflicts] == [("111.0", "122.0")]
        assert store.info().revision == merge_revision(store)
        assert merge.merge(store, [other]).conflicts == found.conflicts
        assert check(store) == ()
        assert not merge.merge(store, [other, third]).anything  # again, and with one that has nothing new
        (conflict,) = open_conflicts(store)
        decide(store, conflict, "122.0", None, NOW, "asked the scout")
        assert open_conflicts(store) == ()
        assert not merge.merge(store, [other]).anything
        kept = {item.id: item for item in read_season(store).readings}[reading.id]
        assert kept.height_cm == 122.0
        assert check(store) == ()
        assert other_chain(store, head[0]) == head[1]
    assert digest(other) == before


def merge_revision(store: Store) -> int:
    with store.reading() as connection:
        return farm_state.read_state(connection).rows["farm"].popitem()[1][4]  # type: ignore[no-any-return]


def other_chain(store: Store, entries: int) -> str:
    """Reckon the chain of the file that was merged in, from what this file kept of it."""
    with store.reading() as connection:
        known = farm_state.read_state(connection)
    (order,) = (order for order in known.histories if len(order) == entries)
    return chain.reckon([known.entries[key] for key in order])


def test_one_bay_keyed_on_two_laptops_is_noticed(laptops: list[Path], season: SeasonFacts) -> None:
    planting, plant = season.plantings[0], season.marked_plants[0]
    day = date(2026, 11, 24)
    walk = Round(new_id(), day, season.people[0].id)
    with open_farm(laptops[0]) as store:
        start_round(store, walk)
    shutil.copyfile(laptops[0], laptops[1])
    for path, height in ((laptops[0], 150.0), (laptops[1], 155.0), (laptops[2], 150.0)):
        with open_farm(path) as store:
            own = (
                walk if path != laptops[2] else start_round(store, Round(new_id(), day, season.people[0].id))
            )
            visit = Visit(new_id(), own.id, planting.bay_id, planting.id, day, season.people[0].id)
            start_visit(store, visit)
            save_cell(store, visit.id, plant.id, "height_cm", height)
            finish_visit(store, visit.id, NOW)
    with open_farm(laptops[0]) as store:
        outcome = merge.merge(store, laptops[1:])
        assert [item.values for item in outcome.conflicts] == [("150.0", "155.0")]
        assert {item.table_name for item in outcome.doubled} == {"round", "visit"}
        visits = [visit for visit in read_season(store).visits if visit.visited_on == day]
        assert len(visits) == 2  # one for each round; the two of one round became one
        assert check(store) == ()


def test_another_farm_is_refused(laptops: list[Path], tmp_path: Path) -> None:
    create_farm(tmp_path / "Other.bayround", "Hill farm").close()
    before = digest(laptops[0])
    with open_farm(laptops[0]) as store, pytest.raises(FarmFileProblem, match="another farm"):
        merge.merge(store, [tmp_path / "Other.bayround"])
    assert digest(laptops[0]) == before


def test_a_file_that_is_damaged_is_refused(laptops: list[Path], tmp_path: Path) -> None:
    (tmp_path / "bad.bayround").write_bytes(laptops[1].read_bytes()[:5000])
    before = digest(laptops[0])
    with open_farm(laptops[0]) as store, pytest.raises(FarmFileProblem):
        merge.merge(store, [tmp_path / "bad.bayround"])
    assert digest(laptops[0]) == before


def test_itself_is_refused(laptops: list[Path]) -> None:
    with open_farm(laptops[0]) as store, pytest.raises(Refused):
        merge.merge(store, [laptops[0]])


def test_files_merge_in_any_order(laptops: list[Path], season: SeasonFacts, tmp_path: Path) -> None:
    chance = random.Random(20261125)
    house = season.houses[0]
    for round_number in range(3):
        for path in laptops:
            with open_farm(path) as store:
                for _step in range(3):
                    reading = chance.choice(season.readings[:2])
                    value = chance.choice([100.0, 101.0, 102.0, None])
                    corrections.correct(store, "reading", reading.id, "height_cm", value, None, NOW, "again")
                known = read_season(store).houses[0]
                change(store, type(house)(**{**as_fields(known), "note": chance.choice(["torn", "mended"])}),
                       None, NOW, "seen")  # fmt: skip
        if round_number == 1:
            with open_farm(laptops[0]) as store:
                merge.merge(store, [laptops[2]])
    results = []
    for number, order in enumerate(([0, 1, 2], [2, 1, 0], [1, 0, 2, 0])):
        target = tmp_path / f"merged {number}.bayround"
        shutil.copyfile(laptops[order[0]], target)
        with open_farm(target) as store:
            merge.merge(store, [laptops[place] for place in order[1:]])
            assert check(store) == ()
        results.append(state(target))
    assert results[0] == results[1] == results[2]


def as_fields(fact: object) -> dict[str, object]:
    return {name: getattr(fact, name) for name in fact.__slots__}  # type: ignore[attr-defined]


def test_one_day_of_climate_written_down_on_two_laptops_is_merged_and_decided(
    laptops: list[Path], season: SeasonFacts
) -> None:
    one, other, _third = laptops
    house, day = season.houses[0].id, date(2026, 11, 20)
    with open_farm(one) as store:
        add(store, ClimateDay(new_id(), house, day, 9.5, 12.0, 5.0, 30.0))
    with open_farm(other) as store:
        add(store, ClimateDay(new_id(), house, day, 13.0, 25.0, 40.0, 100.0))
    with open_farm(one) as store:
        assert len(merge.merge(store, [other]).conflicts) == 4
        assert not merge.merge(store, [other]).anything
        for conflict in reversed(
            open_conflicts(store)
        ):  # the lowest first: no step may put it above the highest
            decide(store, conflict, conflict.values[-1], None, NOW, "the logger's own")
        assert open_conflicts(store) == ()
        (kept,) = read_season(store).climate_days
        assert (kept.low_c, kept.high_c) == (9.5, 12.0)
        assert (kept.humidity_low_percent, kept.humidity_high_percent) == (5.0, 30.0)
        assert check(store) == ()
