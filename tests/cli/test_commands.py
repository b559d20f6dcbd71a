"""What each command does, and that those that only read leave the farm file as it was."""

from __future__ import annotations

import json
import shlex
import shutil
import sqlite3
import subprocess
from collections.abc import Sequence
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from bayround.actions import farm as farm_actions
from bayround.actions import setup
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.cli import command_line, jobs
from bayround.cli.faces import Faces, Size
from bayround.facts.farm import FarmInfo, Person
from bayround.facts.ids import new_id
from bayround.facts.problems import FarmFileProblem
from bayround.facts.weeks import Week
from bayround.week.snapshot import WeekSnapshot

NEWEST = Week(2026, 47)
"""The newest week of the sample farm's scenario."""


@pytest.fixture(scope="session")
def snapshot(sample_file: Path) -> WeekSnapshot:
    """The newest week, as the window would show it."""
    with closing(farm_actions.open_farm(sample_file, read_only=True)) as farm:
        return week_actions.picture(farm, None, date.today())


def test_sample_makes_a_farm_marked_as_invented(sample_file):
    with closing(farm_actions.open_farm(sample_file, read_only=True)) as farm:
        assert farm.info.invented
        assert week_actions.newest_week(farm) == NEWEST


def test_sample_says_a_line_that_can_be_run(run, tmp_path):
    target = tmp_path / "a farm.bayround"
    line = run("sample", "--to", target).out.splitlines()[-1].removeprefix("Open it with: ")
    command, *rest = shlex.split(line)
    assert rest[-2:] == ["open", str(target)]
    asked = subprocess.run([command, *rest[:-2], "--version"], capture_output=True, text=True, check=True)
    assert "bayround" in asked.stdout.casefold()


def test_sample_leaves_an_existing_file_as_it_is(run, tmp_path):
    taken = tmp_path / "taken.bayround"
    taken.write_text("somebody's", encoding="utf-8")
    ended = run("sample", "--to", taken)
    assert (ended.code, ended.out) == (1, "")
    assert "exists already" in ended.err
    assert taken.read_text(encoding="utf-8") == "somebody's"


def test_week_writes_the_newest_week_and_says_so(run, farm_file, tmp_path, snapshot):
    import openpyxl

    target = tmp_path / "week.xlsx"
    ended = run("week", farm_file, "--to", target)
    totals = snapshot.totals
    assert ended.code == 0, ended.err
    assert f"Nowhere Vale (invented sample farm), {NEWEST}, as of 2026-11-22" in ended.out
    assert f"Bays visited: {totals['bays_visited'].text}" in ended.out
    assert f"Hours of work due: {totals['hours_due'].text} h" in ended.out
    with closing(openpyxl.load_workbook(target)) as book:
        assert len(book.sheetnames) >= 10


def test_week_writes_the_week_that_was_asked_for(run, farm_file, tmp_path):
    ended = run("week", farm_file, "--week", "2026-W40", "--to", tmp_path / "week.xlsx")
    assert ended.code == 0
    assert "2026-W40, as of 2026-10-04" in ended.out  # ISO 8601: week 40 of 2026 ends on Sunday 4 October


def test_week_leaves_an_existing_workbook_unless_told_otherwise(run, farm_file, tmp_path):
    target = tmp_path / "week.xlsx"
    target.write_text("the manager's notes", encoding="utf-8")
    refused = run("week", farm_file, "--to", target)
    assert refused.code == 1
    assert "--replace" in refused.err
    assert target.read_text(encoding="utf-8") == "the manager's notes"
    assert run("week", farm_file, "--to", target, "--replace").code == 0
    assert target.read_bytes().startswith(b"PK")


def test_a_week_without_rounds_is_a_problem_in_words(run, farm_file, tmp_path):
    ended = run("week", farm_file, "--week", "2020-W01", "--to", tmp_path / "week.xlsx")
    assert ended.code == 1
    assert ended.err.splitlines() == [
        "bayround: There is no round in 2020-W01.",
        "Rounds are kept from 2026-W28 to 2026-W47.",
    ]
    assert not (tmp_path / "week.xlsx").exists()


class Friday(date):
    """A calendar on which today is the Friday of the newest week."""

    @classmethod
    def today(cls):
        return date(2026, 11, 20)


@pytest.fixture
def on_friday(monkeypatch, sample_file) -> WeekSnapshot:
    """The jobs as of that Friday, with the command's calendar set to it."""
    monkeypatch.setattr(jobs, "date", Friday)
    with closing(farm_actions.open_farm(sample_file, read_only=True)) as farm:
        return week_actions.work(farm, None, Friday.today())


def test_jobs_prints_every_job_with_its_reason_and_what_stops_it(run, farm_file, on_friday):
    snapshot = on_friday
    ended = run("jobs", farm_file)
    assert ended.code == 0
    assert f"{NEWEST} · as of 2026-11-20" in ended.out
    totals = snapshot.totals
    assert f"{totals['jobs_due'].text} jobs due, {totals['hours_due'].text} h" in ended.out
    assert len(snapshot.jobs) > 5
    for job in snapshot.jobs:
        assert f"    {job.reason}\n" in ended.out
        assert job.bay_name in ended.out
    stopped = [job for job in snapshot.jobs if job.blocked_by]
    assert ended.out.count("    Stopped: ") == len(stopped) > 0


def test_jobs_as_json_are_the_jobs_of_the_week(run, farm_file, on_friday):
    snapshot = on_friday
    printed = json.loads(run("jobs", farm_file, "--json").out)
    assert len(printed) == len(snapshot.jobs)
    for found, job in zip(printed, snapshot.jobs, strict=True):
        assert list(found) == [
            *("bay", "house", "kind", "target", "reason", "due_on", "priority"),
            *("hours", "state", "assigned_to", "blocked_by", "plants", "numbers"),
        ]
        assert f"{found['house']} · {found['bay']}" == job.bay_name
        assert (found["kind"], found["target"]) == (job.kind.value, job.target)
        assert (found["due_on"], found["priority"]) == (job.due_on.isoformat(), job.priority)
        assert found["hours"] == job.hours.cell
        assert tuple(found["blocked_by"]) == job.blocked_by
        for number, figure in zip(found["numbers"], job.numbers, strict=True):
            assert list(number) == ["id", "label", "value", "unit", "low", "high", "n"]
            assert (number["id"], number["value"], number["n"]) == (figure.id, figure.cell, figure.n)
            if figure.interval_text:
                low, high = figure.interval_text.split(" to ")
                assert (number["low"], number["high"]) == (float(low), float(high))
    assert any(number["low"] is not None for job in printed for number in job["numbers"])


def test_a_week_without_jobs_says_so():
    farm = FarmInfo("01900000-0000-7000-8000-000000000001", "Empty")
    empty = WeekSnapshot(farm, NEWEST, date(2026, 11, 20), 1, (), {}, ())
    assert jobs.as_text(empty) == "Empty · 2026-W47 · as of 2026-11-20\nNo job is due."
    assert jobs.as_json(empty) == "[]"


def test_check_says_that_a_sound_file_is_sound(run, farm_file):
    ended = run("check", farm_file)
    assert (ended.code, ended.err) == (0, "")
    assert ended.out.endswith("is sound.\n")


def test_check_finds_what_cannot_be_true(run, farm_file):
    with closing(sqlite3.connect(farm_file)) as connection:
        connection.execute("DELETE FROM treatment_bay")
        connection.commit()
    ended = run("check", farm_file)
    assert ended.code == 3
    assert "covers no bay." in ended.out
    assert "Nothing was changed." in ended.out


@pytest.mark.parametrize("command", ["week", "jobs", "check", "pictures"])
def test_commands_that_read_leave_the_file_and_its_folder_as_they_were(command, tmp_path, sample_file):
    folder = tmp_path / "farm"
    folder.mkdir()
    file = Path(shutil.copy(sample_file, folder))
    before = file.read_bytes()
    target = tmp_path / "out.xlsx" if command == "week" else tmp_path / "out"
    more = ["--to", str(target)] if command in {"week", "pictures"} else []
    assert command_line.run([command, str(file), *more], Faces(lambda _: 0, try_to_write)) == 0
    assert file.read_bytes() == before
    assert [item.name for item in folder.iterdir()] == [file.name]


def try_to_write(farm: OpenFarm, folder: Path, today: date, sizes: Sequence[Size]) -> tuple[Path, ...]:
    """Stand-in for the window, which must not be able to write to the farm it is handed."""
    with pytest.raises(FarmFileProblem):
        setup.add(farm, Person(new_id(), "Juniper"))
    return (folder / "week.png",)


def test_pictures_hands_over_the_farm_the_day_and_the_sizes(farm_file, tmp_path, capsys):
    handed = []

    def take(farm: OpenFarm, folder: Path, today: date, sizes: Sequence[Size]) -> tuple[Path, ...]:
        handed.append((farm.path, farm.store.read_only, folder, today, sizes))
        return (folder / "week.png", folder / "jobs.png")

    folder = tmp_path / "made" / "here"
    typed = ["pictures", str(farm_file), "--to", str(folder), "--size", "640x480"]
    assert command_line.run(typed, Faces(lambda _: 0, take)) == 0
    assert handed == [(farm_file, True, folder, date(2026, 11, 22), ((640, 480),))]
    assert folder.is_dir()
    assert capsys.readouterr().out.splitlines() == [
        f"Made 2 pictures in “{folder}”:",
        "  week.png",
        "  jobs.png",
    ]


@pytest.mark.parametrize(
    ("typed", "opened"),
    [
        ([], None),
        (["open"], None),
        (["open", "a.bayround"], Path("a.bayround")),
        (["My Farm.BAYROUND"], Path("My Farm.BAYROUND")),
    ],
)
def test_without_a_command_the_window_opens(typed, opened):
    asked = []

    def open_window(file: Path | None) -> int:
        asked.append(file)
        return 7

    assert command_line.run(typed, Faces(open_window, try_to_write)) == 7
    assert asked == [opened]
