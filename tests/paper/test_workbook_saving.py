"""Writing the file: whole or not at all, the same bytes every time, faults in words."""

from __future__ import annotations

import errno
import os
import re
import stat
import zipfile
from datetime import date
from pathlib import Path

import paper_weeks as weeks
import pytest

from bayround.actions.workbook import Stopped, write_week
from bayround.facts.problems import Problem
from bayround.paper.workbook import saving
from bayround.week.snapshot import WeekSnapshot

OLD = b"the workbook of last week"


@pytest.fixture(scope="module")
def small() -> WeekSnapshot:
    """Return the week of a farm with one bay: faults of writing don't depend on what is written."""
    return weeks.snapshot(weeks.season(houses=1, bays=1))


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """Return a file that holds an earlier workbook."""
    path = tmp_path / "week.xlsx"
    path.write_bytes(OLD)
    return path


def assert_untouched(target: Path) -> None:
    assert target.read_bytes() == OLD
    assert [file.name for file in target.parent.iterdir()] == [target.name]


def test_it_takes_the_place_of_the_old_file(small, target):
    assert write_week(small, target) == target
    assert target.read_bytes()[:2] == b"PK"
    assert [file.name for file in target.parent.iterdir()] == [target.name]


def test_the_same_week_gives_the_same_bytes(week, written, tmp_path):
    first = written.read_bytes()
    again = weeks.snapshot(weeks.season(houses=2, bays=3, skip_bay=2))
    assert write_week(again, tmp_path / "again.xlsx", crops=weeks.CROPS).read_bytes() == first


def test_no_clock_is_in_the_file(written):
    with zipfile.ZipFile(written) as parts:
        assert {part.date_time for part in parts.infolist()} == {(2026, 11, 22, 0, 0, 0)}
        about = parts.read("docProps/core.xml").decode()
    assert set(re.findall(r"\d{4}-\d\d-\d\dT[\d:]+", about)) == {"2026-11-22T00:00:00"}


def test_another_week_gives_other_bytes(week, written, tmp_path):
    other = weeks.snapshot(weeks.season(houses=2, bays=3, skip_bay=3))
    assert write_week(other, tmp_path / "other.xlsx", crops=weeks.CROPS).read_bytes() != written.read_bytes()


def test_a_day_before_zip_files_existed_is_no_obstacle(small, tmp_path):
    import openpyxl

    book = openpyxl.Workbook()
    saving.save(book, tmp_path / "old.xlsx", date(1970, 1, 1), lambda: None)
    assert openpyxl.load_workbook(tmp_path / "old.xlsx").sheetnames == ["Sheet"]


def test_missing_folder(small, tmp_path):
    with pytest.raises(Problem, match="does not exist") as raised:
        write_week(small, tmp_path / "gone" / "week.xlsx")
    assert raised.value.kept
    assert raised.value.to_do


def test_a_folder_in_place_of_the_file(small, tmp_path):
    (tmp_path / "week.xlsx").mkdir()
    with pytest.raises(Problem, match="is a folder"):
        write_week(small, tmp_path / "week.xlsx")


def failing(code: int):
    def fail(*_args: object, **_more: object) -> None:
        raise OSError(code, os.strerror(code))

    return fail


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "no room left"),
        (errno.EDQUOT, "no room left"),
        (errno.EIO, "can't be written: "),
    ],
)
def test_disk_full_or_broken(small, target, monkeypatch, code, words):
    monkeypatch.setattr(saving.os, "fsync", failing(code))
    with pytest.raises(Problem, match=words) as raised:
        write_week(small, target)
    assert "earlier file is as it was" in raised.value.kept
    assert_untouched(target)


def test_disk_full_half_way_through(small, target, monkeypatch):
    real = saving._SteadyZip.writestr
    parts: list[str] = []

    def full_at_the_fifth(self, name, data, *rest, **more):
        parts.append(str(name))
        if len(parts) == 5:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(self, name, data, *rest, **more)

    monkeypatch.setattr(saving._SteadyZip, "writestr", full_at_the_fifth)
    with pytest.raises(Problem, match="no room left"):
        write_week(small, target)
    assert_untouched(target)


@pytest.mark.parametrize("code", [errno.EACCES, errno.EROFS, errno.EPERM])
def test_read_only_folder(small, target, monkeypatch, code):
    monkeypatch.setattr(saving, "open", failing(code), raising=False)
    with pytest.raises(Problem, match="can't be written to"):
        write_week(small, target)
    assert_untouched(target)


def test_open_elsewhere(small, target, monkeypatch):
    # Windows refuses to replace a file that another program holds open: PermissionError, WinError 5 or 32.
    monkeypatch.setattr(saving.os, "replace", failing(errno.EACCES))
    with pytest.raises(Problem, match="open in another program") as raised:
        write_week(small, target)
    assert "Close it there" in raised.value.to_do
    assert_untouched(target)


def test_progress_rises_to_the_end(small, tmp_path):
    told: list[tuple[float, str]] = []
    write_week(small, tmp_path / "a.xlsx", progress=lambda share, text: told.append((share, text)))
    shares = [share for share, _text in told]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    assert all(text for _share, text in told)
    assert len(told) > 10


@pytest.mark.parametrize("after", [0, 7, 25])
def test_stopped_at_any_moment(small, target, after):
    asked = 0

    def cancelled() -> bool:
        nonlocal asked
        asked += 1
        return asked > after

    with pytest.raises(Stopped, match="was stopped"):
        write_week(small, target, cancelled=cancelled)
    assert asked == after + 1
    assert_untouched(target)


def test_long_sheets_ask_more_often(tmp_path):
    asked = 0

    def cancelled() -> bool:
        nonlocal asked
        asked += 1
        return False

    small, large = weeks.season(houses=1, bays=1), weeks.season(houses=1, bays=11, plants=20)
    write_week(weeks.snapshot(small), tmp_path / "a.xlsx", cancelled=cancelled)
    for_small, asked = asked, 0
    write_week(weeks.snapshot(large), tmp_path / "b.xlsx", cancelled=cancelled)
    assert asked > for_small


def test_the_file_may_be_read_by_whoever_the_folder_allows(small, tmp_path):
    if os.name != "posix":
        return
    before = os.umask(0o022)
    try:
        mode = stat.S_IMODE(write_week(small, tmp_path / "a.xlsx").stat().st_mode)
    finally:
        os.umask(before)
    assert mode == 0o644
