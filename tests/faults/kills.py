"""Many kills in one place: a writer is started, killed at a random moment, and its farm looked at."""

from __future__ import annotations

import multiprocessing
import random
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import keying_child
from jobs_at_risk import NAME, pattern, prepare
from test_kill import cells_of, keyed_until_killed

from bayround.records.farm_file import open_farm
from bayround.records.read_visit import read_revision


@dataclass(slots=True)
class Killed:
    """What many kills came to."""

    acknowledged: int = 0
    hot: int = 0
    lost: int = 0
    half: int = 0
    unsound: int = 0


def try_kills(count: int, seed: int) -> Killed:
    """Kill a process that keys cells in, *count* times; every acknowledged cell has to be there."""
    _path, drafts, plants, _readings = pattern()
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["bayround.records.write_visit", "bayround.records.farm_file"])
    chance, found = random.Random(seed), Killed()
    expected: dict[tuple[str, str], float] = {}
    with TemporaryDirectory() as folder:
        prepare(Path(folder), "cell autosave")
        path, number = Path(folder) / NAME, 1
        with open_farm(path) as store:
            began = read_revision(store)
        for _kill in range(count):

            def start(says: Any, first: int = number) -> Any:
                arguments = (path, drafts[0], list(plants), first, says)
                child = context.Process(target=keying_child.key_in, args=arguments)
                child.start()
                return child

            told = keyed_until_killed(start, chance)
            found.acknowledged += len(told)
            found.hot += path.with_name(path.name + "-journal").exists()
            expected |= {(plant, field): value for plant, field, value in told}
            number = int(told[-1][2]) + 1
            with open_farm(path) as store:
                kept, revision = cells_of(store, drafts[0]), read_revision(store)
            unsaid = {cell: value for cell, value in kept.items() if expected.get(cell) != value}
            found.lost += sum(1 for cell in expected if cell not in kept)
            found.half += not set(unsaid.values()) <= {float(number)}
            expected |= unsaid
            number += len(unsaid)
            found.half += revision - began != number - 1
            found.unsound += not _sound(path)
    return found


def _sound(path: Path) -> bool:
    with closing(sqlite3.connect(path)) as connection:
        whole = connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return whole and connection.execute("PRAGMA foreign_key_check").fetchone() is None
