"""A pick inside a pre-harvest interval and a job inside a re-entry interval are stopped on screen, in the command
line and in the workbook: one minute before and after, over midnight and the change of clocks (EU Directive
2000/84/EC: 25 October 2026, 01:00 UTC)."""

from __future__ import annotations

import time as clock
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path

import openpyxl
import pytest

import factory
from bayround import logs, places, start, words
from bayround.actions import farm as farm_actions
from bayround.actions import picks, treatments, workbook
from bayround.actions import week as week_actions
from bayround.actions.jobs import Moment
from bayround.cli import jobs as cli_jobs
from bayround.cli import pick as cli_pick
from bayround.facts.bay_past import BayPast
from bayround.facts.moments import start_of_day
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.records import write_setup
from bayround.window.jobs.job_table import JOB_COLUMNS

TODAY = date(2026, 10, 26)
MINUTE = timedelta(minutes=1)
STOPPED = next(one for one in JOB_COLUMNS if one.heading == "Stopped by")
Command = Callable[..., tuple[int, str]]


@pytest.fixture
def zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A time zone with a change of clocks in the interval, for this test."""
    if not hasattr(clock, "tzset"):  # the zone of this computer is then the one that is tested
        yield
        return
    monkeypatch.setenv("TZ", "Europe/Berlin")
    clock.tzset()
    yield
    monkeypatch.undo()
    clock.tzset()


@pytest.fixture
def command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], zone: None
) -> Iterator[Command]:
    """Type a command at a moment; its exit code and what it printed."""

    def run(at: datetime, *typed: object) -> tuple[int, str]:
        monkeypatch.setattr(cli_pick, "now", lambda: (TODAY, at))
        capsys.readouterr()
        code = start.main([str(word) for word in typed])
        printed = capsys.readouterr()
        return code, printed.out + printed.err

    yield run
    places.use_data_dir(None)
    logs.stop_logging()
    words.use()


def ripe_season() -> SeasonFacts:
    """A bay visited on 20 October with four coloured fruit on every marked plant: a pick is due."""
    house = factory.house()
    bay = factory.bay(house)
    planting = factory.planting(bay)
    marked = factory.plants(planting)
    numbers = {"height_cm": 120.0, "last_tie_cm": 110.0, "fruit_coloured": 4.0, "fruit_green": 3.0}
    seen = factory.record(planting, date(2026, 10, 20), {plant.id: numbers for plant in marked})
    return factory.season(BayPast(house, bay, planting, marked, (seen,)))


@pytest.fixture
def farm_file(tmp_path: Path, zone: None) -> Path:
    """A farm file with the ripe bay in it."""
    path, season = tmp_path / "farm.bayround", ripe_season()
    with closing(farm_actions.create(path, "Edge farm")) as farm:
        write_setup.add(
            farm.store, *season.people, *season.houses, *season.bays, *season.plantings, *season.marked_plants,
            *season.rounds, *season.visits, *season.readings,
        )  # fmt: skip
    return path


def treat(farm_file: Path, ended: datetime, hours: float, days: float) -> None:
    """Write a treatment down."""
    with closing(farm_actions.open_farm(farm_file)) as farm:
        (bay, _name), *_others = treatments.read(farm, TODAY).bays
        item = factory.treatment(ended, re_entry_hours=hours, pre_harvest_days=days)
        treatments.record(farm, item, [bay.id], Moment(TODAY, ended + timedelta(days=3)))


def faces(farm_file: Path, kind: JobKind, tmp_path: Path) -> tuple[str, str, str, str]:
    """Return what the screen, the command line (twice) and the workbook say of a job."""
    with closing(farm_actions.open_farm(farm_file, read_only=True)) as farm:
        snapshot = week_actions.picture(farm, Week.of(TODAY), TODAY)
        book = workbook.write_week(
            week_actions.with_history(farm, snapshot), tmp_path / "week.xlsx", lambda *_: None, lambda: False,
            farm.crops,
        )  # fmt: skip
    (job,) = [one for one in snapshot.jobs if one.kind is kind]
    printed = cli_jobs.as_text(snapshot).split(job.reason)[1].split(" h ")[0]
    rows = openpyxl.load_workbook(book)["Jobs due"].iter_rows(values_only=True)
    row = next(row for row in rows if job.kind_text in row)
    json = cli_jobs.as_json(snapshot)
    return STOPPED.text(job), printed, json, " | ".join(str(cell) for cell in row)


@pytest.mark.parametrize(("minutes", "stopped"), [(0, False), (1, True)])
def test_a_pick_inside_a_pre_harvest_interval(
    farm_file: Path, command: Command, tmp_path: Path, minutes: int, stopped: bool
) -> None:
    """Two days of the clock on the wall from Saturday 24 October, over the change of clocks, to Monday 00:00 or 00:01."""
    treat(farm_file, start_of_day(date(2026, 10, 24)) + minutes * MINUTE, 0.0, 2.0)
    for said in faces(farm_file, JobKind.PICK, tmp_path):
        assert ("no pick before 2026-10-26 00:01" in said) is stopped
    noon = start_of_day(TODAY) + timedelta(hours=12)
    code, said = command(noon, "pick", farm_file, "Bay 1", "20", "--on", TODAY, "--began", "00:00")
    assert (code, "no pick before 2026-10-26 00:01" in said) == ((1, True) if stopped else (0, False))
    whole_day = command(noon, "pick", farm_file, "Bay 1", "21")
    assert whole_day[0] == (1 if stopped else 0)
    free = command(noon, "pick", farm_file, "net house 1 bay 1", "22,5", "--began", "00:01")
    assert (free[0], "began 00:01" in free[1]) == (0, True)
    although = command(noon, "pick", farm_file, "Bay 1", "23", "--although", "culls, thrown away")
    assert although[0] == 0
    with closing(farm_actions.open_farm(farm_file, read_only=True)) as farm:
        (line,) = picks.read_day(farm, TODAY).lines
    kept = {pick.kg: pick.note for pick in line.picked}
    assert set(kept) == ({22.5, 23.0} if stopped else {20.0, 21.0, 22.5, 23.0})
    assert "culls, thrown away" in kept[23.0]
    assert ("picked although: no pick before" in kept[23.0]) is stopped


def test_a_job_inside_a_re_entry_interval(farm_file: Path, command: Command, tmp_path: Path) -> None:
    """36 h that end at 12:00 on Monday: the screen's list says so all day, ticking off is judged to the minute."""
    over = start_of_day(TODAY) + timedelta(hours=12)
    treat(farm_file, over - timedelta(hours=36), 36.0, 0.0)
    for said in faces(farm_file, JobKind.PICK, tmp_path):
        assert "no re-entry before 2026-10-26 12:00" in said
    typed = ("done", farm_file, "Bay 1", JobKind.PICK.value, "--hours", "1.5")
    code, said = command(over - MINUTE, *typed)
    assert (code, "no re-entry before 2026-10-26 12:00" in said) == (1, True)
    code, said = command(over, *typed)
    assert (code, "done" in said) == (0, True)
    code, said = command(over + MINUTE, *typed)
    assert (code, "done or skipped already" in said) == (1, True)


def test_a_job_done_all_the_same_keeps_its_explanation(farm_file: Path, command: Command) -> None:
    over = start_of_day(TODAY) + timedelta(hours=12)
    treat(farm_file, over - timedelta(hours=36), 36.0, 0.0)
    typed = ("done", farm_file, "Bay 1", JobKind.PICK.value)
    assert command(over - MINUTE, *typed, "--although", "wind had torn the net")[0] == 0
    with closing(farm_actions.open_farm(farm_file, read_only=True)) as farm:
        snapshot = week_actions.picture(farm, Week.of(TODAY), TODAY)
    (job,) = [one for one in snapshot.jobs if one.kind is JobKind.PICK]
    assert "wind had torn the net" in " ".join(job.history)


def test_what_is_not_there_is_said(farm_file: Path, command: Command) -> None:
    at = start_of_day(TODAY) + timedelta(hours=12)
    assert "Bays in use: Net house 1 · Bay 1" in command(at, "pick", farm_file, "Bay 7", "20")[1]
    assert "Nobody here is called" in command(at, "pick", farm_file, "Bay 1", "20", "--by", "Nobody")[1]
    code, said = command(at, "done", farm_file, "Bay 1", "weeding")
    assert (code, "Due here: " in said) == (1, True)
