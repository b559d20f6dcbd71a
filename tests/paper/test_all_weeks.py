"""The workbook of all weeks holds each week's own tables, row by row, with the week beside them."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import openpyxl
import paper_weeks as weeks
import pytest

import generated_farms
from bayround.actions.workbook import Stopped, write_week
from bayround.paper.all_weeks import book
from bayround.paper.workbook.table import FIRST_ROW, HEAD_ROW
from bayround.week import build
from bayround.week.snapshot import WeekSnapshot

SEASON = generated_farms.farm_of(31, weeks=3)


def pictures() -> list[WeekSnapshot]:
    newest = generated_farms.NEWEST
    return [build.build(SEASON, weeks.CROPS, newest.plus(-back), newest.sunday) for back in (2, 1, 0)]


@pytest.fixture(scope="module")
def written(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("all")
    for snapshot in pictures():
        write_week(snapshot, folder / f"{snapshot.week}.xlsx", crops=weeks.CROPS)
    return book.write(iter(pictures()), 3, folder / "all.xlsx", weeks.CROPS)


def rows_of(path: Path, sheet: str) -> list[dict[str, object]]:
    """Return the rows of a sheet's table as heading → value, empty cells left out."""
    found = openpyxl.load_workbook(path)[sheet]
    if not found.tables:
        return []
    (table,) = list(found.tables.values())[:1]
    cells = [[cell.value for cell in row] for row in found[table.ref]]
    return [
        {title: value for title, value in zip(cells[0], row) if value is not None and title != "Bay in full"}
        for row in cells[1:]
    ]


@pytest.mark.parametrize("sheet", [title for title, _table in book.SOURCES])
def test_every_row_of_every_week_is_there_with_its_week(written, sheet):
    expected = []
    for snapshot in pictures():
        for row in rows_of(written.with_name(f"{snapshot.week}.xlsx"), sheet):
            monday = datetime.combine(snapshot.week.monday, datetime.min.time())
            expected.append({"Week": str(snapshot.week), "Week begins": monday, **row})
    assert rows_of(written, sheet) == expected


def test_treatments_stand_once_with_their_week(written):
    weekly = rows_of(written.with_name(f"{generated_farms.NEWEST}.xlsx"), "Treatments and intervals")
    assert weekly
    found = rows_of(written, "Treatments and intervals")
    assert [{key: row[key] for key in row if not key.startswith("Week")} for row in found] == weekly
    assert all(row["Ended"] >= row["Week begins"] for row in found)


def test_it_is_set_up_like_the_weekly_one(written):
    found = openpyxl.load_workbook(written)
    sheet = found["Bays"]
    assert sheet.freeze_panes == f"E{FIRST_ROW}"
    assert "2026-W45 to 2026-W47" in sheet["A1"].value
    assert not sheet.print_title_rows, "eleven rows stand on one page: nothing to repeat"
    assert found["Jobs due"].print_title_rows == f"${HEAD_ROW}:${HEAD_ROW}"


def test_a_table_of_many_weeks_has_its_headings_on_every_page(tmp_path):
    longer = [picture for picture in pictures() for _again in range(5)]
    sheets = openpyxl.load_workbook(book.write(iter(longer), 15, tmp_path / "long.xlsx", weeks.CROPS))
    for title in ("Bays", "Heights", "Fruit", "Pests and disease", "Weeds", "Jobs due", "Readings"):
        assert sheets[title].print_title_rows == f"${HEAD_ROW}:${HEAD_ROW}", title


def test_the_same_weeks_give_the_same_bytes_and_a_stop_leaves_nothing(written, tmp_path):
    again = book.write(iter(pictures()), 3, tmp_path / "again.xlsx", weeks.CROPS)
    assert again.read_bytes() == written.read_bytes()
    with pytest.raises(Stopped):
        book.write(iter(pictures()), 3, tmp_path / "no.xlsx", weeks.CROPS, cancelled=lambda: True)
    assert not (tmp_path / "no.xlsx").exists()
