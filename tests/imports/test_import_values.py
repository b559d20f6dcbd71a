"""What stands in cells: numbers, days and times as people and spreadsheet programs write them.

Day numbers: ECMA-376 part 1, section 18.17.4.1 (date systems), with the worked values of that section.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from openpyxl.utils.datetime import to_excel

from bayround.paper.imports import text_file, typed
from bayround.paper.imports.grid import Fault
from bayround.paper.imports.sheet_cells import column_number, from_serial


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", 12.0), ("12.5", 12.5), ("12,5", 12.5), (" 12,5 ", 12.5), ("-3,25", -3.25), ("−3", -3.0),
        ("0,5", 0.5), ("12 cm", 12.0), ("12,5cm", 12.5), ("1,234", 1.234),
        ("1.234,5", None), ("1,234.5", None), ("1 234", None), ("1e3", None), ("12 kg", None), ("", None),
        ("=1", None), ("١٢", None), ("twelve", None), ("12-13", None), ("½", None), (True, None),
    ],
)  # fmt: skip
def test_numbers(text, value):
    assert typed.number(text, frozenset({"cm"})) == value


@pytest.mark.parametrize(
    ("text", "month_first", "value"),
    [
        ("2026-11-25", False, date(2026, 11, 25)),
        ("25.11.2026", False, date(2026, 11, 25)),
        ("25/11/26", False, date(2026, 11, 25)),
        ("5.6.2026", False, date(2026, 6, 5)),
        ("6/5/2026", True, date(2026, 6, 5)),
        ("25.11.2026 14:30", False, date(2026, 11, 25)),
        ("2026-11-25T14:30:00", False, date(2026, 11, 25)),
        (46351.0, False, date(2026, 11, 25)),
        ("46351", False, date(2026, 11, 25)),
        (datetime(2026, 11, 25, 3), False, date(2026, 11, 25)),
        ("31.02.2026", False, None),
        ("11/25/2026", False, None),
        (12.0, False, None),
        ("soon", False, None),
    ],
)
def test_days(text, month_first, value):
    assert typed.day(text, month_first=month_first) == value


def test_day_numbers_of_the_standard():
    assert from_serial(1) == date(1900, 1, 1)
    assert from_serial(59) == date(1900, 2, 28)
    assert isinstance(from_serial(60), Fault)  # 29 February 1900, which never was
    assert from_serial(61) == date(1900, 3, 1)
    assert from_serial(46384) == date(2026, 12, 28)
    assert from_serial(46384 - 1462, from_1904=True) == date(2026, 12, 28)
    assert from_serial(0.75) == time(18)
    assert isinstance(from_serial(-1), Fault)
    assert isinstance(from_serial(3e9), Fault)


def test_day_numbers_agree_with_openpyxl():
    at = datetime(1901, 1, 1)
    while at < datetime(2100, 1, 1):
        found = from_serial(to_excel(at))
        as_time = datetime.combine(found, time()) if type(found) is date else found
        assert abs(as_time - at) <= timedelta(seconds=1), at
        at += timedelta(days=61, seconds=12_347)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("14:30", time(14, 30)), ("2:30 pm", time(14, 30)), ("12:05 AM", time(0, 5)), ("25.11.2026 06:00:01", time(6, 0, 1)),
        (0.25, time(6)), ("25:00", None), ("13:00 pm", None), ("noon", None),
    ],
)  # fmt: skip
def test_clocks(text, value):
    assert typed.clock(text) == value


def test_the_order_of_day_and_month_shows_in_one_of_many():
    assert typed.month_first(["01/02/2026", "25/02/2026"]) is False
    assert typed.month_first(["01/02/2026", "02/25/2026"]) is True
    assert typed.month_first(["01/02/2026"]) is None
    assert typed.month_first(["25/02/2026", "02/25/2026"]) is None


@pytest.mark.parametrize(
    ("text", "sign"),
    [("a;b;c\n1,5;2,5;3\n", ";"), ("a,b\n1.5,2\n", ","), ("a\tb\n1,5\t2\n", "\t"), ('"a,x";b\n1;2\n', ";"), ("a\n1\n", ",")],
)  # fmt: skip
def test_what_parts_the_columns(text, sign):
    assert text_file.separator(text) == sign


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_and_line_ends(tmp_path, encoding):
    raw = "Tür;kg\r\n1;2,5\r3;4\n".encode(encoding)
    rows = text_file.read_sheet(tmp_path / "x.csv", "x.csv", raw).rows
    assert rows == {1: {1: "Tür", 2: "kg"}, 2: {1: "1", 2: "2,5"}, 3: {1: "3", 2: "4"}}


def test_letters_of_columns():
    assert [column_number(text) for text in ("A", "Z", "AA", "XFD")] == [1, 26, 27, 16384]
