"""A thousand hostile names in the walk sheet to fill in: not one becomes a formula, a link, or a broken file."""

from __future__ import annotations

import re
import zipfile
from xml.etree import ElementTree

import openpyxl
import paper_weeks as weeks
import pytest
from test_workbook_hostile import HOSTILE

from bayround.paper.walk_book import book, places
from bayround.paper.workbook.cells import safe_text
from bayround.week import walk_sheet


@pytest.fixture(scope="module")
def attacked(tmp_path_factory):
    """Return the walk workbook of three bays whose names, varieties and people are hostile."""
    pool = iter(HOSTILE)
    facts = weeks.season(houses=1, bays=3, plants=2, name=lambda _what, _number: next(pool))
    (sheet,) = walk_sheet.build(facts, weeks.CROPS, weeks.WEEK, weeks.WEEK.sunday)
    path = tmp_path_factory.mktemp("attacked") / "walk.xlsx"
    book.write(sheet, tuple(HOSTILE), dict(enumerate(HOSTILE[:20])), path)
    return path, sheet


def test_no_formula_no_link_no_broken_part(attacked):
    with zipfile.ZipFile(attacked[0]) as parts:
        for name in parts.namelist():
            text = parts.read(name).decode("utf-8")
            ElementTree.fromstring(text)
            assert "<hyperlink" not in text
            assert 'TargetMode="External"' not in text
            assert not re.search(r"<f[ >/]", text), name
            lists = re.findall(r"<formula1>(.*?)</formula1>", text)
            assert not [one for one in lists if one.startswith(("HYPER", "WEBS", "IMPORT", "cmd"))]


def test_the_texts_are_there_as_texts(attacked):
    path, sheet = attacked
    made = openpyxl.load_workbook(path)
    cells = [cell for each in made for row in each.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"}
    values = {cell.value for cell in cells}
    assert {safe_text(text) for text in HOSTILE} <= values
    assert len(made.sheetnames) == len(sheet.bays) + 2
    found = places.parse([row[0].value for row in made[places.IDS_SHEET].iter_rows()])
    assert [one.sheet for one in found.bays] == made.sheetnames[1:-1]
