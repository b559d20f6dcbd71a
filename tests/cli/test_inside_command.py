"""`bayround inside`, and what `pick`, `done` and `merge` say of intervals and of picks typed twice."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, date, datetime, time, timedelta

import pytest

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import treatments
from bayround.actions.jobs import Moment
from bayround.cli import pick as pick_command
from bayround.facts.moments import instant_of
from bayround.records import read_parts

DAY = date(2026, 11, 24)
BAY = "South net house · S2"


@pytest.fixture(autouse=True)
def on_that_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pick_command, "now", lambda: (DAY, instant_of(DAY, time(20))))


def bay_of(file, name: str = BAY) -> str:
    with closing(farm_actions.open_farm(file, read_only=True)) as farm:
        season = read_parts.read_setup(farm.store)
        houses = {house.id: house.name for house in season.houses}
        return next(bay.id for bay in season.bays if f"{houses[bay.house_id]} · {bay.name}" == name)


def treat(file, bay_id: str, **changes: object) -> None:
    item = factory.treatment(
        instant_of(DAY, time(11)), **({"re_entry_hours": 4.0, "pre_harvest_days": 3.0} | changes)
    )
    with closing(farm_actions.open_farm(file)) as farm:
        treatments.record(farm, item, [bay_id], Moment(DAY, datetime.now(UTC) + timedelta(days=3650)))


def test_the_sample_farm_explains_all_of_it(run: Callable, sample_file) -> None:
    ended = run("inside", sample_file)
    assert (ended.code, ended.out.strip()) == (0, "Nothing lies inside an interval without an explanation.")


def test_a_treatment_that_comes_with_a_merge_is_said_at_once(run: Callable, farm_file, tmp_path) -> None:
    other = shutil.copy(farm_file, tmp_path / "other.bayround")
    assert run("pick", farm_file, BAY, "20", "--on", DAY, "--grade", "third").code == 0
    treat(other, bay_of(farm_file))
    merged = run("merge", farm_file, other)
    assert merged.code == 0
    assert "1 record lies inside an interval and is not explained:" in merged.err
    assert (
        f"{BAY}: Picked (20.0 kg) on 2026-11-24 inside an interval: no re-entry before 2026-11-24 15:00"
        in merged.err
    )
    listed = run("inside", farm_file)
    assert (listed.code, listed.out.startswith(f"1. {BAY}")) == (3, True)
    assert "not explained: South net house · S2" in run("jobs", farm_file).out


def test_explaining_by_number(run: Callable, farm_file) -> None:
    run("pick", farm_file, BAY, "20", "--on", DAY)
    treat(farm_file, bay_of(farm_file))
    assert "no number 2" in run("inside", farm_file, "--explain", "2", "--although", "so").err
    assert '--although "WHY"' in run("inside", farm_file, "--explain", "1").err
    assert run("inside", farm_file, "--explain", "1", "--although", "over at ten").code == 0
    assert run("inside", farm_file).code == 0


def test_a_stopped_pick_names_the_option(run: Callable, farm_file) -> None:
    treat(farm_file, bay_of(farm_file))
    ended = run("pick", farm_file, BAY, "20")
    assert (ended.code, 'On the command line: --although "WHY".' in ended.err) == (1, True)
    assert run("pick", farm_file, BAY, "20", "--although", "culls").code == 0
    assert run("inside", farm_file).code == 0


def test_a_pick_before_a_treatment_of_that_day_is_asked_about(run: Callable, farm_file) -> None:
    treat(farm_file, bay_of(farm_file), started_at=instant_of(DAY, time(9)))
    ended = run("pick", farm_file, BAY, "20", "--began", "07:00")
    assert (ended.code, "Was picking over before then?" in ended.err, "--although" in ended.err) == (
        1,
        True,
        True,
    )
    assert run("pick", farm_file, BAY, "20", "--began", "07:00", "--although", "over at 8").code == 0
    assert run("inside", farm_file).code == 0


def test_a_stopped_job_names_the_option(run: Callable, farm_file) -> None:
    bay_id = bay_of(farm_file, "South net house · S1")
    treat(farm_file, bay_id, re_entry_hours=None)
    kinds = ("trellis", "weeding", "round", "fruit balance")
    told = [run("done", farm_file, "South net house · S1", kind) for kind in kinds]
    stopped = [one for one in told if "This job is stopped" in one.err]
    assert stopped
    assert all('--although "WHY"' in one.err for one in stopped)


def test_the_same_pick_twice(run: Callable, farm_file) -> None:
    typed = ("pick", farm_file, BAY, "31.5", "--grade", "second", "--on", DAY)
    assert run(*typed).code == 0
    again = run(*typed)
    assert (again.code, "written down already" in again.err, "--again" in again.err) == (1, True, True)
    assert run(*typed, "--again").code == 0
