"""Our quick writer gives what openpyxl's own gives, byte for byte, for every kind of cell; links are not lost silently."""

from __future__ import annotations

import io
import zipfile
from datetime import date, datetime

import openpyxl
import paper_weeks as weeks
import pytest
from openpyxl.writer.excel import ExcelWriter

import generated_farms
from bayround.paper.workbook import book
from bayround.paper.workbook.sheet_xml import QuickWriter
from bayround.week import build

CELLS = (
    0, -0.0, 1, 2.5, 1e-9, 0.1 + 0.2, 123456789.123, float("inf"), float("nan"), True, None, "", " ", "a & b < c > d",
    " led", "trailed ", "two\nlines", "“Łąka”", '"quoted"', "=1+1", "#REF!", date(2026, 11, 22),
    datetime(2026, 11, 22, 14, 30), "tab\there", "]]>", "'",
)  # fmt: skip


def parts_of(workbook: openpyxl.Workbook, writer: type[ExcelWriter]) -> dict[str, bytes]:
    made = io.BytesIO()
    writer(workbook, zipfile.ZipFile(made, "w")).save()
    with zipfile.ZipFile(made) as parts:
        return {name: parts.read(name) for name in parts.namelist()}


def of_all_kinds() -> openpyxl.Workbook:
    workbook = openpyxl.Workbook()
    sheet = workbook.worksheets[0]
    for row, value in enumerate(CELLS, 1):
        sheet.cell(row, 1).value = value
        sheet.cell(row, 30).value = value
        sheet.cell(row, 2).number_format = "0.00"
    sheet.merge_cells("D1:F2")
    sheet.row_dimensions[3].height = 21.5
    sheet.row_dimensions[90].height = 8
    return workbook


def test_every_kind_of_cell():
    assert parts_of(of_all_kinds(), QuickWriter) == parts_of(of_all_kinds(), ExcelWriter)


def test_a_whole_weekly_workbook():
    season = generated_farms.farm_of(3, weeks=1)
    week = generated_farms.NEWEST
    snapshot = build.with_earlier(build.build(season, weeks.CROPS, week, week.sunday), weeks.CROPS)
    ours, theirs = (parts_of(book.make(snapshot), writer) for writer in (QuickWriter, ExcelWriter))
    assert ours.keys() == theirs.keys()
    assert [name for name in ours if ours[name] != theirs[name]] == []


def test_a_link_is_refused_rather_than_lost():
    workbook = of_all_kinds()
    workbook.worksheets[0]["A1"].hyperlink = "https://example.org"
    with pytest.raises(ValueError, match="links are not written"):
        parts_of(workbook, QuickWriter)
