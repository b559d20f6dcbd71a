"""How long a farm of ten years takes to open and to back up: `python -m tests.benchmarks --ten-years`.

200 bays, visited every week, ten marked plants each: a million readings, written by bulk SQL into the
temporary folder and thrown away afterwards. Opening means what a person waits for: every page, record, rule
and reference checked, and every index too when the file was not closed properly. A backup is copied, synced,
opened again and checked. Beside each stands plain `sqlite3` doing the same to the same file, one after the
other. The limit is for what a person waits, by the clock, the best of several; beside it stands their median, which
on a computer that does other things too is what they had to wait then.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from bayround.facts.ids import new_id
from bayround.records.backup import back_up
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.lock import lock_file

START_LIMIT_S = BACKUP_LIMIT_S = 2.0
FIRST_ROUND = date(2016, 11, 23)
YEARS, PLANTS = 10, 10
NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


@dataclass(frozen=True)
class Times:
    """Best times in seconds: processor, by the clock, and by the clock what plain sqlite3 takes for the same.

    *usual* is the median by the clock.
    """

    name: str
    limit: float | None
    own: float
    clock: float
    usual: float
    bare: float


def write_ten_years(path: Path, bays: int, weeks: int) -> int:
    """Write the farm file; return how many readings it holds."""
    create_farm(path, "Ten years").close()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for setting in ("synchronous = OFF", "journal_mode = OFF", "cache_size = -200000"):
            connection.execute(f"PRAGMA {setting}")
        connection.execute("BEGIN")
        person, house = new_id(), new_id()
        _fill(connection, "person", [{"id": person, "name": "A scout", "role": "scout", "active": 1}])
        _fill(connection, "house", [{"id": house, "name": "All", "kind": "net house", "length_m": 400.0,
              "width_m": 200.0, "cover": "", "position": 0, "note": ""}])  # fmt: skip
        plantings = _write_bays(connection, house, bays)
        plants = _write_plants(connection, plantings)
        written = _write_rounds(connection, plantings, plants, person, weeks)
        connection.execute("COMMIT")
        return written


Planting = tuple[str, str]
"""Keys of the bay and of what stands in it."""


def _write_bays(connection: sqlite3.Connection, house: str, bays: int) -> list[list[Planting]]:
    """Return, for each year, what stands in each bay."""
    keys = [new_id() for _bay in range(bays)]
    _fill(connection, "bay", [{"id": key, "house_id": house, "name": f"B{place}", "rows": 10, "length_m": 40.0,
          "width_m": 10.0, "position": place} for place, key in enumerate(keys)])  # fmt: skip
    years = [[(key, new_id()) for key in keys] for _year in range(YEARS)]
    for year, plantings in enumerate(years):
        first = FIRST_ROUND + timedelta(days=364 * year)
        _fill(connection, "planting", [
            {"id": planting, "bay_id": bay, "crop": "sweet pepper", "variety": "", "plants": 1000,
             "transplanted_on": first.isoformat(), "removed_on": (first + timedelta(days=363)).isoformat(),
             "stems_per_plant": 2, "training": "", "colour_aim": "green", "note": ""}
            for bay, planting in plantings
        ])  # fmt: skip
    return years


def _write_plants(connection: sqlite3.Connection, years: list[list[Planting]]) -> dict[str, list[str]]:
    plants = {planting: [new_id() for _plant in range(PLANTS)] for year in years for _bay, planting in year}
    _fill(connection, "marked_plant", [
        {"id": key, "planting_id": planting, "number": place + 1, "row": place + 1, "position": 5, "ended_why": ""}
        for planting, keys in plants.items() for place, key in enumerate(keys)
    ])  # fmt: skip
    return plants


def _write_rounds(
    connection: sqlite3.Connection,
    years: list[list[Planting]],
    plants: dict[str, list[str]],
    person: str,
    weeks: int,
) -> int:
    written = 0
    for week in range(weeks):
        day, key = (FIRST_ROUND + timedelta(weeks=week)).isoformat(), new_id()
        standing = years[min(YEARS - 1, week // 52)]
        visits = [(new_id(), bay, planting) for bay, planting in standing]
        _fill(connection, "round", [{"id": key, "held_on": day, "scout_id": person, "note": ""}])
        _fill(connection, "visit", [
            {"id": visit, "round_id": key, "bay_id": bay, "planting_id": planting, "visited_on": day,
             "scout_id": person, "state": "done", "finished_at": f"{day} 09:00:00.000000", "note": ""}
            for visit, bay, planting in visits
        ])  # fmt: skip
        readings = [
            {"id": new_id(), "visit_id": visit, "marked_plant_id": plant, "state": "standing", "note": "",
             "height_cm": 20.0 + week % 52, "last_tie_cm": 10.0 + week % 52, "flowers": 3, "fruit_set": 2,
             "fruit_green": 4}
            for visit, _bay, planting in visits for plant in plants[planting]
        ]  # fmt: skip
        _fill(connection, "reading", readings)
        written += len(readings)
    return written


def _fill(connection: sqlite3.Connection, table: str, rows: list[dict[str, object]]) -> None:
    names = list(rows[0])
    marks = ", ".join("?" * len(names))
    quoted = ", ".join(f'"{name}"' for name in names)
    connection.executemany(
        f'INSERT INTO "{table}" ({quoted}) VALUES ({marks})', [tuple(row.values()) for row in rows]
    )


def measure(bays: int, weeks: int, runs: int) -> Iterator[Times | str]:
    """Yield what was written, then the times of opening and of a backup."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "ten years.bayround"
        readings = write_ten_years(path, bays, weeks)
        yield f"{readings} readings, {path.stat().st_size / 2**20:.0f} MiB"
        own = times_of(lambda: open_farm(path).close(), runs)
        yield Times("open", START_LIMIT_S, *own, times_of(lambda: _bare_check(path, "quick"), runs)[1])
        own = times_of(lambda: _open_after_a_crash(path), 1)
        yield Times("open after a crash", None, *own, times_of(lambda: _bare_check(path), 1)[1])
        with open_farm(path) as store:
            own = times_of(lambda: back_up(store, Path(folder) / "kept", NOW).unlink(), runs)
        copy = Path(folder) / "bare"
        yield Times("backup", BACKUP_LIMIT_S, *own, times_of(lambda: _bare_backup(path, copy), runs)[1])


def _open_after_a_crash(path: Path) -> None:
    lock_file(path).touch()
    open_farm(path).close()


def times_of(work: Callable[[], object], times: int) -> tuple[float, float, float]:
    """Return the shortest processor time, the shortest time by the clock and the median by the clock, in seconds."""
    found = []
    for _ in range(times):
        began, clock = time.process_time(), time.perf_counter()
        work()
        found.append((time.process_time() - began, time.perf_counter() - clock))
    clocks = [other for _one, other in found]
    return min(one for one, _other in found), min(clocks), median(clocks)


def _bare_check(path: Path, how: str = "integrity") -> None:
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute(f"PRAGMA {how}_check").fetchone() == ("ok",)
        assert connection.execute("PRAGMA foreign_key_check").fetchone() is None


def _bare_backup(path: Path, copy: Path) -> None:
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
    with copy.open("rb+") as stream:
        os.fsync(stream.fileno())
    _bare_check(copy, "quick")
    copy.unlink()


def run(bays: int, runs: int, weeks: int = 520) -> int:
    """Print the table; 1 when a limit is passed."""
    late = 0
    print(
        f"{'':<20}{'processor':>12}{'limit':>10}{'by the clock':>16}{'median':>10}{'plain sqlite3':>16}{'ratio':>8}"
    )
    for found in measure(bays, weeks, runs):
        if isinstance(found, str):
            print(found, flush=True)
            continue
        limit = f"{found.limit:.2f} s" if found.limit else ""
        print(f"{found.name:<20}{f'{found.own:.2f} s':>12}{limit:>10}{f'{found.clock:.2f} s':>16}"
              f"{f'{found.usual:.2f} s':>10}{f'{found.bare:.2f} s':>16}{found.clock / found.bare:>8.2f}", flush=True)  # fmt: skip
        late += found.limit is not None and found.clock > found.limit
    return 1 if late else 0
