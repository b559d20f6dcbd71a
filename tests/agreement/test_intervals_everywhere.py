"""An interval says the same on screen, command line and workbook: a minute before and after, over midnight, over
a change of clocks (EU Directive 2000/84/EC: 25 October 2026, 01:00 UTC)."""

from __future__ import annotations

import time as clock
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import openpyxl
import pytest

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import treatments, workbook
from bayround.actions import week as week_actions
from bayround.actions.jobs import Moment
from bayround.cli import jobs as cli_jobs
from bayround.facts.farm import Bay
from bayround.facts.ids import new_id
from bayround.facts.moments import start_of_day
from bayround.facts.rounds import Round
from bayround.facts.weeks import Week
from bayround.paper.workbook.treatments import TITLE
from bayround.records import write_setup
from bayround.week.columns import column
from bayround.week.snapshot import WeekSnapshot
from bayround.window.jobs.job_table import JOB_COLUMNS
from bayround.window.week import interval_marks

TODAY = date(2026, 10, 26)
LATE = Moment(TODAY, start_of_day(TODAY) + timedelta(hours=23))


@pytest.fixture(params=["UTC", "Europe/Berlin", "America/Bogota", "Asia/Kathmandu"])
def zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The computer's time zone, for this test."""
    if not hasattr(clock, "tzset"):  # the zone of this computer is then the one that is tested
        yield "local"
        return
    monkeypatch.setenv("TZ", request.param)
    clock.tzset()
    yield request.param
    monkeypatch.undo()
    clock.tzset()


def picture(
    path: Path, ended: datetime, hours: float | None, days: float | None
) -> tuple[WeekSnapshot, Path]:
    """Return the week of a farm with one treated bay and its workbook."""
    house = factory.house()
    bay: Bay = factory.bay(house)
    scout = factory.person()
    opened = farm_actions.create(path / "farm.bayround", "Edge farm")
    write_setup.add(
        opened.store,
        scout,
        house,
        bay,
        factory.planting(bay),
        Round(new_id(), date(2026, 10, 26), scout.id),
    )
    item = factory.treatment(ended, re_entry_hours=hours, pre_harvest_days=days)
    late = Moment(TODAY, max(LATE.now, ended))
    treatments.record(opened, item, [bay.id], late)
    snapshot = week_actions.picture(opened, Week.of(TODAY), TODAY)
    book = workbook.write_week(
        week_actions.with_history(opened, snapshot),
        path / "week.xlsx",
        lambda *_: None,
        lambda: False,
        opened.crops,
    )
    opened.close()
    return snapshot, book


def workbook_texts(book: Path, sheet: str) -> str:
    rows = openpyxl.load_workbook(book)[sheet].iter_rows(values_only=True)
    return "\n".join(" | ".join(str(cell) for cell in row if cell is not None) for row in rows)


@pytest.mark.parametrize(("minutes", "told"), [(0, ""), (1, "2026-10-26 00:01")])
def test_re_entry_over_midnight_and_the_change_of_clocks(
    tmp_path: Path, zone: str, minutes: int, told: str
) -> None:
    """36 h before midnight of Monday 26 October, so that the night of the change lies inside."""
    ended = start_of_day(TODAY) - timedelta(hours=36) + timedelta(minutes=minutes)
    snapshot, book = picture(tmp_path, ended, 36.0, 0.0)
    (seen,) = snapshot.bays
    job = snapshot.jobs[0]
    assert column("enter_from").text(seen) == (told or "no interval runs")
    assert interval_marks.no_entry(seen) is bool(told)
    on_screen = next(one for one in JOB_COLUMNS if one.heading == "Stopped by").text(job)
    printed, sheets = cli_jobs.as_text(snapshot), workbook_texts(book, "Jobs due")
    for text in (on_screen, printed, cli_jobs.as_json(snapshot), sheets):
        assert ("no re-entry before 2026-10-26 00:01" in text) is bool(told)
    assert (told or "no interval runs") in workbook_texts(book, TITLE)


@pytest.mark.parametrize(("minutes", "told"), [(0, ""), (1, "2026-10-26 00:01")])
def test_pre_harvest_days_over_the_change_of_clocks(
    tmp_path: Path, zone: str, minutes: int, told: str
) -> None:
    """Two days of the clock on the wall from midnight of Saturday, or 48 hours, whichever is later."""
    ended = start_of_day(date(2026, 10, 24)) + timedelta(minutes=minutes)
    snapshot, book = picture(tmp_path, ended, 0.0, 2.0)
    (seen,) = snapshot.bays
    assert column("pick_from").text(seen) == (told or "no interval runs")
    assert interval_marks.no_pick(seen) is bool(told)
    assert interval_marks.no_entry(seen) is False
    assert (told or "no interval runs") in workbook_texts(book, TITLE)


def test_an_unknown_interval_is_said_everywhere(tmp_path: Path) -> None:
    ended = datetime.combine(date(2026, 10, 1), time(12), UTC)
    snapshot, book = picture(tmp_path, ended, None, None)
    (seen,) = snapshot.bays
    assert column("enter_from").text(seen) == column("pick_from").text(seen) == "not known: look at the label"
    for text in (cli_jobs.as_text(snapshot), workbook_texts(book, "Jobs due")):
        assert "it counts as not safe" in text
    assert "not known: look at the label" in workbook_texts(book, TITLE)
