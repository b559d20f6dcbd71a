"""Workbooks for the tests of paper, each written once."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import paper_weeks as weeks
import pytest

from bayround.actions.workbook import write_week
from bayround.week.snapshot import WeekSnapshot


@pytest.fixture(scope="session")
def week() -> WeekSnapshot:
    """Return a week of a small farm, one bay of which was not visited."""
    return weeks.snapshot(weeks.season(houses=2, bays=3, skip_bay=2))


@pytest.fixture(scope="session")
def written(week: WeekSnapshot, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the workbook of that week, with every sheet."""
    return write_week(week, tmp_path_factory.mktemp("written") / "week.xlsx", crops=weeks.CROPS)


@pytest.fixture(scope="session")
def book(written: Path) -> openpyxl.Workbook:
    """Return that workbook, read again."""
    return openpyxl.load_workbook(written)
