"""Verified copies and the way back. Nothing a person saved is ever lost on that way."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from file_tricks import digest, leave_half_done, names, overwrite, sql
from stocking import all_of

from bayround.facts.farm import Person
from bayround.facts.problems import FarmFileProblem
from bayround.facts.season import SeasonFacts
from bayround.records import placing, tables
from bayround.records.backup import Backup, back_up, is_good, list_backups, restore
from bayround.records.check import check, driver
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.history import chain_head
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.write_setup import add, change

NOW = datetime(2026, 11, 25, 17, 4, 5, tzinfo=timezone(timedelta(hours=2)))


@pytest.fixture
def backups(farm_path: Path) -> Path:
    return farm_path.parent / "Hill backups"


def test_a_backup_is_the_farm_as_it_was(
    stocked: Store, season: SeasonFacts, backups: Path, farm_path: Path
) -> None:
    made = back_up(stocked, backups, NOW)
    add(stocked, Person("later", "Birch"))
    assert made.name == "Hill farm 2026-11-25T15-04-05Z r1 c0.bayround"
    assert names(backups) == {made.name}
    with open_farm(made, read_only=True) as copy:
        assert all_of(read_season(copy)) == all_of(season)
        assert check(copy) == ()
    assert is_good(made)


def test_the_name_tells_revision_and_history(stocked: Store, season: SeasonFacts, backups: Path) -> None:
    change(stocked, replace(season.people[0], name="Ash"), None, NOW)
    made = back_up(stocked, backups, NOW)
    count, head = chain_head(stocked)
    (found,) = list_backups(backups)
    assert found == Backup(
        made, "Hill farm", NOW.astimezone(UTC), revision=2, corrections=count, head=head[:8]
    )


def test_two_backups_in_one_second_are_two_files(stocked: Store, backups: Path) -> None:
    made = [back_up(stocked, backups, NOW) for _time in range(3)]
    assert len(set(made)) == 3
    assert {found.path for found in list_backups(backups)} == set(made)


@pytest.mark.parametrize(
    "farm", ['a/b\\c:d*e?"f<g>|h', "...", "Ödön r5 c3 2026-11-25T15-04-05Z", "x" * 300, "con\n"]
)
def test_any_name_of_a_farm_makes_a_file_name(tmp_path: Path, farm: str) -> None:
    with create_farm(tmp_path / "f.bayround", farm) as store:
        made = back_up(store, tmp_path / "kept", NOW)
    (found,) = list_backups(tmp_path / "kept")
    assert found.path == made
    assert (found.revision, found.made_at) == (0, NOW.astimezone(UTC))
    assert not set(found.farm) & set('/\\:*?"<>|\n')
    assert len(made.name) < 110


def test_a_reader_can_back_up_beside_the_writer(stocked: Store, farm_path: Path, backups: Path) -> None:
    with open_farm(farm_path, read_only=True) as reader:
        assert is_good(back_up(reader, backups, NOW))


def test_other_files_are_no_backups(backups: Path) -> None:
    assert list_backups(backups) == ()
    backups.mkdir()
    for name in (
        "Hill.bayround",
        "Hill 2026-11-25T15-04-05Z r1 c0.txt",
        "Hill 2026-13-25T15-04-05Z r1 c0.bayround",
        placing.UNFINISHED + "x",
    ):
        (backups / name).touch()
    (backups / "Hill 2026-11-25T15-04-05Z r1 c0.bayround").mkdir()
    assert list_backups(backups) == ()


def test_a_copy_that_lost_rows_does_not_count(
    stocked: Store, backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy is spoiled between writing and checking, as a bad stick would."""
    sound = placing.sync_file

    def lose_a_row(path: Path) -> None:
        sql(path, "DELETE FROM reading WHERE rowid = 1")
        sound(path)

    monkeypatch.setattr(placing, "sync_file", lose_a_row)
    with pytest.raises(FarmFileProblem, match="did not come out whole"):
        back_up(stocked, backups, NOW)
    assert names(backups) == set()


def test_a_copy_that_is_damaged_does_not_count(
    stocked: Store, backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(placing, "sync_file", lambda path: overwrite(path, 5 * 4096, os.urandom(64)))
    with pytest.raises(FarmFileProblem):
        back_up(stocked, backups, NOW)
    assert names(backups) == set()


def test_a_damaged_farm_makes_no_backup_and_pushes_none_out(stocked: Store, backups: Path) -> None:
    good = back_up(stocked, backups, NOW)
    with stocked.writing() as connection:
        connection.exec_driver_sql("PRAGMA writable_schema = ON")
        connection.exec_driver_sql("DELETE FROM sqlite_schema WHERE name = 'ix_visit_state'")
    with pytest.raises(FarmFileProblem, match="did not come out whole"):
        back_up(stocked, backups, NOW + timedelta(hours=1))
    assert names(backups) == {good.name}


def test_no_room_for_a_backup(stocked: Store, backups: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_room(path: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(placing, "sync_file", no_room)
    with pytest.raises(FarmFileProblem, match="full"):
        back_up(stocked, backups, NOW)
    assert names(backups) == set()
    add(stocked, Person("later", "Birch"))


def test_restore_keeps_the_present_file_aside(
    stocked: Store, season: SeasonFacts, backups: Path, farm_path: Path
) -> None:
    made = back_up(stocked, backups, NOW)
    before = digest(made)
    add(stocked, Person("later", "Birch"))
    stocked.close()
    present = digest(farm_path)
    aside = restore(made, farm_path)
    assert aside == farm_path.with_name("Hill kept aside 1.bayround")
    assert digest(aside) == present
    assert digest(made) == before
    assert names(farm_path.parent) == {farm_path.name, aside.name, backups.name}
    with open_farm(farm_path) as again:
        assert all_of(read_season(again)) == all_of(season)
    second = restore(aside, farm_path)  # and back again
    assert second is not None
    with open_farm(farm_path) as again:
        assert "later" in {person.id for person in read_season(again).people}
    assert {"Hill kept aside 1.bayround", "Hill kept aside 2.bayround"} <= names(farm_path.parent)


def test_restore_where_nothing_was(stocked: Store, backups: Path, tmp_path: Path) -> None:
    made = back_up(stocked, backups, NOW)
    new = tmp_path / "other computer.bayround"
    assert restore(made, new) is None
    with open_farm(new) as opened:
        assert opened.info().name == "Hill farm"


def test_restore_over_a_damaged_file(stocked: Store, backups: Path, farm_path: Path) -> None:
    made = back_up(stocked, backups, NOW)
    stocked.close()
    farm_path.write_bytes(b"damaged beyond all reading" * 1000)
    journal = farm_path.with_name(farm_path.name + "-journal")
    journal.write_bytes(b"what a crash left")
    aside = restore(made, farm_path)
    assert aside is not None
    assert aside.read_bytes().startswith(b"damaged")
    assert not journal.exists()
    with open_farm(farm_path) as opened:
        assert check(opened) == ()


def test_what_lies_beside_a_file_goes_aside_with_it(tmp_path: Path) -> None:
    farm, journal = tmp_path / "Hill.bayround", tmp_path / "Hill.bayround-journal"
    farm.write_text("farm")
    journal.write_text("journal")
    aside = placing.set_aside(farm)
    assert aside is not None
    assert names(tmp_path) == {"Hill kept aside 1.bayround", "Hill kept aside 1.bayround-journal"}
    placing.put_back(aside, farm)
    assert (farm.read_text(), journal.read_text()) == ("farm", "journal")


def test_restore_over_a_crashed_file_keeps_a_whole_one_aside(
    stocked: Store, backups: Path, tmp_path: Path
) -> None:
    made = back_up(stocked, backups, NOW)
    crashed = tmp_path / "crashed.bayround"
    leave_half_done(crashed)
    aside = restore(made, crashed)
    assert aside is not None
    # the half-done step was undone before the file was moved: it is whole without a journal
    assert not [name for name in names(tmp_path) if name.endswith("-journal")]
    with open_farm(aside) as opened:
        assert check(opened) == ()
        assert read_season(opened).people == ()


def test_a_farm_that_is_open_is_not_restored_over(stocked: Store, backups: Path, farm_path: Path) -> None:
    made = back_up(stocked, backups, NOW)
    before = digest(farm_path)
    with pytest.raises(FarmFileProblem, match="open in another copy"):
        restore(made, farm_path)
    assert digest(farm_path) == before


def test_what_is_no_sound_backup_is_not_restored(stocked: Store, backups: Path, farm_path: Path) -> None:
    made = back_up(stocked, backups, NOW)
    later = back_up(stocked, backups, NOW + timedelta(hours=1))
    stocked.close()
    before, files = digest(farm_path), names(farm_path.parent)
    sql(later, f"PRAGMA user_version = {tables.SCHEMA_VERSION + 1}")
    overwrite(made, 5 * 4096, os.urandom(4096))
    text = backups / "text.bayround"
    text.write_text("not a backup at all\n" * 1000)
    foreign = backups / "songs.bayround"
    sql(foreign, "CREATE TABLE songs (title)")
    for path, words in ((later, "newer"), (made, "damaged"), (text, "not a farm"), (foreign, "not a farm")):
        with pytest.raises(FarmFileProblem, match=words):
            restore(path, farm_path)
    with pytest.raises(FarmFileProblem, match="no file"):
        restore(backups / "nowhere.bayround", farm_path)
    assert (digest(farm_path), names(farm_path.parent)) == (before, files)
    assert not is_good(made)
    assert not is_good(text)


def test_a_restore_that_fails_at_the_last_step_puts_the_file_back(
    stocked: Store, backups: Path, farm_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = back_up(stocked, backups, NOW)
    stocked.close()
    before, files = digest(farm_path), names(farm_path.parent)
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", fail)
        with pytest.raises(FarmFileProblem, match="could not be read or written"):
            restore(made, farm_path)
    assert (digest(farm_path), names(farm_path.parent)) == (before, files)
    aside = restore(made, farm_path)
    assert aside is not None
    assert digest(aside) == before


def test_a_journal_goes_aside_with_its_file_and_comes_back_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite would play the old journal into the new file (sqlite.org, "How To Corrupt…", 1.4)."""
    made, name, journal = tmp_path / "made", tmp_path / "Hill.bayround", tmp_path / "Hill.bayround-journal"
    for path in (made, name, journal):
        path.write_text(path.name)
    with monkeypatch.context() as patch:
        patch.setattr(placing, "place", fail)
        with pytest.raises(OSError, match="output error"):
            placing.put_in_place_of(made, name)
    assert (name.read_text(), journal.read_text()) == (name.name, journal.name)
    aside = placing.put_in_place_of(made, name)
    assert aside is not None
    assert (aside.read_text(), name.read_text(), journal.exists()) == (name.name, "made", False)
    assert aside.with_name(aside.name + "-journal").read_text() == journal.name


def fail(*_names: object) -> None:
    raise OSError(5, "Input/output error")


def test_a_stick_without_second_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """FAT has no hard links; the file still never lands on another."""

    def refuse(*_names: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    made, taken = tmp_path / "made", tmp_path / "taken"
    made.write_text("new")
    taken.write_text("old")
    with pytest.raises(FileExistsError):
        placing.place(made, taken)
    assert (made.read_text(), taken.read_text()) == ("new", "old")
    placing.place(made, tmp_path / "free")
    assert names(tmp_path) == {"taken", "free"}


def test_the_copy_is_of_one_moment_while_another_program_writes(stocked: Store, backups: Path) -> None:
    """A writer by other means can't get in between counting and copying."""
    with stocked.reading() as connection:
        driver(connection).execute("SELECT count(*) FROM reading").fetchone()
        other = sqlite3.connect(stocked.path, timeout=0.05, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE person SET name = 'Birch'")
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("COMMIT")
        other.execute("ROLLBACK")
        other.close()
    assert is_good(back_up(stocked, backups, NOW))
