"""Text in cells: it stays text, it can be written, nothing of it is lost without a mark."""

from __future__ import annotations

import unicodedata

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from bayround.paper.workbook.cells import LONGEST_TEXT, Pen, safe_text
from bayround.paper.workbook.contents import sheet_name

# Characters that start a formula when they come first: OWASP, “CSV Injection”, and ASVS 5.0.0 item 1.2.10.
OWASP_TRIGGERS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def new_pen() -> Pen:
    return Pen(openpyxl.Workbook().active, {})


@pytest.mark.parametrize("trigger", OWASP_TRIGGERS)
def test_text_that_looks_like_a_formula_stays_text(trigger):
    pen = new_pen()
    pen.put(1, 1, f'{trigger}HYPERLINK("http://example.org";"look")')
    cell = pen.sheet.cell(1, 1)
    assert cell.data_type == "s"
    assert cell.quotePrefix


@pytest.mark.parametrize("error", ["#REF!", "#N/A", "#DIV/0!", "#NAME?", "TRUE", "1-2", "3E5", "MAR1", "007"])
def test_text_that_looks_like_something_else_stays_text(error):
    # Ziemann et al. 2016 (Genome Biology 17:177): names turned into dates and numbers in a fifth of the papers.
    pen = new_pen()
    pen.put(1, 1, error)
    assert (pen.sheet.cell(1, 1).value, pen.sheet.cell(1, 1).data_type) == (error, "s")


def test_numbers_below_zero_stay_numbers():
    pen = new_pen()
    pen.put(1, 1, -2.5)
    assert (pen.sheet.cell(1, 1).value, pen.sheet.cell(1, 1).data_type) == (-2.5, "n")


def test_text_without_a_printable_character_leaves_the_cell_empty():
    pen = new_pen()
    pen.put(1, 1, "\x00\x07")
    assert pen.sheet.cell(1, 1).value is None


@given(st.text(alphabet=st.characters(exclude_categories=[]), max_size=200))
def test_any_text_can_be_written(text):
    written = safe_text(text)
    assert not ILLEGAL_CHARACTERS_RE.search(written)
    written.encode("utf-8")
    kept = [
        letter
        for letter in text
        if unicodedata.category(letter) not in {"Cc", "Cs"} and ord(letter) & 0xFFFE != 0xFFFE
    ]
    remaining = written.replace("_x005F_", "_")
    assert [letter for letter in remaining if letter not in "\n\t"] == kept


def test_escapes_of_office_programs_are_escaped():
    # ECMA-376 part 1, 22.9.2.19 (ST_Xstring): _xHHHH_ stands for a character, _x005F_ for the underscore itself.
    assert safe_text("row_x0041_1") == "row_x005F_x0041_1"
    assert safe_text("row_x41_ _xylem_") == "row_x41_ _xylem_"


@pytest.mark.parametrize("letter", ["a", "🍅"])
def test_text_too_long_for_a_cell_is_cut_with_a_mark(letter):
    # 32,767 characters a cell: Microsoft, “Excel specifications and limits”; a tomato counts as two there.
    written = safe_text(letter * 40_000)
    assert len(written.encode("utf-16-le")) // 2 <= LONGEST_TEXT == 32_767
    assert written.startswith(letter * 1000)
    assert "cut" in written[-60:]
    at_the_limit = letter * (LONGEST_TEXT // len(letter.encode("utf-16-le")) * 2)
    assert safe_text(at_the_limit) == at_the_limit


def test_sheet_names_are_allowed_ones():
    # At most 31 characters, none of \ / ? * [ ] : and no apostrophe at the ends (support.microsoft.com, rename a sheet).
    name = sheet_name("'Pests / disease: [all] \\ of * them? and much more of them'")
    assert len(name) <= 31
    assert not set(name) & set("\\/?*[]:")
    assert name.strip("'") == name
