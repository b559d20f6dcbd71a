"""The program's own jobs, step by step, as the fault tests run them: on one small farm in a folder."""

from __future__ import annotations

import hashlib
import random
import shutil
import sqlite3
from collections.abc import Callable, Generator
from contextlib import closing
from dataclasses import fields
from datetime import UTC, date, datetime
from functools import cache, partial
from pathlib import Path
from tempfile import mkdtemp

import factory
from bayround import places
from bayround.facts.ids import new_id
from bayround.facts.rounds import READING_FIELDS, Round, Visit
from bayround.facts.work import WeekClose
from bayround.records import backup, corrections, merge
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.store import Store
from bayround.records.write_setup import add
from bayround.records.write_visit import finish_visit, save_cell
from bayround.records.write_work import close_week

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
NAME = "Hill.bayround"
OLD = Path(__file__).parents[1] / "old_files" / "version_1.bayround"
OTHERS = ("first.laptop", "second.laptop")
Step = Callable[[], object]
Job = Callable[[Path], Generator[Step, None, None]]
"""Opens the farm in a folder and yields its steps; each is one thing that a person is told is done."""


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
        for number, other in enumerate(OTHERS):
            shutil.copyfile(_laptop(number), folder / other)


@cache
def _laptop(number: int) -> Path:
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


def autosave(folder: Path) -> Generator[Step, None, None]:
    _path, drafts, plants, _readings = pattern()
    chance = random.Random(5)
    with open_farm(folder / NAME) as store:
        for number in range(40):
            field = READING_FIELDS[number // len(plants)]
            value = float(chance.randint(1, 200))
            yield partial(save_cell, store, drafts[0], plants[number % len(plants)], field, value)


def finishing(folder: Path) -> Generator[Step, None, None]:
    with open_farm(folder / NAME) as store:
        for draft in pattern()[1]:
            yield partial(finish_visit, store, draft, NOW)


def correction(folder: Path) -> Generator[Step, None, None]:
    with open_farm(folder / NAME) as store:
        for number, reading in enumerate(pattern()[3] * 2):
            yield partial(_correct, store, reading, 130.0 + number)


def _correct(store: Store, reading: str, value: float) -> None:
    corrections.correct(store, "reading", reading, "height_cm", value, None, NOW, "again")


def upgrade(folder: Path) -> Generator[Step, None, None]:
    yield lambda: open_farm(folder / NAME).close()


def backing_up(folder: Path) -> Generator[Step, None, None]:
    with open_farm(folder / NAME) as store:
        for _again in range(3):
            yield lambda: backup.back_up(store, places.backups_dir(folder / NAME), NOW)


def restoring(folder: Path) -> Generator[Step, None, None]:
    (kept,) = backup.list_backups(places.backups_dir(folder / NAME))
    yield lambda: backup.restore(kept.path, folder / NAME)


def merging(folder: Path) -> Generator[Step, None, None]:
    with open_farm(folder / NAME) as store:
        for other in OTHERS:
            yield partial(merge.merge, store, [folder / other])


def closing_weeks(folder: Path) -> Generator[Step, None, None]:
    with open_farm(folder / NAME) as store:
        for week in range(40, 48):
            close = WeekClose(new_id(), f"2026-W{week}", NOW, store.info().revision, "digest")
            yield partial(close_week, store, close)


JOBS: dict[str, Job] = {
    "cell autosave": autosave, "finish": finishing, "correction": correction, "upgrade": upgrade,
    "backup": backing_up, "restore": restoring, "merge": merging, "closing a week": closing_weeks,
}  # fmt: skip
WRITING = tuple(job for job in JOBS if job not in {"backup", "restore"})
"""The jobs that write the farm file itself; the others only make or move whole files."""


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
