"""Old files: a verified backup, then all steps or none. Tables and steps lead to the same file."""

from __future__ import annotations

import contextlib
import re
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from file_tricks import digest, names
from sqlalchemy import create_engine
from sqlalchemy.exc import OperationalError
from stocking import all_of

from bayround import places
from bayround.facts.problems import FarmFileProblem
from bayround.facts.season import SeasonFacts
from bayround.records import tables
from bayround.records.backup import is_good, list_backups
from bayround.records.check import check, driver
from bayround.records.farm_file import open_farm
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.upgrades import run


def schema(connection: sqlite3.Connection) -> list[tuple[str, ...]]:
    rows = connection.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY name, type")
    return rows.fetchall()


def test_tables_and_steps_lead_to_the_same_file(store: Store) -> None:
    engine = create_engine("sqlite://")
    with engine.connect() as stepped:
        run.run_steps(stepped)
        assert compare_metadata(MigrationContext.configure(stepped), tables.metadata) == []
        by_steps = schema(driver(stepped))
        (number,) = stepped.exec_driver_sql("SELECT version_num FROM alembic_version").one()
    engine.dispose()
    with store.reading() as connection:
        assert schema(driver(connection)) == by_steps
        assert connection.exec_driver_sql("SELECT version_num FROM alembic_version").one() == (number,)
    assert int(number) == tables.SCHEMA_VERSION


OLD_FILES = sorted((Path(__file__).parents[1] / "old_files").glob("*.bayround"))


@pytest.mark.parametrize("old", OLD_FILES, ids=[path.stem for path in OLD_FILES])
def test_a_file_of_every_version_opens(old: Path, tmp_path: Path, store: Store) -> None:
    path = tmp_path / old.name
    shutil.copyfile(old, path)
    counted = "SELECT count(*) FROM reading"
    with contextlib.closing(sqlite3.connect(old)) as before:
        readings = before.execute(counted).fetchone()
    with open_farm(path) as opened, opened.reading() as connection, store.reading() as fresh:
        assert schema(driver(connection)) == schema(driver(fresh))
        assert driver(connection).execute(counted).fetchone() == readings
    with open_farm(path, read_only=True) as opened:
        assert check(opened) == ()


STEP = """
    from alembic import op
    import sqlalchemy as sa

    revision, down_revision = "{number:04d}", "{before:04d}"

    def upgrade():
        {body}
"""
ADD = 'op.add_column("house", sa.Column("colour_of_door", sa.Text, nullable=False, server_default="green"))'
NOTE = "op.execute(\"UPDATE house SET note = 'door: ' || colour_of_door\")"


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A later program: its folder of steps, to be filled, and its version, two above this one."""
    folder = tmp_path / "later %d steps"
    shutil.copytree(run.LOCATION, folder, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(run, "LOCATION", folder)
    monkeypatch.setattr(tables, "SCHEMA_VERSION", tables.SCHEMA_VERSION + 2)
    return folder


def write_steps(folder: Path, *bodies: str) -> None:
    first = tables.SCHEMA_VERSION - 1
    for number, body in enumerate(bodies, first):
        text = dedent(STEP).format(number=number, before=number - 1, body=body)
        (folder / "versions" / f"step_{number:04d}_later.py").write_text(text)


def head(path: Path) -> tuple[int, str, bool]:
    """Return user_version, Alembic's number and whether the new column is there."""
    connection = sqlite3.connect(path)
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (number,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    columns = [row[1] for row in connection.execute("PRAGMA table_info(house)")]
    connection.close()
    return version, number, "colour_of_door" in columns


def test_an_old_file_is_backed_up_and_brought_up_to_date(
    stocked: Store, season: SeasonFacts, farm_path: Path, later: Path
) -> None:
    stocked.close()
    before = digest(farm_path)
    write_steps(later, ADD, NOTE)
    with pytest.raises(FarmFileProblem, match="older Bayround"):
        open_farm(farm_path, read_only=True)
    assert digest(farm_path) == before
    with open_farm(farm_path) as opened:
        assert read_season(opened).houses[0].note == "door: green"
        assert all_of(read_season(opened))[2:] == all_of(season)[2:]
        with opened.reading() as connection:
            assert driver(connection).execute("PRAGMA foreign_keys").fetchone() == (1,)
        assert check(opened) == ()
    assert head(farm_path) == (tables.SCHEMA_VERSION, f"{tables.SCHEMA_VERSION:04d}", True)
    (kept,) = list_backups(places.backups_dir(farm_path))
    assert is_good(kept.path)
    assert head(kept.path) == (tables.SCHEMA_VERSION - 2, f"{tables.SCHEMA_VERSION - 2:04d}", False)
    open_farm(farm_path).close()
    assert len(list_backups(places.backups_dir(farm_path))) == 1  # nothing was due any more


@pytest.mark.parametrize(
    ("second", "error"),
    [
        ("raise ZeroDivisionError", ZeroDivisionError),
        ('op.execute("INSERT INTO nothing VALUES (1)")', OperationalError),
        ('op.execute("DELETE FROM person")', FarmFileProblem),  # leaves references to nothing
    ],
)
def test_a_step_that_fails_undoes_all_steps(
    stocked: Store, season: SeasonFacts, farm_path: Path, later: Path, second: str, error: type[Exception]
) -> None:
    stocked.close()
    before = digest(farm_path)
    write_steps(later, ADD, second)
    with pytest.raises(error):
        open_farm(farm_path)
    assert digest(farm_path) == before
    assert names(farm_path.parent) == {farm_path.name, places.backups_dir(farm_path).name}
    assert head(farm_path)[2] is False
    write_steps(later, ADD, NOTE)  # the fault is mended: the next start goes through
    with open_farm(farm_path) as opened:
        assert check(opened) == ()
    assert head(farm_path)[2] is True


REBUILD = """from bayround.records.upgrades.version_1 import metadata
    door = sa.Column("colour_of_door", sa.Text, nullable=False, server_default="green")
    with op.batch_alter_table("house", recreate="always", copy_from=metadata.tables["house"]) as batch:
        batch.add_column(door)
"""


def test_a_step_that_rebuilds_a_table_others_refer_to(
    stocked: Store, season: SeasonFacts, farm_path: Path, later: Path
) -> None:
    with stocked.reading() as connection:
        before = rules_of(driver(connection), "house")
    stocked.close()
    write_steps(later, REBUILD, NOTE)
    with open_farm(farm_path) as opened:
        found = read_season(opened)
        assert (found.bays, found.readings) == (season.bays, season.readings)
        assert found.houses[0].note == "door: green"
        with opened.reading() as connection:
            assert rules_of(driver(connection), "house") == before
        assert check(opened) == ()


def rules_of(connection: sqlite3.Connection, table: str) -> set[str]:
    (made,) = connection.execute("SELECT sql FROM sqlite_schema WHERE name = ?", [table]).fetchone()
    return set(re.findall(r"CONSTRAINT (\w+)", made))


def test_killed_in_the_middle_of_an_upgrade(
    stocked: Store, season: SeasonFacts, farm_path: Path, later: Path
) -> None:
    stocked.close()
    spill = (
        'op.execute("PRAGMA cache_size = 1"); op.execute("UPDATE reading SET note = hex(randomblob(4000))")'
    )
    write_steps(later, ADD, f"{spill}; import os; os.kill(os.getpid(), 9)")
    program = dedent("""
        import sys
        from pathlib import Path
        from bayround.records import tables
        from bayround.records.farm_file import open_farm
        from bayround.records.upgrades import run
        run.LOCATION, tables.SCHEMA_VERSION = Path(sys.argv[2]), int(sys.argv[3])
        open_farm(Path(sys.argv[1]))
    """)
    arguments = [sys.executable, "-c", program, str(farm_path), str(later), str(tables.SCHEMA_VERSION)]
    killed = subprocess.run(arguments, check=False)
    assert killed.returncode == -9
    assert farm_path.with_name(farm_path.name + "-journal").stat().st_size > 0
    write_steps(later, ADD, NOTE)
    with open_farm(farm_path) as opened:
        assert read_season(opened).readings == season.readings
        assert check(opened) == ()
    assert head(farm_path) == (tables.SCHEMA_VERSION, f"{tables.SCHEMA_VERSION:04d}", True)


def test_no_upgrade_without_a_backup(
    stocked: Store, farm_path: Path, later: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stocked.close()
    before = digest(farm_path)
    write_steps(later, ADD, NOTE)
    places.backups_dir(farm_path).write_text("a file where the folder should be")
    with pytest.raises(FarmFileProblem):
        open_farm(farm_path)
    assert digest(farm_path) == before


def test_alembic_is_not_imported_when_nothing_is_due(store: Store, farm_path: Path) -> None:
    store.close()
    program = (
        "import sys; from pathlib import Path; from bayround.records.farm_file import open_farm\n"
        "open_farm(Path(sys.argv[1])).close(); print('alembic' in sys.modules)"
    )
    asked = subprocess.run(
        [sys.executable, "-c", program, str(farm_path)], capture_output=True, text=True, check=True
    )
    assert asked.stdout == "False\n"
