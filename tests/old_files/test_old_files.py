"""A farm file of every released version opens, is brought up to date, and keeps every row."""

from __future__ import annotations

import hashlib
import re
import shutil
import sqlite3
from pathlib import Path

import pytest

from bayround import places
from bayround.facts.problems import FarmFileProblem
from bayround.records import tables
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.read_season import read_season

FILES = sorted(Path(__file__).parent.glob("version_*.bayround"))


def rows_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as connection:
        names = [
            name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        ]
        return {
            name: sorted(connection.execute(f'SELECT * FROM "{name}"'))
            for name in names
            if name != "alembic_version"
        }


def test_every_earlier_version_is_here() -> None:
    kept = {int(re.findall(r"\d+", path.stem)[0]) for path in FILES}
    assert kept >= set(range(1, tables.SCHEMA_VERSION))


@pytest.mark.parametrize("old", FILES, ids=lambda path: path.stem)
def test_opens_with_its_rows_intact(old: Path, tmp_path: Path) -> None:
    copy = tmp_path / "farm.bayround"
    shutil.copy(old, copy)
    before = rows_of(old)
    with open_farm(copy) as store:
        assert check(store) == ()
        season = read_season(store)
        assert len(season.readings) == len(before["reading"]) > 0
    after = rows_of(copy)
    for table, rows in before.items():
        if table != "farm":
            assert after[table] == rows
    backups = list(places.backups_dir(copy).glob("*.bayround"))
    assert len(backups) == (0 if old.stem == f"version_{tables.SCHEMA_VERSION}" else 1)


@pytest.mark.parametrize("old", FILES, ids=lambda path: path.stem)
def test_reading_only_leaves_it_as_it_is(old: Path, tmp_path: Path) -> None:
    copy = tmp_path / "farm.bayround"
    shutil.copy(old, copy)
    digest = hashlib.sha256(copy.read_bytes()).hexdigest()
    with pytest.raises(FarmFileProblem, match="older Bayround"):
        open_farm(copy, read_only=True)
    assert hashlib.sha256(copy.read_bytes()).hexdigest() == digest
