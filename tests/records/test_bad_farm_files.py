"""Everything that can be wrong with a farm file: told in words, the file left byte for byte as it was."""

from __future__ import annotations

import contextlib
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from file_tricks import digest, leave_half_done, names, overwrite, sql

from bayround.facts.farm import Person
from bayround.facts.problems import FarmFileProblem
from bayround.facts.season import SeasonFacts
from bayround.records import tables
from bayround.records.backup import back_up, restore, verify
from bayround.records.check import check, driver
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.lock import lock_file
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.write_setup import add

NOBODY = 65534


def empty(path: Path) -> None:
    path.write_bytes(b"")


def text(path: Path) -> None:
    path.write_text("bay,height\n1,30\n" * 200)


def other_program(path: Path) -> None:
    path.unlink()
    sql(path, "CREATE TABLE songs (title)", "INSERT INTO songs VALUES ('x')")


def other_program_with_log(path: Path) -> None:
    path.unlink()
    sql(path, "PRAGMA journal_mode = WAL", "CREATE TABLE songs (title)")


def newer(path: Path) -> None:
    sql(path, f"PRAGMA user_version = {tables.SCHEMA_VERSION + 1}", "CREATE TABLE later (x)")


def without_version(path: Path) -> None:
    sql(path, "PRAGMA user_version = 0")


def with_trigger(path: Path) -> None:
    sql(path, "CREATE TRIGGER quiet AFTER INSERT ON pick BEGIN DELETE FROM pick WHERE id = new.id; END")


def with_view(path: Path) -> None:
    sql(path, "CREATE VIEW heights AS SELECT height_cm FROM reading")


def with_virtual_table(path: Path) -> None:
    sql(path, "CREATE VIRTUAL TABLE search USING fts5(note)")


def without_table(path: Path) -> None:
    sql(path, "DROP TABLE week_close")


def without_column(path: Path) -> None:
    sql(path, "ALTER TABLE weed_note DROP COLUMN species")


def cut_short(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 2)


def page_overwritten(path: Path) -> None:
    overwrite(path, 3 * 4096, random.Random(5).randbytes(4096))


def reference_to_nothing(path: Path) -> None:
    sql(path, "PRAGMA foreign_keys = OFF", "DELETE FROM house")


BAD: list[tuple[Callable[[Path], None], str]] = [
    (empty, "not a farm file"),
    (text, "not a farm file"),
    (other_program, "not a farm file"),
    (other_program_with_log, "not a farm file"),
    (newer, "newer Bayround"),
    (without_version, "damaged"),
    (with_trigger, "did not make: quiet"),
    (with_view, "did not make: heights"),
    (with_virtual_table, "did not make: search"),
    (without_table, "damaged"),
    (without_column, "damaged"),
    (cut_short, "damaged"),
    (page_overwritten, "damaged"),
    (reference_to_nothing, "damaged"),
]


@pytest.mark.parametrize("read_only", [False, True], ids=["for writing", "for reading"])
@pytest.mark.parametrize(("spoil", "words"), BAD, ids=[spoil.__name__ for spoil, _words in BAD])
def test_a_bad_file_is_refused_in_words_and_left_as_it_was(
    farm_path: Path, stocked: Store, spoil: Callable[[Path], None], words: str, read_only: bool
) -> None:
    stocked.close()
    spoil(farm_path)
    before, files = digest(farm_path), names(farm_path.parent)
    with pytest.raises(FarmFileProblem, match=words) as told:
        open_farm(farm_path, read_only=read_only)
    assert told.value.kept
    assert told.value.to_do
    assert digest(farm_path) == before
    assert names(farm_path.parent) == files


def test_a_newer_file_with_a_half_done_step_is_not_touched_either(farm_path: Path) -> None:
    leave_half_done(farm_path)
    journal = farm_path.with_name(farm_path.name + "-journal")
    overwrite(farm_path, 60, (tables.SCHEMA_VERSION + 1).to_bytes(4, "big"))
    before = digest(farm_path), digest(journal)
    for read_only in (False, True):
        with pytest.raises(FarmFileProblem, match="newer"):
            open_farm(farm_path, read_only=read_only)
    assert (digest(farm_path), digest(journal)) == before


def test_missing_file_and_folder(farm_path: Path) -> None:
    with pytest.raises(FarmFileProblem, match="no file"):
        open_farm(farm_path)
    with pytest.raises(FarmFileProblem, match="not a farm file"):
        open_farm(farm_path.parent)
    with pytest.raises(FarmFileProblem, match="no file"):
        open_farm(farm_path.parent / "nowhere" / "x.bayround", read_only=True)
    assert names(farm_path.parent) == set()


@pytest.fixture
def open_to_all() -> Iterator[Path]:
    """A folder that other accounts can reach (pytest's own are shut), with a farm file in it."""
    folder = Path(tempfile.mkdtemp(prefix="bayround-"))
    folder.chmod(0o755)
    create_farm(folder / "Hill.bayround", "Hill farm").close()
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@contextlib.contextmanager
def as_ordinary_person() -> Iterator[None]:
    """Rights bind everybody but root; as root, be nobody for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_folder_that_may_not_be_written(open_to_all: Path) -> None:
    path = open_to_all / "Hill.bayround"
    path.chmod(0o666)
    open_to_all.chmod(0o555)
    before = digest(path)
    with as_ordinary_person():
        with pytest.raises(FarmFileProblem, match="can't be written to"):
            open_farm(path)
        with pytest.raises(FarmFileProblem, match="can't be written to"):
            create_farm(open_to_all / "new.bayround", "New farm")
        with open_farm(path, read_only=True) as reader:
            assert reader.info().name == "Hill farm"
    assert digest(path) == before
    assert names(open_to_all) == {path.name}


def test_a_file_that_may_not_be_written_or_read(open_to_all: Path) -> None:
    path = open_to_all / "Hill.bayround"
    open_to_all.chmod(0o777)
    path.chmod(0o444)
    before = digest(path)
    with as_ordinary_person():
        with pytest.raises(FarmFileProblem, match="can't be written to"):
            open_farm(path)
        with open_farm(path, read_only=True) as reader:
            assert reader.info().name == "Hill farm"
    path.chmod(0o000)
    with as_ordinary_person(), pytest.raises(FarmFileProblem, match="can't be opened"):
        open_farm(path, read_only=True)
    path.chmod(0o644)
    assert digest(path) == before
    assert not lock_file(path).exists()


def test_a_folder_that_became_shut_while_the_farm_is_open(open_to_all: Path) -> None:
    path = open_to_all / "Hill.bayround"
    path.chmod(0o666)
    open_to_all.chmod(0o777)
    with as_ordinary_person():
        store = open_farm(path)
    open_to_all.chmod(0o555)
    with as_ordinary_person(), pytest.raises(FarmFileProblem):
        add(store, Person("a", "Alder"))
    open_to_all.chmod(0o777)
    with as_ordinary_person():
        add(store, Person("b", "Birch"))
        assert [person.id for person in read_season(store).people] == ["b"]
        store.close()


def fill_up(store: Store) -> int:
    """Add people until the disk is full; return how many were acknowledged."""
    saved = 0

    def go_on() -> None:
        nonlocal saved
        for number in range(100_000):
            add(store, Person(f"{number:06d}", "x" * 3000))
            saved += 1

    with pytest.raises(FarmFileProblem, match=r"full|could not be read or written") as told:
        go_on()
    assert "last step was not saved" in told.value.kept
    return saved


def test_a_full_disk_loses_nothing_that_was_saved(stocked: Store, season: SeasonFacts) -> None:
    with stocked.reading() as connection:
        pages = driver(connection).execute("PRAGMA page_count").fetchone()[0]
        driver(connection).execute(f"PRAGMA max_page_count = {pages + 20}")
    saved = fill_up(stocked)
    assert saved > 0
    assert len(read_season(stocked).people) == saved + len(season.people)
    assert check(stocked) == ()
    with stocked.reading() as connection:
        driver(connection).execute("PRAGMA max_page_count = 1000000")
    add(stocked, Person("after", "Alder"))  # room was made: the same store goes on
    assert check(stocked) == ()


def test_a_limit_of_the_system_loses_nothing_either(
    farm_path: Path, stocked: Store, season: SeasonFacts
) -> None:
    """The kernel refuses the write itself (RLIMIT_FSIZE: "File too large")."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (farm_path.stat().st_size + 20 * 4096, hard))
    try:
        saved = fill_up(stocked)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert saved > 0
    assert len(read_season(stocked).people) == saved + len(season.people)
    assert check(stocked) == ()


def small_disk_allowed() -> bool:
    """Tell whether this account may mount a disk in memory (root outside a tight container)."""
    with tempfile.TemporaryDirectory() as folder:
        if subprocess.run(
            ["mount", "-t", "tmpfs", "tmpfs", folder], capture_output=True, check=False
        ).returncode:
            return False
        subprocess.run(["umount", folder], check=True)
    return True


@pytest.mark.parametrize("size", ["700k"] if sys.platform == "linux" and small_disk_allowed() else [])
def test_a_really_full_small_disk(tmp_path: Path, size: str) -> None:
    disk = tmp_path / "stick"
    disk.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(disk)], check=True)
    try:
        store = create_farm(disk / "Hill.bayround", "Hill farm")
        ballast = disk / "photos"
        ballast.write_bytes(bytes(100_000))
        saved = fill_up(store)
        assert saved > 0
        store.close()
        with open_farm(disk / "Hill.bayround") as again:
            assert len(read_season(again).people) == saved
            ballast.unlink()
            add(again, Person("after", "Alder"))
            assert check(again) == ()
        (disk / "fill").write_bytes(b"")
        with contextlib.suppress(OSError), (disk / "fill").open("ab") as stream:
            while True:
                stream.write(bytes(4096))
                stream.flush()
        with pytest.raises(FarmFileProblem, match="full"):
            create_farm(disk / "second.bayround", "Second farm")
        assert names(disk) == {"Hill.bayround", "fill"}
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_mutated_files_never_upset_the_program(tmp_path: Path, farm_path: Path, stocked: Store) -> None:
    """Random bytes anywhere: the file opens or is refused in words; a refused one is left as it was."""
    stocked.close()
    chance, whole = random.Random(int(os.environ.get("BAYROUND_SEED", "20261125"))), farm_path.read_bytes()
    used = [place for place, byte in enumerate(whole) if byte]
    rounds = int(os.environ.get("BAYROUND_ROUNDS", "80"))
    path = tmp_path / "mutated.bayround"
    refused = 0
    for _round in range(rounds):
        content = bytearray(whole)
        start = chance.choice(used)
        for place in range(start, min(start + chance.choice((1, 4, 64)), len(content))):
            content[place] = chance.randrange(256)
        path.write_bytes(content)
        before = digest(path)
        try:
            with open_farm(path) as opened:
                read_season(opened)
                check(opened)
        except FarmFileProblem:
            refused += 1
            assert digest(path) == before
    assert rounds // 4 < refused < rounds


@pytest.mark.parametrize("left_open", [False, True])
def test_the_indexes_of_a_very_large_file_are_searched_after_a_crash(
    stocked: Store, farm_path: Path, monkeypatch: pytest.MonkeyPatch, left_open: bool
) -> None:
    """Two indexes that took each other's place: only SQLite's full check finds that (sqlite.org, PRAGMA quick_check)."""
    stocked.close()
    one, other = "ix_marked_plant_planting_id", "ix_weed_note_visit_id"
    root = "(SELECT rootpage FROM sqlite_schema WHERE name = '{}')"
    sql(
        farm_path,
        "PRAGMA writable_schema = ON",
        f"CREATE TEMP TABLE roots AS SELECT {root.format(one)} AS one, {root.format(other)} AS other",
        f"UPDATE sqlite_schema SET rootpage = (SELECT other FROM roots) WHERE name = '{one}'",
        f"UPDATE sqlite_schema SET rootpage = (SELECT one FROM roots) WHERE name = '{other}'",
    )
    with pytest.raises(FarmFileProblem, match="damaged"):
        open_farm(farm_path)
    monkeypatch.setattr("bayround.records.check.LARGE_BYTES", 0)
    if left_open:
        lock_file(farm_path).touch()
        with pytest.raises(FarmFileProblem, match="damaged"):
            open_farm(farm_path)
    else:
        with open_farm(farm_path) as store:
            assert check(store) != ()
            kept = back_up(store, farm_path.parent / "kept", datetime.now(UTC))
        with pytest.raises(FarmFileProblem, match="damaged"):
            restore(kept, farm_path)


def test_a_lost_reference_in_a_very_large_file_is_found_at_opening(
    stocked: Store, farm_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its references are searched beside its pages, by a second reader."""
    stocked.close()
    monkeypatch.setattr("bayround.records.check.LARGE_BYTES", 0)
    open_farm(farm_path).close()
    sql(farm_path, "DELETE FROM round")
    with pytest.raises(FarmFileProblem, match="damaged"):
        open_farm(farm_path)


@pytest.mark.parametrize("broken", ["height_cm = -1.0", "state = 'gone'", "fruit_set = -2.0"])
@pytest.mark.parametrize("large_bytes", [0, 2**40])
def test_a_row_that_breaks_a_rule_of_its_table_is_found_however_the_file_is_read(
    stocked: Store, farm_path: Path, monkeypatch: pytest.MonkeyPatch, large_bytes: int, broken: str
) -> None:
    """SQLite itself looks at no rule in a file opened for reading only, and backups are opened so."""
    stocked.close()
    monkeypatch.setattr("bayround.records.check.LARGE_BYTES", large_bytes)
    kept = farm_path.with_name("kept.bayround")
    shutil.copyfile(farm_path, kept)
    verify(kept)
    change = f"UPDATE reading SET {broken} WHERE rowid = 2"
    for path in (farm_path, kept):
        sql(path, "PRAGMA ignore_check_constraints = ON", change)
    for read_only in (False, True):
        with pytest.raises(FarmFileProblem, match="damaged"):
            open_farm(farm_path, read_only=read_only)
    with pytest.raises(FarmFileProblem, match="reading"):
        verify(kept)
    with pytest.raises(FarmFileProblem, match="damaged"):
        restore(kept, farm_path)
