"""Making, opening and closing a farm file; who may write; what the connection is set to.

Settings: sqlite.org, "Pragma statements" (journal_mode, synchronous, trusted_schema, cell_size_check).
"""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from file_tricks import digest, leave_half_done, names

from bayround.facts.farm import FarmInfo, Person
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.season import SeasonFacts
from bayround.records import tables
from bayround.records.check import driver
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.lock import lock_file
from bayround.records.read_season import read_season
from bayround.records.read_visit import read_revision
from bayround.records.store import Store
from bayround.records.write_setup import add


def test_a_new_farm_is_a_marked_sqlite_file_with_the_farm_in_it(farm_path: Path) -> None:
    with create_farm(farm_path, "  Hill farm ", invented=True, currency="EUR") as made:
        info = made.info()
    assert info == FarmInfo(info.id, "Hill farm", True, "EUR", 0)
    assert names(farm_path.parent) == {farm_path.name}
    head = farm_path.read_bytes()[:100]
    # sqlite.org, "Database File Format": magic at 0, user version at 60, application id at 68, big-endian
    assert head[:16] == b"SQLite format 3\0"
    assert int.from_bytes(head[60:64], "big") == tables.SCHEMA_VERSION
    assert int.from_bytes(head[68:72], "big") == tables.APPLICATION_ID
    assert head[18:20] == b"\1\1"  # rollback journal, not write-ahead log
    with open_farm(farm_path) as again:
        assert again.info() == info


@pytest.mark.parametrize(
    ("pragma", "expected"),
    [
        ("journal_mode", "delete"),
        ("synchronous", 3),
        ("foreign_keys", 1),
        ("trusted_schema", 0),
        ("cell_size_check", 1),
        ("mmap_size", 0),
        ("busy_timeout", 5000),
        ("query_only", 0),
    ],
)
def test_the_connection_of_a_writer(store: Store, pragma: str, expected: object) -> None:
    with store.reading() as connection:
        found = driver(connection).execute(f"PRAGMA {pragma}").fetchone()
    assert found[0] == expected


def test_create_never_writes_over_a_file(farm_path: Path) -> None:
    farm_path.write_bytes(b"somebody's own")
    with pytest.raises(FarmFileProblem, match="already a file"):
        create_farm(farm_path, "Hill farm")
    assert farm_path.read_bytes() == b"somebody's own"
    assert names(farm_path.parent) == {farm_path.name}


def test_create_needs_a_name_and_a_folder(farm_path: Path) -> None:
    with pytest.raises(Refused):
        create_farm(farm_path, "  ")
    with pytest.raises(FarmFileProblem, match="no folder"):
        create_farm(farm_path.parent / "nowhere" / "a.bayround", "Hill farm")
    assert names(farm_path.parent) == set()


def test_create_that_fails_half_way_leaves_nothing(farm_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_room(path: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("bayround.records.placing.sync_file", no_room)
    with pytest.raises(FarmFileProblem, match="full"):
        create_farm(farm_path, "Hill farm")
    assert names(farm_path.parent) == set()


def test_the_journal_of_a_farm_taken_away_does_not_spoil_a_new_one(farm_path: Path) -> None:
    stale = farm_path.with_name(farm_path.name + "-journal")
    leave_half_done(farm_path)
    assert stale.stat().st_size > 0
    farm_path.unlink()
    with create_farm(farm_path, "New farm") as made:
        assert made.info().name == "New farm"
    assert not stale.exists()
    assert any("kept aside" in name for name in names(farm_path.parent))


def test_a_crash_in_a_step_is_undone_by_the_next_writer_and_only_told_to_a_reader(farm_path: Path) -> None:
    leave_half_done(farm_path)
    before = digest(farm_path)
    with pytest.raises(FarmFileProblem, match="not closed properly"):
        open_farm(farm_path, read_only=True)
    assert digest(farm_path) == before
    with open_farm(farm_path) as writer:
        assert read_season(writer).people == ()
    assert digest(farm_path) != before
    with open_farm(farm_path, read_only=True) as reader:
        assert reader.info().revision == 0


def test_only_one_writer(farm_path: Path, store: Store) -> None:
    with pytest.raises(FarmFileProblem, match="open in another copy of Bayround"):
        open_farm(farm_path)
    program = (
        "import sys; from pathlib import Path; from bayround.records.farm_file import open_farm\n"
        "try: open_farm(Path(sys.argv[1]))\nexcept Exception as e: print(type(e).__name__, e.message)"
    )
    other = subprocess.run(
        [sys.executable, "-c", program, str(farm_path)], capture_output=True, text=True, check=True
    )
    assert other.stdout.startswith("FarmFileProblem “Hill.bayround” is open in another copy of Bayround.")
    store.close()
    with open_farm(farm_path):
        assert lock_file(farm_path).exists()
    assert not lock_file(farm_path).exists()


def test_a_lock_file_left_by_a_crash_does_no_harm(farm_path: Path, store: Store) -> None:
    store.close()
    lock_file(farm_path).touch()
    with open_farm(farm_path) as again:
        assert again.info().name == "Hill farm"


def test_the_lock_follows_the_file_and_not_its_name(farm_path: Path, store: Store, tmp_path: Path) -> None:
    other_name = tmp_path / "other.bayround"
    other_name.symlink_to(farm_path)
    with pytest.raises(FarmFileProblem, match="another copy"):
        open_farm(other_name)


def test_a_reader_works_beside_a_writer_and_writes_nothing(
    farm_path: Path, stocked: Store, season: SeasonFacts
) -> None:
    before, files = digest(farm_path), names(farm_path.parent)
    with open_farm(farm_path, read_only=True) as reader:
        assert read_season(reader).readings == season.readings
        assert names(farm_path.parent) == files
        with pytest.raises(FarmFileProblem, match="reading only"), reader.writing():
            pass
        with reader.reading() as connection, pytest.raises(sqlite3.OperationalError, match="readonly"):
            driver(connection).execute("DELETE FROM farm")
        assert digest(farm_path) == before
        add(stocked, Person("new", "Birch"))
        assert "new" in {person.id for person in read_season(reader).people}
    assert names(farm_path.parent) == files


def test_opening_and_closing_changes_no_byte(farm_path: Path, store: Store) -> None:
    store.close()
    before = digest(farm_path)
    open_farm(farm_path).close()
    assert digest(farm_path) == before


def test_a_step_counts_once_and_a_failed_step_not_at_all(store: Store) -> None:
    add(store, Person("a", "Alder"), Person("b", "Birch"))
    assert read_revision(store) == store.info().revision == 1

    def fail() -> None:
        with store.writing() as connection:
            connection.exec_driver_sql("INSERT INTO person VALUES ('c', 'Cedar', 'scout', NULL, 1)")
            connection.exec_driver_sql("CREATE TABLE half_done (x)")
            raise Refused("no")

    with pytest.raises(Refused):
        fail()
    assert read_revision(store) == 1
    assert {person.id for person in read_season(store).people} == {"a", "b"}
    with store.reading() as connection:  # a change of the tables is undone as well
        assert (
            driver(connection).execute("SELECT 1 FROM sqlite_schema WHERE name = 'half_done'").fetchall()
            == []
        )


def test_any_thread_may_use_the_store_and_waits_for_its_turn(store: Store) -> None:
    failed: list[BaseException] = []

    def work(name: str) -> None:
        try:
            for number in range(20):
                add(store, Person(f"{name}{number}", name))
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(name,)) for name in ("a", "b")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    assert len(read_season(store).people) == 40
    assert read_revision(store) == 40


def test_a_transaction_inside_a_transaction_is_a_fault_of_the_program(store: Store) -> None:
    with store.reading(), pytest.raises(RuntimeError, match="inside"), store.writing():
        pass
    assert store.info().revision == 0


def test_closing_twice_is_fine_and_a_closed_store_is_closed(store: Store) -> None:
    store.close()
    store.close()
    with pytest.raises(RuntimeError, match="closed"):
        store.info()


def test_two_writers_by_other_means_wait_and_are_told(
    store: Store, farm_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody has the file open in a general tool and holds a lock."""
    with store.reading() as connection:
        driver(connection).execute("PRAGMA busy_timeout = 50")
    other = sqlite3.connect(farm_path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(FarmFileProblem, match="used by another program"):
        add(store, Person("a", "Alder"))
    other.execute("ROLLBACK")
    other.close()
    add(store, Person("a", "Alder"))
    assert read_revision(store) == 1
