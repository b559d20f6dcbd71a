"""LibreOffice opens the workbook: sums agree, text stays text, the first sheet is one page."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import openpyxl
import paper_weeks as weeks
import pytest

from bayround.actions import sample
from bayround.actions.workbook import write_week
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import JobEvent, JobRecord, JobStep
from bayround.paper.workbook.table import FIRST_ROW
from bayround.week import build

pytestmark = pytest.mark.office
PAGE = re.compile(rb"/Type\s*/Page\b(?!s)")


HOSTILE = (
    "=1+1",
    '=HYPERLINK("http://example.org")',
    "+1+1",
    "-1",
    "@SUM(1)",
    "\t=1+1",
    "_x003D_1+1",
    "#REF!",
    "007",
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Return a folder with workbooks, and under ``xlsx`` and ``pdf`` what LibreOffice made of them."""
    folder = tmp_path_factory.mktemp("office")
    week = Week(2026, 47)
    snapshot = build.build(_with_a_done_job(sample.season_facts(), week), weeks.CROPS, week, week.sunday)
    assert snapshot.totals["jobs_to_confirm"].value
    written = write_week(snapshot, folder / "sample.xlsx")
    _change_a_reading(written, folder / "changed.xlsx")
    write_week(weeks.without_visits(), folder / "none.xlsx")
    hostile = weeks.season(houses=1, bays=len(HOSTILE), plants=1, name=_hostile_bays)
    write_week(weeks.snapshot(hostile), folder / "hostile.xlsx")
    large = write_week(weeks.snapshot(weeks.season(houses=30, bays=2, plants=1)), folder / "large.xlsx")
    _keep_the_glance(written, folder / "sample_glance.xlsx")
    _keep_the_glance(large, folder / "large_glance.xlsx")
    _convert(folder, "xlsx", "sample", "changed", "none", "hostile")
    _convert(folder, "pdf", "sample_glance", "large_glance")
    return folder


def _with_a_done_job(season: SeasonFacts, week: Week) -> SeasonFacts:
    """Return the season with the first due job of a week ticked off."""
    job = next(
        one for one in build.build(season, weeks.CROPS, week, week.sunday).jobs if one.record_id is None
    )
    record = JobRecord("ticked", job.bay_id, job.kind, job.target, job.raised_on, job.due_on, job.reason)
    at = datetime(2026, 11, 21, 12, tzinfo=UTC)
    event = JobEvent("tick", record.id, JobStep.DONE, at.date(), at)
    return replace(season, jobs=(*season.jobs, record), job_events=(*season.job_events, event))


def _convert(folder: Path, kind: str, *names: str) -> None:
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    files = [str(folder / f"{name}.xlsx") for name in names]
    order = ["soffice", profile, "--headless", "--convert-to", kind, "--outdir", str(folder / kind), *files]
    subprocess.run(order, check=True, capture_output=True, timeout=240)


def _change_a_reading(path: Path, changed: Path) -> None:
    book = openpyxl.load_workbook(path)
    headings = {cell.value: cell.column for cell in book["Readings"][FIRST_ROW - 1]}
    book["Readings"].cell(FIRST_ROW + 3, headings["Height (cm)"]).value += 0.5
    book.save(changed)


def _keep_the_glance(path: Path, kept: Path) -> None:
    book = openpyxl.load_workbook(path)
    for sheet in book.worksheets[1:]:
        book.remove(sheet)
    book.save(kept)


def _hostile_bays(what: str, number: int) -> str:
    return HOSTILE[number - 1] if what == "bay" else weeks.plain(what, number)


def checked(path: Path) -> list[tuple[str, float | None, str]]:
    """Return (total, difference, verdict) of each line of “Check the sums” as the office program reckoned them."""
    sheet = openpyxl.load_workbook(path, data_only=True)["Check the sums"]
    lines = [row for row in sheet.iter_rows(FIRST_ROW, values_only=True) if row[6] is not None]
    return [(row[0], row[5], row[6]) for row in lines]


def test_every_sum_agrees_when_reckoned_anew(folder):
    lines = checked(folder / "xlsx" / "sample.xlsx")
    assert len(lines) >= 15
    assert [line for line in lines[:-1] if line[1] != 0 or line[2] != "agrees"] == []
    assert lines[-1] == ("All together", None, "agrees")


def test_sums_of_a_week_without_visits_agree(folder):
    lines = checked(folder / "xlsx" / "none.xlsx")
    assert {line[2] for line in lines} == {"agrees"}
    assert {line[1] for line in lines[:-1]} == {0}


def test_a_changed_reading_is_caught(folder):
    lines = {line[0]: line for line in checked(folder / "xlsx" / "changed.xlsx")}
    assert lines["Sum of heights"][1:] == (0.5, "differs")
    assert lines["Fruit counted, all stages"][2] == "agrees"
    assert lines["All together"][2] == "differs"


@pytest.mark.parametrize("name", ["sample_glance", "large_glance"])
def test_the_glance_is_exactly_one_page(folder, name):
    assert len(PAGE.findall((folder / "pdf" / f"{name}.pdf").read_bytes())) == 1


def test_office_shows_hostile_text_as_text(folder):
    sheet = openpyxl.load_workbook(folder / "xlsx" / "hostile.xlsx")["Bays"]
    column = [sheet.cell(FIRST_ROW + place, 2) for place in range(len(HOSTILE))]
    assert [cell.data_type for cell in column] == ["s"] * len(HOSTILE)
    shown = [str(cell.value).replace("x005F_", "") for cell in column]
    assert shown == [text.replace("x005F_", "") for text in HOSTILE]
