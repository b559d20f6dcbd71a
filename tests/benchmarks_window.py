"""How long the window takes: a bay with five years opened, a week of 200 bays shown, a key, the start.

Part of ``python -m tests.benchmarks``. An offscreen window of 1280×720 is really painted; the start is measured in
programs of their own, warm, against one that shows a form of three fields and imports SQLAlchemy. Limits hold for
processor time, so that other programs on the computer don't count: of all threads, for a key of the screen's own
(the farm's thread saves meanwhile). The clock on the wall stands beside it; both agree where nothing else runs.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from bayround import places
from bayround.actions import farm as farm_actions
from bayround.actions import sample
from bayround.actions.farm import OpenFarm
from bayround.crops import load_crops
from bayround.facts.farm import FarmInfo, MarkedPlant, Planting
from bayround.facts.ids import new_id
from bayround.facts.rounds import Round, Visit, VisitState
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.records import write_setup
from bayround.week import build
from benchmarks import BAYS, LAST_DAY, many_bays

BAY_LIMIT_MS = 100.0
WEEK_LIMIT_MS = 300.0
KEY_LIMIT_MS = 50.0
START_LIMIT = 3.0
YEARS, VISITS_A_YEAR = 5, 52
KEYS = 200
NOON = datetime(2026, 11, 20, 12, tzinfo=UTC)

BARE = """
import sys
from PySide6.QtWidgets import QApplication, QFormLayout, QLineEdit, QWidget
import sqlalchemy
app = QApplication(sys.argv)
form = QWidget()
rows = QFormLayout(form)
for name in ("Height", "Flowers", "Fruit"):
    rows.addRow(name, QLineEdit())
form.resize(1280, 720)
form.show()
app.processEvents()
form.grab()
import os
os._exit(0)
"""

WHOLE = """
import sys, time
from pathlib import Path
from bayround import start
start._use_data_dir(Path(sys.argv[2]))
start._use_choices()
start.load_before_window()
from bayround.window import errors
from bayround.window.application import application
from bayround.window.session import Session
app = application()
session = Session()
session.start(Path(sys.argv[1]))
app.processEvents()
window = session.window
window.activateWindow()
app.processEvents()
if not (window.isVisible() and window.pages.current.isVisible() and window.rail.isEnabled()):
    raise SystemExit("no window")
window.grab()
until = time.monotonic() + 60
while sys.argv[3] == "week" and time.monotonic() < until:
    time.sleep(0.001)
    app.processEvents()
    if window.pages.current.snapshot is not None:
        app.processEvents()
        window.grab()
        break
import os
os._exit(0)
"""


@dataclass(frozen=True, order=True)
class Took:
    """Milliseconds of processor time, and by the clock on the wall."""

    processor: float
    wall: float


class Watch:
    """Measures from when it is made, by a clock of all threads or of the screen's own."""

    def __init__(self, clock: Callable[[], float] = time.process_time) -> None:
        self._clock, self._wall, self._processor = clock, time.perf_counter(), clock()

    def read(self) -> Took:
        """Return what it took so far."""
        processor, wall = self._clock() - self._processor, time.perf_counter() - self._wall
        return Took(processor * 1000, wall * 1000)


@dataclass(frozen=True)
class WindowTimes:
    """What each thing took; the start beside the bare form's."""

    bay_first: Took
    bay: Took
    week: Took
    key_p95: Took
    key_median: Took
    start: Took
    start_week: Took
    start_bare: Took

    @property
    def rows(self) -> tuple[tuple[str, Took, float], ...]:
        """Name, time and limit (ms of processor time)."""
        return (
            ("bay with five years opened", self.bay, BAY_LIMIT_MS),
            ("a ready week painted", self.week, WEEK_LIMIT_MS),
            ("key to painted cell, p95", self.key_p95, KEY_LIMIT_MS),
            ("start to usable window", self.start, START_LIMIT * self.start_bare.processor),
        )

    @property
    def within(self) -> bool:
        """Whether every limit is kept."""
        return all(took.processor <= limit for _name, took, limit in self.rows)

    def report(self) -> str:
        """Return a table of times and limits."""
        lines = [f"{'':<30}{'processor':>12}{'limit':>12}{'wall':>12}"]
        lines += [
            f"{name:<30}{took.processor:>9.1f} ms{limit:>9.1f} ms{took.wall:>9.1f} ms"
            for name, took, limit in self.rows
        ]
        times = self.start.processor / self.start_bare.processor
        lines.append(f"the first bay, its screen made: {self.bay_first.processor:.0f} ms")
        lines.append(f"a key's median: {self.key_median.processor:.1f} ms")
        lines.append(
            f"bare form and SQLAlchemy: {self.start_bare.processor:.0f} ms; the start is {times:.2f} times that"
        )
        return "\n".join(lines)


def five_years(
    season: SeasonFacts, name: str, years: int = YEARS, visits: int = VISITS_A_YEAR
) -> tuple[SeasonFacts, str]:
    """Return the farm with years of weekly visits in one bay, a planting a year; and the bay's id."""
    bay = next(one for one in season.bays if one.name == name)
    standing = next(one for one in season.plantings if one.bay_id == bay.id and one.removed_on is None)
    plants = [one for one in season.marked_plants if one.planting_id == standing.id]
    pattern = sorted(
        (one for one in season.visits if one.planting_id == standing.id), key=lambda one: one.visited_on
    )
    scout = pattern[0].scout_id
    grown: dict[str, list[Any]] = {field.name: [] for field in fields(season) if field.name != "farm"}
    first_day = LAST_DAY - timedelta(weeks=years * visits - 1)
    for year in range(years):
        start = first_day + timedelta(weeks=year * visits)
        end = None if year == years - 1 else start + timedelta(weeks=visits)
        planting = replace(standing, id=new_id(), transplanted_on=start - timedelta(days=2), removed_on=end)
        marked = {
            one.id: replace(one, id=new_id(), planting_id=planting.id, marked_on=None) for one in plants
        }
        grown["plantings"].append(planting)
        grown["marked_plants"] += marked.values()
        for week in range(visits):
            _a_visit(
                season,
                grown,
                pattern[week * len(pattern) // visits],
                planting,
                marked,
                start + timedelta(weeks=week),
                scout,
            )
    cleared = _without(season, standing)
    return replace(cleared, **{key: (*getattr(cleared, key), *rows) for key, rows in grown.items()}), bay.id


def _a_visit(
    season: SeasonFacts,
    grown: dict[str, list[Any]],
    like: Visit,
    planting: Planting,
    marked: dict[str, MarkedPlant],
    day: date,
    scout: str,
) -> None:
    """Add a round of one visit that saw what an earlier one saw."""
    held = Round(new_id(), day, scout)
    visit = replace(
        like, id=new_id(), round_id=held.id, planting_id=planting.id, visited_on=day, scout_id=scout
    )
    grown["rounds"].append(held)
    grown["visits"].append(visit)
    for name in ("readings", "pest_checks", "card_counts", "weed_notes"):
        for row in getattr(season, name):
            if row.visit_id == like.id:
                changed = {"id": new_id(), "visit_id": visit.id}
                if name == "readings":
                    changed["marked_plant_id"] = marked[row.marked_plant_id].id
                grown[name].append(replace(row, **changed))


def _without(season: SeasonFacts, planting: Planting) -> SeasonFacts:
    """Return the farm without one planting and all that hangs on it."""
    gone = {one.id for one in season.visits if one.planting_id == planting.id}
    jobs = {one.id for one in season.jobs if one.bay_id == planting.bay_id}
    kept: dict[str, tuple[Any, ...]] = {
        "plantings": tuple(one for one in season.plantings if one.id != planting.id),
        "marked_plants": tuple(one for one in season.marked_plants if one.planting_id != planting.id),
        "visits": tuple(one for one in season.visits if one.id not in gone),
        "picks": tuple(one for one in season.picks if one.planting_id != planting.id),
        "forecasts": tuple(one for one in season.forecasts if one.planting_id != planting.id),
        "jobs": tuple(one for one in season.jobs if one.id not in jobs),
        "job_events": tuple(one for one in season.job_events if one.job_id not in jobs),
        "trial_plots": tuple(one for one in season.trial_plots if one.bay_id != planting.bay_id),
        "corrections": (),
    }
    for name in ("readings", "pest_checks", "card_counts", "weed_notes", "doubt_answers"):
        kept[name] = tuple(one for one in getattr(season, name) if one.visit_id not in gone)
    return replace(season, **kept)


def written(season: SeasonFacts, path: Path) -> OpenFarm:
    """Return an open farm file that holds the season."""
    farm = farm_actions.create(path, season.farm.name, invented=True)
    rows: list[object] = []
    for field in fields(season):
        value = getattr(season, field.name)
        if not isinstance(value, FarmInfo):
            rows += value
    write_setup.add(farm.store, *rows)
    return farm


@contextmanager
def window_on(farm: OpenFarm) -> Iterator[tuple[Any, Any, Any]]:
    """Yield application, worker and a shown window of 1280×720 on a farm."""
    from bayround.window import theme
    from bayround.window.application import application
    from bayround.window.desk import Desk
    from bayround.window.main_window import MainWindow
    from bayround.window.tasks_qt import QtTasks

    app = application()
    theme.apply(app, "light", large=False)

    def fault(error: BaseException) -> None:
        raise error

    tasks = QtTasks(fault)
    window = MainWindow(Desk(farm, tasks, today=lambda: LAST_DAY, now=lambda: NOON), tasks)
    window.backups.stop()
    window.resize(1280, 720)
    window.show()
    window.activateWindow()
    settle(app, tasks)
    try:
        yield app, tasks, window
    finally:
        tasks.drain()
        tasks.stop()
        window.hide()


def settle(app: Any, tasks: Any) -> None:
    """Let everything that was asked for arrive and be painted."""
    for _again in range(4):
        app.processEvents()
        tasks.drain()
    app.processEvents()


def bay_times(folder: Path, runs: int) -> tuple[Took, Took]:
    """Return what the first opening of the bay with five years takes, and the best of later ones."""
    season, bay_id = five_years(sample.season_facts(), "S7")
    farm = written(season, folder / "years.bayround")
    with window_on(farm) as (app, tasks, window):
        window.go("week")
        settle(app, tasks)
        others = [seen.bay.id for seen in window.pages.current.snapshot.bays if seen.bay.id != bay_id]
        first = _opening(app, tasks, window, bay_id)
        taken = []
        for run in range(runs):
            _opening(app, tasks, window, others[run % len(others)])
            taken.append(_opening(app, tasks, window, bay_id))
        assert len(window.pages.current.season.line.visits) == VISITS_A_YEAR
    farm.close()
    return first, min(taken)


def _opening(app: Any, tasks: Any, window: Any, bay_id: str) -> Took:
    """Return what it takes until a bay is painted."""
    settle(app, tasks)
    watch = Watch()
    window.go("bay", bay_id)
    while window.pages.current.season is None or window.pages.current.season.now.bay.id != bay_id:
        time.sleep(0.001)  # asking without pause would be counted too
        app.processEvents()
    app.processEvents()
    return watch.read()


def week_time(folder: Path, bays: int, runs: int) -> Took:
    """Return what a ready week of so many bays takes until it is painted, the best of several."""
    season = many_bays(sample.season_facts(), bays)
    crops = load_crops()
    weeks = [build.build(season, crops, Week.of(LAST_DAY).plus(back), LAST_DAY) for back in (0, -1)]
    farm = sample.write_sample(folder / "sample.bayround")
    taken = []
    with window_on(farm) as (app, tasks, window):
        window.go("week")
        settle(app, tasks)
        screen = window.pages.current
        for run in range(runs):
            settle(app, tasks)
            watch = Watch()
            screen._show(weeks[run % 2], "")
            app.processEvents()
            taken.append(watch.read())
        assert screen.bays.model.rowCount() == bays
    farm.close()
    return min(taken)


def key_times(folder: Path, keys: int) -> list[Took]:
    """Return what each key takes until its cell is painted, while the farm file is written."""
    from PySide6.QtCore import QEvent, Qt
    from PySide6.QtGui import QKeyEvent
    from PySide6.QtWidgets import QApplication

    season = sample.season_facts()
    drafts = {one.id for one in season.visits if one.state is VisitState.DRAFT}
    season = replace(season, visits=tuple(one for one in season.visits if one.id not in drafts))
    farm = written(_with_round(season), folder / "keys.bayround")
    taken: list[Took] = []
    with window_on(farm) as (app, tasks, window):
        window.go("visit")
        settle(app, tasks)
        screen = window.pages.current
        screen._open(screen.walk.walk.stops[0])
        settle(app, tasks)
        for place in range(keys):
            widget = QApplication.focusWidget() or screen.page.grid
            digit = "7654321"[place % 7] if place % 9 else "\r"
            code = Qt.Key.Key_Return if digit == "\r" else Qt.Key(ord(digit))
            watch = Watch(time.thread_time)
            for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                app.sendEvent(widget, QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, digit))
            app.processEvents()
            taken.append(watch.read())
            until = time.perf_counter() + 0.03  # thirty keys a second: faster than people type
            while time.perf_counter() < until:
                time.sleep(0.002)
                app.processEvents()
    farm.close()
    return taken


def _with_round(season: SeasonFacts) -> SeasonFacts:
    """Return the farm with a round begun on the last day, in which nothing was keyed in."""
    scout = season.rounds[-1].scout_id
    return replace(season, rounds=(*season.rounds, Round(new_id(), LAST_DAY + timedelta(days=1), scout)))


def start_times(folder: Path, runs: int) -> tuple[Took, Took, Took]:
    """Return what the program takes to a usable window and to the week in it, and the bare form; the best of several."""
    farm = sample.write_sample(folder / "start.bayround")
    farm.close()
    data = folder / "data"
    data.mkdir()
    whole = (WHOLE, str(folder / "start.bayround"), str(data))
    programs = ((*whole, "window"), (*whole, "week"), (BARE,))
    for program in programs:
        _run_program(folder, *program)  # the first start compiles, as once after every installation
    taken = [[_run_program(folder, *program) for program in programs] for _run in range(runs)]
    window, week, bare = (min(run[place] for run in taken) for place in range(len(programs)))
    return window, week, bare


def _run_program(folder: Path, code: str, *arguments: str) -> Took:
    around = os.environ | {
        "QT_QPA_PLATFORM": "offscreen",
        "QT_LOGGING_RULES": "default.warning=false",
        "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
    }
    around.pop("PYTHONDONTWRITEBYTECODE", None)
    before, began = os.times(), time.perf_counter()
    subprocess.run([sys.executable, "-c", code, *arguments], env=around, check=True, timeout=120)
    after = os.times()
    used = after.children_user - before.children_user + after.children_system - before.children_system
    return Took(used * 1000, (time.perf_counter() - began) * 1000)


def measure(bays: int = BAYS, runs: int = 7, keys: int = KEYS) -> WindowTimes:
    """Measure all four."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ.setdefault("QT_LOGGING_RULES", "default.warning=false")
    with tempfile.TemporaryDirectory(prefix="bayround-speed-") as kept:
        folder = Path(kept)
        places.use_data_dir(folder)
        parts: dict[str, Callable[[], Any]] = {
            "bay": lambda: bay_times(folder, runs),
            "week": lambda: week_time(folder, bays, runs),
            "keys": lambda: sorted(key_times(folder, keys)),
            "start": lambda: start_times(folder, min(runs, 5)),
        }
        found = {name: part() for name, part in parts.items()}
    pressed = found["keys"]
    return WindowTimes(
        *found["bay"],
        found["week"],
        pressed[min(len(pressed) - 1, round(0.95 * len(pressed)))],
        pressed[len(pressed) // 2],
        *found["start"],
    )
