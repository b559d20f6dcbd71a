"""The program's own jobs, step by step, as the fault tests run them: on one small farm in a folder."""

from __future__ import annotations

import hashlib
import random
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import fields
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import factory
from bayround import places
from bayround.facts.ids import new_id
from bayround.facts.rounds import READING_FIELDS, Round, Visit
from bayround.facts.work import WeekClose
from bayround.records import backup, corrections, merge
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.write_setup import add
from bayround.records.write_visit import finish_visit, save_cell
from bayround.records.write_work import close_week

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
NAME = "Hill.bayround"
OLD = Path(__file__).parents[1] / "old_files" / "version_1.bayround"
Job = Callable[[Path], Iterator[None]]
"""Works on the farm in a folder; yields after every step that it says is done."""


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


def prepare(folder: Path, name: str) -> None:
    """Put into a folder what a job begins with."""
    path, _drafts, _plants, readings = pattern()
    if name == "upgrade":
        shutil.copyfile(OLD, folder / NAME)
        return
    shutil.copyfile(path, folder / NAME)
    if name == "restore":
        with open_farm(folder / NAME) as store:
            backup.back_up(store, places.backups_dir(folder / NAME), NOW)
            corrections.correct(store, "reading", readings[0], "height_cm", 200.0, None, NOW, "later")
    if name == "merge":
        shutil.copyfile(path, folder / "other.laptop")
        with open_farm(folder / "other.laptop") as store:
            for place in range(3):
                corrections.correct(store, "reading", readings[place], "height_cm", 200.0, None, NOW, "there")


def autosave(folder: Path) -> Iterator[None]:
    _path, drafts, plants, _readings = pattern()
    chance = random.Random(5)
    with open_farm(folder / NAME) as store:
        for number in range(40):
            field = READING_FIELDS[number // len(plants)]
            save_cell(store, drafts[0], plants[number % len(plants)], field, float(chance.randint(1, 200)))
            yield


def finishing(folder: Path) -> Iterator[None]:
    with open_farm(folder / NAME) as store:
        for draft in pattern()[1]:
            finish_visit(store, draft, NOW)
            yield


def correction(folder: Path) -> Iterator[None]:
    with open_farm(folder / NAME) as store:
        for number, reading in enumerate(pattern()[3] * 2):
            corrections.correct(store, "reading", reading, "height_cm", 130.0 + number, None, NOW, "again")
            yield


def upgrade(folder: Path) -> Iterator[None]:
    open_farm(folder / NAME).close()
    yield


def backing_up(folder: Path) -> Iterator[None]:
    with open_farm(folder / NAME) as store:
        for _again in range(3):
            backup.back_up(store, places.backups_dir(folder / NAME), NOW)
            yield


def restoring(folder: Path) -> Iterator[None]:
    (kept,) = backup.list_backups(places.backups_dir(folder / NAME))
    backup.restore(kept.path, folder / NAME)
    yield


def merging(folder: Path) -> Iterator[None]:
    with open_farm(folder / NAME) as store:
        merge.merge(store, [folder / "other.laptop"])
        yield


def closing_weeks(folder: Path) -> Iterator[None]:
    with open_farm(folder / NAME) as store:
        for week in range(40, 48):
            close_week(store, WeekClose(new_id(), f"2026-W{week}", NOW, store.info().revision, "digest"))
            yield


JOBS: dict[str, Job] = {
    "cell autosave": autosave, "finish": finishing, "correction": correction, "upgrade": upgrade,
    "backup": backing_up, "restore": restoring, "merge": merging, "closing a week": closing_weeks,
}  # fmt: skip


def content(path: Path) -> str:
    """Return a hash of everything in a farm file, after undoing what a crash left half-done.

    Raises:
        sqlite3.Error, AssertionError: when it is not sound.
    """
    with closing(sqlite3.connect(path)) as connection:
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
