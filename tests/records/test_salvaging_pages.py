"""Cut-off files, pages of nought and pages of noise: what was readable is in the salvage, counted by SQLite itself.

How many records lie on which page is told by SQLite's own `dbstat` table of the sound file (sqlite.org, "The DBSTAT
Virtual Table"); the program's reading of pages is not asked.
"""

from __future__ import annotations

import random
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from file_tricks import digest, overwrite
from sqlalchemy import delete, select
from stocking import all_of

import factory
from bayround.facts.problems import FarmFileProblem
from bayround.facts.work import Pick
from bayround.records import history, tables
from bayround.records.check import check
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.read_season import read_season
from bayround.records.salvage import salvage
from bayround.records.write_setup import add

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
PAGE = 4096
WEEKS = 40
LONG_NOTE = "fruit set is poor along the path " * 600  # goes on on pages of its own
Places = dict[int, tuple[str, str, int]]


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A farm of 400 readings, so many that a page above leads to the pages that hold them."""
    season = factory.season(factory.past(WEEKS))
    first = replace(season.visits[0], note=LONG_NOTE)
    path = tmp_path_factory.mktemp("sound") / "Hill.bayround"
    with create_farm(path, "Hill farm") as made:
        add(made, *all_of(replace(season, visits=(first, *season.visits[1:]))))
    return path


@pytest.fixture(scope="module")
def places(sound: Path) -> Places:
    """Page → table or index, kind of page, records on it."""
    with closing(sqlite3.connect(sound)) as connection:
        return {
            number: (name, kind, cells)
            for name, kind, number, cells in connection.execute(
                "SELECT name, pagetype, pageno, ncell FROM dbstat"
            )
        }


def leaves(places: Places, table: str) -> list[int]:
    return [number for number, (name, kind, _cells) in places.items() if (name, kind) == (table, "leaf")]


def counted(places: Places, upto: int) -> Counter[str]:
    """Return how many records of each table lie on the first so many pages."""
    found: Counter[str] = Counter()
    for number, (name, kind, cells) in places.items():
        if kind == "leaf" and number <= upto:
            found[name] += cells
    return found


def damaged(sound: Path, tmp_path: Path, **pages: bytes) -> Path:
    path = tmp_path / "damaged.bayround"
    path.write_bytes(sound.read_bytes())
    for number, content in pages.items():
        overwrite(path, (int(number[1:]) - 1) * PAGE, content)
    return path


@pytest.mark.parametrize("share", [0.98, 0.9, 0.8, 0.7, 0.6, 0.5])
def test_of_a_file_that_was_cut_off_every_record_left_is_read(
    sound: Path, places: Places, share: float, tmp_path: Path
) -> None:
    whole = sound.read_bytes()
    upto = int(len(whole) // PAGE * share)
    path = tmp_path / "cut.bayround"
    path.write_bytes(whole[: upto * PAGE + 100])
    before = digest(path)
    found = salvage(path, tmp_path / "again.bayround")
    expected, all_of_it = counted(places, upto), counted(places, 10**9)
    kept = ("farm", "person", "house", "bay", "planting", "marked_plant", "round", "visit", "reading")
    assert {name: found.read.get(name, 0) for name in kept} == {name: expected[name] for name in kept}
    assert all_of_it["reading"] == 10 * WEEKS
    assert expected["reading"] == all_of_it["reading"] or "reading" in found.incomplete
    assert digest(path) == before
    with open_farm(tmp_path / "again.bayround") as again:
        held = len(read_season(again).readings)
    assert held + found.dropped.get("reading", 0) == expected["reading"]


def test_a_page_above_that_is_gone_costs_nothing(sound: Path, places: Places, tmp_path: Path) -> None:
    """The pages below say by themselves what they hold, and the index of the keys that these are all."""
    inside = [
        number for number, (name, kind, _n) in places.items() if (name, kind) == ("reading", "internal")
    ]
    path = damaged(sound, tmp_path, **{f"p{number}": bytes(PAGE) for number in inside})
    found = salvage(path, tmp_path / "again.bayround")
    assert inside
    assert found.read["reading"] == 10 * WEEKS
    assert (found.incomplete, found.lost, found.dropped) == ([], {}, {})
    with open_farm(tmp_path / "again.bayround") as again, open_farm(sound, read_only=True) as before:
        assert {one.id: one for one in read_season(again).readings} == {
            one.id: one for one in read_season(before).readings
        }


@pytest.mark.parametrize("how", ["nought", "noise"])
def test_pages_that_are_gone_are_counted_by_the_index(
    sound: Path, places: Places, how: str, tmp_path: Path
) -> None:
    gone = leaves(places, "reading")[3:9:2]
    noise = random.Random(5)
    path = damaged(
        sound, tmp_path, **{f"p{n}": bytes(PAGE) if how == "nought" else noise.randbytes(PAGE) for n in gone}
    )
    found = salvage(path, tmp_path / "again.bayround")
    lost = sum(places[number][2] for number in gone)
    assert lost > 20
    assert found.read["reading"] == 10 * WEEKS - lost
    assert found.lost == {"reading": lost}
    assert found.incomplete == ["reading"]


def test_people_that_are_lost_cost_no_round(sound: Path, places: Places, tmp_path: Path) -> None:
    """They stand on one page, and every round and visit refers to one of them."""
    path = damaged(sound, tmp_path)
    with open_farm(path) as store:
        planting = read_season(store).plantings[0]
        add(
            store, Pick(factory.key(), planting.bay_id, planting.id, NOW.date(), 12.5)
        )  # nobody is said to have picked
    for number in leaves(places, "person"):
        overwrite(path, (number - 1) * PAGE, bytes(PAGE))
    found = salvage(path, tmp_path / "again.bayround")
    assert (found.dropped, found.lost, found.read["pick"]) == ({}, {"person": 1}, 1)
    with open_farm(tmp_path / "again.bayround") as again, open_farm(sound, read_only=True) as before:
        kept, season = read_season(again), read_season(before)
        assert check(again) == ()
    assert (set(kept.visits), set(kept.readings)) == (set(season.visits), set(season.readings))
    assert [(one.id, one.name) for one in kept.people] == [(season.people[0].id, "? 1")]


def test_when_the_index_is_gone_too_nothing_says_that_all_is_there(
    sound: Path, places: Places, tmp_path: Path
) -> None:
    gone = [leaves(places, "reading")[3], *leaves(places, "sqlite_autoindex_reading_1")]
    path = damaged(sound, tmp_path, **{f"p{number}": bytes(PAGE) for number in gone})
    found = salvage(path, tmp_path / "again.bayround")
    assert found.read["reading"] == 10 * WEEKS - places[gone[0]][2]
    assert found.incomplete == ["reading"]


def test_a_long_text_on_pages_of_its_own_comes_with_its_record(
    sound: Path, places: Places, tmp_path: Path
) -> None:
    """The first page of a file is gone: records are read page by page, and told apart by their shape."""
    path = damaged(sound, tmp_path, p1=bytes(PAGE))
    found = salvage(path, tmp_path / "again.bayround")
    assert (found.read["visit"], found.read["reading"]) == (WEEKS, 10 * WEEKS)
    with open_farm(tmp_path / "again.bayround") as again:
        assert LONG_NOTE in {visit.note for visit in read_season(again).visits}


def test_a_record_of_nothing_stops_no_salvage(sound: Path, tmp_path: Path) -> None:
    """A leaf of noise to which nothing leads: one byte as payload, which is the head of a record of no values."""
    leaf = bytearray(PAGE)
    leaf[:8] = bytes([0x0D, 0, 0, 0, 1, 0x0F, 0xFD, 0])
    leaf[8:10], leaf[PAGE - 3 :] = (PAGE - 3).to_bytes(2, "big"), bytes([1, 5, 1])  # length, rowid, head
    path = damaged(sound, tmp_path, p1=bytes(PAGE))
    with path.open("ab") as stream:
        stream.write(leaf)
    assert salvage(path, tmp_path / "again.bayround").read["reading"] == 10 * WEEKS


def test_a_table_whose_own_words_are_damaged_stops_no_salvage(sound: Path, tmp_path: Path) -> None:
    """SQLite quotes the damaged word in its complaint, and Python can't read the complaint."""
    path = tmp_path / "damaged.bayround"
    path.write_bytes(sound.read_bytes().replace(b"CREATE TABLE reading", b"CREATE \x96ABLE reading", 1))
    assert salvage(path, tmp_path / "again.bayround").read["reading"] == 10 * WEEKS


def test_what_was_taken_out_stays_out_when_nothing_says_which_pages_are_free(
    sound: Path, tmp_path: Path
) -> None:
    """A free page still holds what was on it, where SQLite is built without secure deletion (sqlite.org, PRAGMA)."""
    path = tmp_path / "damaged.bayround"
    path.write_bytes(sound.read_bytes())
    with open_farm(path) as store, store.writing() as connection:
        connection.exec_driver_sql("PRAGMA secure_delete = OFF")
        gone = list(connection.execute(select(tables.reading.c.id).offset(100).limit(150)).scalars())
        for key in gone:
            history.record(connection, "reading", key, history.REMOVED, "{}", "", None, NOW, "taken back")
        connection.execute(delete(tables.reading).where(tables.reading.c.id.in_(gone)))
    overwrite(path, 0, bytes(PAGE))
    found = salvage(path, tmp_path / "again.bayround")
    assert found.read["correction"] == 150
    with open_farm(tmp_path / "again.bayround") as again:
        left = {reading.id for reading in read_season(again).readings}
    assert len(left) == 10 * WEEKS - 150
    assert not left & set(gone)


def test_of_noise_nothing_is_read(tmp_path: Path) -> None:
    path = tmp_path / "noise.bayround"
    path.write_bytes(random.Random(7).randbytes(60 * PAGE + 17))
    with pytest.raises(FarmFileProblem, match="Nothing in"):
        salvage(path, tmp_path / "again.bayround")
    assert {one.name for one in tmp_path.iterdir()} == {"noise.bayround"}


def test_a_disk_that_fills_up_is_told_and_no_record_is_held_to_be_damaged(
    sound: Path, places: Places, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The new file may not grow to hold them all: SQLite says that the disk is full."""
    path = damaged(sound, tmp_path, **{f"p{leaves(places, 'reading')[3]}": bytes(PAGE)})
    own = sqlite3.connect

    def small(address: str, **settings: object) -> sqlite3.Connection:
        connection = own(address, **settings)  # type: ignore[call-overload]
        if "mode=rw" in address:
            connection.execute("PRAGMA max_page_count = 135")
        return connection  # type: ignore[no-any-return]

    monkeypatch.setattr(sqlite3, "connect", small)
    with pytest.raises(FarmFileProblem, match="is full"):
        salvage(path, tmp_path / "again.bayround")
    assert {one.name for one in tmp_path.iterdir()} == {"damaged.bayround"}
