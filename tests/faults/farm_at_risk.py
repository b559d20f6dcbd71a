"""The small farm that the fault tests work on, what is in a folder of it, and keys that are the same in every run."""

from __future__ import annotations

import hashlib
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import fields
from datetime import UTC, date, datetime
from functools import cache
from itertools import count
from pathlib import Path
from tempfile import mkdtemp

import uuid6

import factory
from bayround.facts import ids
from bayround.facts.ids import new_id
from bayround.facts.rounds import Round, Visit
from bayround.records import corrections, placing
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.write_setup import add
from bayround.records.write_visit import save_cell

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
NAME = "Hill.bayround"
OLD = Path(__file__).parents[1] / "old_files" / "version_1.bayround"
OTHERS = ("first.laptop", "second.laptop")
PAPERS = ("*.xlsx", "*.zip")
NOTHING = "nothing"
REAL_CONNECT = sqlite3.connect


@cache
def pattern() -> tuple[Path, tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Return a farm file with two drafts, and the keys of drafts, plants and finished readings; made once."""
    path = Path(mkdtemp(prefix="bayround-faults-")) / NAME
    season = factory.season(factory.past())
    drafts, known = [], []
    for day in (20, 27, 28):
        walk = Round(new_id(), date(2026, 10, day), season.people[0].id)
        visit = Visit(
            new_id(), walk.id, season.bays[0].id, season.plantings[0].id, walk.held_on, walk.scout_id
        )
        drafts.append(visit.id)
        known += [walk, visit]
    facts = [fact for part in fields(season) if part.name != "farm" for fact in getattr(season, part.name)]
    with create_farm(path, "Hill farm") as store:
        add(store, *facts, *known)
    return (
        path,
        tuple(drafts),
        tuple(p.id for p in season.marked_plants),
        tuple(r.id for r in season.readings),
    )


@cache
def laptop(number: int) -> Path:
    """Return the farm as another laptop has it: every reading corrected there, half a visit keyed in."""
    pattern_path, drafts, plants, readings = pattern()
    path = pattern_path.with_name(f"{number}.laptop")
    shutil.copyfile(pattern_path, path)
    with open_farm(path) as store:
        for place, reading in enumerate(readings):
            corrections.correct(
                store, "reading", reading, "height_cm", 200.0 + number + place, None, NOW, "there"
            )
        for plant in plants:
            save_cell(store, drafts[number], plant, "height_cm", 150.0)
    return path


def content(path: Path) -> str:
    """Return a hash of everything in a farm file, after undoing what a crash left half-done.

    Raises:
        sqlite3.Error, AssertionError: when it is not sound.
    """
    with closing(REAL_CONNECT(path)) as connection:
        connection.execute("PRAGMA cell_size_check = ON")
        found = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        assert found == "ok", found
        assert connection.execute("PRAGMA foreign_key_check").fetchone() is None
        told = hashlib.sha256()
        tables = connection.execute(
            "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name"
        ).fetchall()
        for (name,) in tables:
            told.update(name.encode())
            for row in connection.execute(f'SELECT * FROM "{name}"'):
                told.update(repr(row).encode())
        return told.hexdigest()


def papers(folder: Path) -> str:
    """Return the names and digests of the workbooks and packages in a folder; nothing where there are none."""
    found = sorted(path for ending in PAPERS for path in folder.glob(ending))
    return "".join(f" {path.name} {hashlib.sha256(path.read_bytes()).hexdigest()}" for path in found)


def everything(folder: Path) -> str:
    """Return what a folder holds that a person was told is done: the farm and the papers.

    Raises:
        sqlite3.Error, AssertionError: as of `content`.
    """
    path = folder / NAME
    return (content(path) if path.exists() else NOTHING) + papers(folder)


def same_keys(first: int = 0) -> None:
    """Let two runs of a job lead to the same farm, down to the last key."""
    numbers = count(first + 1)
    ids.uuid7 = lambda: uuid6.UUID(int=next(numbers) | 7 << 76 | 2 << 62)  # type: ignore[attr-defined]


@contextmanager
def own_keys_again() -> Iterator[None]:
    """Afterwards keys are made as ever; names of unfinished files are so all the time."""
    uuid7, file_key = ids.uuid7, placing.new_id  # type: ignore[attr-defined]
    placing.new_id = lambda: str(uuid6.uuid7())  # type: ignore[attr-defined]
    try:
        yield
    finally:
        ids.uuid7, placing.new_id = uuid7, file_key  # type: ignore[attr-defined]
