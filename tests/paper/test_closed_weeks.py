"""Closing a week keeps what went out; a workbook is compared with the farm file cell by cell."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import paper_weeks as weeks
import pytest

from bayround import logs, places, start, words
from bayround.actions import check as check_actions
from bayround.actions import closing as closing_actions
from bayround.actions import corrections, verify
from bayround.actions import farm as farm_actions
from bayround.actions import week as week_actions
from bayround.actions.corrections import CellCorrection
from bayround.actions.jobs import Moment
from bayround.actions.workbook import write_week
from bayround.facts.problems import Problem, Refused
from bayround.facts.weeks import Week
from bayround.paper.workbook import page, reading_back
from bayround.paper.workbook.table import FIRST_ROW, HEAD_ROW
from bayround.records import history, write_setup

WEEK = Week(2026, 46)
AT = Moment(date(2026, 11, 24), datetime(2026, 11, 24, 9, tzinfo=UTC))


def correct_a_height(
    farm, by: float = 4.0, week: Week = WEEK, at: Moment = AT, why: str = "misread"
) -> tuple[str, str]:
    """Correct the first height of a week; return the bay's name and the new number as the workbook says it."""
    seen = next(seen for seen in week_actions.picture(farm, week, at.today).bays if seen.visit)
    plant, reading = next((key, one) for key, one in seen.visit.readings.items() if one.height_cm is not None)
    cell = CellCorrection(plant, "height_cm", reading.height_cm, reading.height_cm + by)
    corrections.correct_cells(farm, seen.visit.visit.id, [cell], at, why)
    return seen.bay.name, f"{reading.height_cm + by:.12g}"


@pytest.fixture(scope="module")
def small_file(tmp_path_factory) -> Path:
    """A farm file with a few bays and three weeks."""
    file = tmp_path_factory.mktemp("small") / "farm.bayround"
    season = weeks.season(houses=2, bays=2, plants=3, weeks=3)
    with closing(farm_actions.create(file, season.farm.name)) as farm:
        write_setup.add(farm.store, *facts_of(season))
    return file


def facts_of(season) -> list[object]:
    return [fact for part in fields(season) if part.name != "farm" for fact in getattr(season, part.name)]


@pytest.fixture
def farm_file(small_file, tmp_path) -> Path:
    """A copy of that file of one's own."""
    return Path(shutil.copy(small_file, tmp_path / "farm.bayround"))


@pytest.fixture
def farm(farm_file):
    with closing(farm_actions.open_farm(farm_file)) as opened:
        yield opened


@pytest.fixture(scope="module")
def went_out(small_file, tmp_path_factory) -> tuple[Path, Path]:
    """That farm with a closed week, a correction made before it, and the workbook that went out."""
    folder = tmp_path_factory.mktemp("closed")
    file = Path(shutil.copy(small_file, folder / "farm.bayround"))
    with closing(farm_actions.open_farm(file)) as farm:
        correct_a_height(farm)
        snapshot = week_actions.with_history(farm, week_actions.picture(farm, WEEK, AT.today))
        ready = closing_actions.prepared(snapshot, AT)
        write_week(ready, folder / "week.xlsx", crops=farm.crops)
        assert closing_actions.keep(farm, ready)
    return file, folder / "week.xlsx"


@dataclass(frozen=True)
class Ended:
    """How a command ended."""

    code: int
    out: str
    err: str


@pytest.fixture
def run(capsys):
    """Run `bayround` with these words and return how it ended."""

    def run_it(*typed: object) -> Ended:
        capsys.readouterr()
        code = start.main([str(word) for word in typed])
        printed = capsys.readouterr()
        return Ended(code, printed.out, printed.err)

    yield run_it
    places.use_data_dir(None)
    logs.stop_logging()
    words.use()


@pytest.fixture
def closed_farm(went_out, tmp_path):
    """A copy of it to change, open."""
    file = tmp_path / "farm.bayround"
    file.write_bytes(went_out[0].read_bytes())
    with closing(farm_actions.open_farm(file)) as opened:
        yield opened


def test_the_command_closes_the_week_and_says_so(run, farm_file, tmp_path):
    ended = run("close", farm_file, "--week", WEEK, "--to", tmp_path / "out.xlsx")
    assert ended.code == 0, ended.err
    assert f"{WEEK} is closed." in ended.out
    with closing(farm_actions.open_farm(farm_file, read_only=True)) as farm:
        close = week_actions.picture(farm, WEEK, AT.today).close
    assert close is not None
    assert close.digest == reading_back.read(tmp_path / "out.xlsx").ties.digest
    verified = run("verify", tmp_path / "out.xlsx", farm_file)
    assert verified.code == 0, verified.out
    assert "The workbook says what the farm file says." in verified.out
    again = run("close", farm_file, "--week", WEEK, "--to", tmp_path / "again.xlsx")
    assert "was closed before; nothing changed since" in again.out


def test_an_unknown_name_closes_nothing(run, farm_file, tmp_path):
    ended = run("close", farm_file, "--by", "Nobody Atall", "--to", tmp_path / "out.xlsx")
    assert ended.code == 1
    assert "is not one person of this farm" in ended.err
    assert not (tmp_path / "out.xlsx").exists()


def test_about_says_digest_and_history(went_out):
    file, workbook = went_out
    sheet = openpyxl.load_workbook(workbook)["About these numbers"]
    said = {row[0]: row[1] for row in sheet.iter_rows(values_only=True) if row[0]}
    with closing(farm_actions.open_farm(file, read_only=True)) as farm:
        close = week_actions.picture(farm, WEEK, AT.today).close
        count, head = history.chain_head(farm.store)
    assert close.digest in said["Digest of the week"]
    assert said["History of corrections"].startswith(f"{count} correction")
    assert said["History of corrections"].endswith(head)
    assert said["Closed"].startswith("Closed on ")


def test_a_correction_after_closing_is_found_cell_by_cell(closed_farm, went_out):
    bay, new = correct_a_height(closed_farm, 2.5)
    verdict = verify.verify(closed_farm, went_out[1])
    assert any("facts of the week are not the same" in line for line in verdict.differs)
    readings = [line for line in verdict.differs if line.startswith("Readings · ")]
    assert len(readings) == 1
    assert bay in readings[0]
    assert "Height (cm)" in readings[0]
    assert readings[0].endswith(f"{new} in the file now")
    assert len(verdict.explained) == 1
    assert "misread" in verdict.explained[0]


def test_a_changed_cell_of_the_workbook_is_found(went_out, tmp_path):
    book = openpyxl.load_workbook(went_out[1])
    sheet = book["Bays"]
    sheet.cell(FIRST_ROW + 2, 9).value = 12.5
    book.save(tmp_path / "touched.xlsx")
    with closing(farm_actions.open_farm(went_out[0], read_only=True)) as farm:
        verdict = verify.verify(farm, tmp_path / "touched.xlsx")
    assert len(verdict.differs) == 1
    assert verdict.differs[0].startswith("Bays · ")
    assert str(sheet.cell(HEAD_ROW, 9).value) in verdict.differs[0]
    assert "12.5 in the workbook" in verdict.differs[0]


def test_the_next_workbook_lists_the_correction_and_the_one_before_does_not(closed_farm):
    correct_a_height(closed_farm, 1.5)
    following = week_actions.picture(closed_farm, WEEK.plus(1), AT.today)
    assert [one.why for one in following.corrected] == ["misread"]
    assert following.corrected[0].place.day is not None
    own = week_actions.picture(closed_farm, WEEK, AT.today)
    assert len(own.corrected_since) == 1
    assert week_actions.picture(closed_farm, WEEK.plus(-1), AT.today).close is None


def test_corrections_stand_on_the_sheet_of_changes(closed_farm, tmp_path):
    long = "misread, " + "the tape was folded at the wire, " * 3
    bay, new = correct_a_height(closed_farm, 1.5, why=long)
    snapshot = week_actions.with_history(
        closed_farm, week_actions.picture(closed_farm, WEEK.plus(1), AT.today)
    )
    sheet = openpyxl.load_workbook(write_week(snapshot, tmp_path / "next.xlsx"))["Changes since last week"]
    table = sheet.tables["corrections"]
    first, last = (cells[0].row for cells in (sheet[table.ref][0], sheet[table.ref][-1]))
    assert last == first + 1
    row = [cell.value for cell in sheet[last]]
    assert bay in row
    assert new in row
    assert long in row
    assert page.columns(sheet) >= 11, "the columns of the table above are cut off in print"


def test_a_week_without_a_finished_visit_is_not_closed(farm):
    snapshot = week_actions.picture(farm, Week(2026, 48), AT.today)
    with pytest.raises(Refused, match="nothing to close"):
        closing_actions.prepared(snapshot, AT)


def test_check_finds_that_the_history_was_cut_after_closing(closed_farm, went_out):
    assert check_actions.check(closed_farm) == ()
    path = closed_farm.path
    closed_farm.close()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("DELETE FROM correction")
        raw.commit()
    with closing(farm_actions.open_farm(path, read_only=True)) as farm:
        assert history.verify_chain(farm.store) == ()  # the chain by itself can't know
        (found,) = check_actions.check(farm)
        assert f"workbook of {WEEK}" in found
        assert any("entries are missing" in line for line in verify.verify(farm, went_out[1]).differs)


def test_another_program_s_workbook_is_refused_in_words(run, farm_file, tmp_path):
    openpyxl.Workbook().save(tmp_path / "other.xlsx")
    ended = run("verify", tmp_path / "other.xlsx", farm_file)
    assert ended.code == 1
    assert "does not say which farm and week" in ended.err
    (tmp_path / "text.xlsx").write_text("no zip", encoding="utf-8")
    with (
        closing(farm_actions.open_farm(farm_file, read_only=True)) as farm,
        pytest.raises(Problem, match="damaged or of another kind"),
    ):
        verify.verify(farm, tmp_path / "text.xlsx")
