"""The program's own jobs, step by step, as the fault tests run them: on one small farm in a folder."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable, Generator
from functools import cache, partial
from pathlib import Path
from tempfile import mkdtemp

import file_jobs
from farm_at_risk import NAME, NOW, OLD, OTHERS, laptop, pattern

from bayround import places
from bayround.facts.ids import new_id
from bayround.facts.rounds import READING_FIELDS
from bayround.facts.work import WeekClose
from bayround.records import backup, corrections, merge
from bayround.records.farm_file import open_farm
from bayround.records.store import Store
from bayround.records.write_visit import finish_visit, save_cell
from bayround.records.write_work import close_week

Step = Callable[[], object]
Job = Callable[[Path], Generator[Step, None, None]]
"""Opens the farm in a folder and yields its steps; each is one thing that a person is told is done.

Nothing is read or written between two steps, so that a step that failed can be done again.
"""


def prepare(folder: Path, name: str) -> None:
    """Put into a folder what a job begins with; it is made once and copied."""
    shutil.copytree(_begun(name), folder, dirs_exist_ok=True)


@cache
def _begun(name: str) -> Path:
    folder = Path(mkdtemp(prefix="begun-", dir=pattern()[0].parent))
    if name in file_jobs.BEGIN:
        file_jobs.BEGIN[name](folder)
        return folder
    shutil.copyfile(OLD if name == "upgrade" else pattern()[0], folder / NAME)
    if name == "restore":
        with open_farm(folder / NAME) as store:
            backup.back_up(store, places.backups_dir(folder / NAME), NOW)
            corrections.correct(store, "reading", pattern()[3][0], "height_cm", 200.0, None, NOW, "later")
    if name == "merge":
        for number, other in enumerate(OTHERS):
            shutil.copyfile(laptop(number), folder / other)
    return folder


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
            yield partial(_close, store, f"2026-W{week}")


def _close(store: Store, week: str) -> None:
    close_week(store, WeekClose(new_id(), week, NOW, store.info().revision, "digest"))


JOBS: dict[str, Job] = {
    "cell autosave": autosave, "finish": finishing, "correction": correction, "upgrade": upgrade,
    "backup": backing_up, "restore": restoring, "merge": merging, "closing a week": closing_weeks,
    **file_jobs.JOBS,
}  # fmt: skip
WRITING = (
    "cell autosave", "finish", "correction", "upgrade", "merge", "closing a week", "import", "import taken back",
)  # fmt: skip
"""The jobs that write the farm file itself; the others only make or move whole files."""
