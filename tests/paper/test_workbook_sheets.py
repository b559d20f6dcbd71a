"""What the workbook holds and how it is laid out, read again from the file."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import openpyxl
import paper_weeks as weeks
import pytest
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

import bayround
from bayround.actions.workbook import default_name, write_week
from bayround.facts.farm import PlantChoice
from bayround.facts.rounds import READING_FIELDS
from bayround.paper.workbook import marks
from bayround.paper.workbook.readings import FIELD_TITLES
from bayround.week import build
from bayround.week.columns import COLUMNS

SHEETS = [
    "Week at a glance",
    "Jobs due",
    "Bays",
    "Heights",
    "Fruit",
    "Pests and disease",
    "Pests by bay",
    "Sticky cards",
    "Weeds",
    "Picks and forecast",
    "Treatments and intervals",
    "Changes since last week",
    "Readings",
    "Earlier weeks",
    "Check the sums",
    "About these numbers",
    "Thresholds and norms",
]
WITHOUT_TABLE = {"Week at a glance", "Check the sums"}


def table_of(sheet: Worksheet) -> tuple[int, int, int, int]:
    """Return first column, first row, last column, last row of the sheet's one table."""
    (named,) = sheet.tables.values()
    return range_boundaries(named.ref)


def records(sheet: Worksheet) -> list[dict[str, object]]:
    """Return the rows of the sheet's table by heading."""
    left, top, right, bottom = table_of(sheet)
    lines = list(sheet.iter_rows(top, bottom, left, right, values_only=True))
    return [dict(zip(lines[0], line)) for line in lines[1:]]


def test_every_sheet_is_there_and_the_first_one_opens(book):
    assert book.sheetnames == SHEETS
    assert book.active.title == SHEETS[0]
    assert all(len(name) <= 31 for name in SHEETS)


def test_without_the_crops_there_are_no_thresholds(week, tmp_path):
    names = openpyxl.load_workbook(write_week(week, tmp_path / "a.xlsx")).sheetnames
    assert names == SHEETS[:-1]


def test_each_sheet_says_farm_and_week_first(book):
    for sheet in book:
        title = sheet["A1"].value
        assert "Farm 1 (invented sample)" in title, sheet.title
        assert "2026-W47" in title, sheet.title


def test_tables_hold_every_row_and_headings_differ(book):
    names = []
    for sheet in book:
        if not sheet.tables:
            continue
        (named,) = sheet.tables.values()
        names.append(named.displayName)
        left, top, right, bottom = range_boundaries(named.ref)
        headings = [sheet.cell(top, column).value for column in range(left, right + 1)]
        assert [column.name for column in named.tableColumns] == headings
        assert all(isinstance(heading, str) and heading for heading in headings)
        assert len({heading.casefold() for heading in headings}) == len(headings)
        assert named.autoFilter.ref == named.ref
        # Below the table comes an empty row, so that notes are never taken for data.
        assert all(cell.value is None for cell in sheet[bottom + 1])
        assert sheet.cell(bottom, left).value is not None
    assert len(set(names)) == len(names) > 10
    # A table's name: letters, digits, underscore, not the look of a cell (support.microsoft.com, rename a table).
    assert all(re.fullmatch(r"[a-z_]{4,}", name) for name in names)


def test_how_many_rows(book, week):
    readings = sum(len(seen.visit.readings) for seen in week.bays if seen.visit)
    checks = sum(len(seen.visit.checks) for seen in week.bays if seen.visit)
    assert readings == 25
    assert len(records(book["Readings"])) == readings
    assert len(records(book["Pests and disease"])) == checks
    assert len(records(book["Bays"])) == len(week.bays) == 6
    assert len(records(book["Jobs due"])) == len(week.jobs) > 0
    assert len(records(book["Treatments and intervals"])) == 2
    assert len(records(book["Earlier weeks"])) == 6 + 5


def test_no_merged_cells_in_data(book):
    assert [sheet.title for sheet in book if sheet.merged_cells.ranges] == ["Week at a glance"]


def test_panes_are_frozen_under_the_headings(book):
    for sheet in book:
        if sheet.tables and sheet.title != "About these numbers":
            _left, top, _right, _bottom = table_of(sheet)
            column, row = re.fullmatch(r"([A-Z]+)(\d+)", sheet.freeze_panes).groups()
            assert int(row) == top + 1
            assert column > "A"


def test_everything_prints_on_a4_landscape_one_page_wide(book):
    for sheet in book:
        setup = sheet.page_setup
        assert (setup.paperSize, setup.orientation, setup.fitToWidth) == (9, "landscape", 1), sheet.title
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert setup.fitToHeight == (1 if sheet.title == "Week at a glance" else 0)
        assert sheet.print_area
        assert sheet.oddFooter.center.text == "&A"
        assert "&P" in sheet.oddFooter.right.text
        assert "2026-W47" in sheet.oddFooter.left.text


def test_long_tables_repeat_their_headings(tmp_path):
    facts = weeks.season(houses=1, bays=6, plants=10)
    sheet = openpyxl.load_workbook(write_week(weeks.snapshot(facts), tmp_path / "a.xlsx"))["Readings"]
    assert sheet.print_title_rows == "$4:$4"


def test_units_stand_in_the_headings(book):
    headings = [cell.value for cell in book["Bays"][4]]
    assert headings == [column.title for column in COLUMNS]
    for column in COLUMNS:
        assert not column.unit or f"({column.unit})" in column.title
    assert set(READING_FIELDS) == set(FIELD_TITLES)
    assert all(re.search(r"\((cm|mm|count)\)$", title) for title in FIELD_TITLES.values())


def test_dates_are_dates_and_numbers_numbers(book):
    bays = records(book["Bays"])
    assert bays[0]["Visited"] == datetime(2026, 11, 17)
    assert bays[1]["Visited"] is None
    assert {type(row["Height (cm)"]) for row in bays} <= {float, int, type(None)}
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, datetime | date):
                    assert cell.number_format in {"yyyy-mm-dd", "yyyy-mm-dd hh:mm"}, (sheet.title, cell)
                if isinstance(cell.value, str):
                    number = re.fullmatch(r"-?\d+([.,]\d+)?", cell.value)
                    assert not number, (sheet.title, cell.coordinate, cell.value)
                assert not isinstance(cell.value, bool)


def test_no_formula_outside_the_sheet_that_checks_the_sums(book):
    with_formulas = {
        sheet.title for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"
    }
    assert with_formulas == {"Check the sums"}


def test_readings_are_what_was_keyed_in(book, week):
    seen = week.bays[0]
    plant = seen.past.plants[0]
    reading = seen.visit.readings[plant.id]
    row = records(book["Readings"])[0]
    assert (row["House"], row["Bay"], row["Plant"], row["Row"], row["Position"]) == (
        "House 1",
        "Bay 1",
        1,
        1,
        5,
    )
    assert (row["Date"], row["Scout"], row["State"]) == (datetime(2026, 11, 17), "Scout 1", "standing")
    assert [row[FIELD_TITLES[field]] for field in READING_FIELDS] == [
        reading.value(field) for field in READING_FIELDS
    ]


def test_a_plant_in_no_mean_says_so_and_is_left_out_of_the_sums(tmp_path: Path) -> None:
    """The formulas of “Check the sums” take the rows whose state is “standing”, and no others."""
    facts = weeks.season(houses=1, bays=1)
    worst = facts.marked_plants[0].id
    facts = replace(facts, plant_choices=(PlantChoice("c1", worst, targeted=True),))
    snapshot = build.build(facts, weeks.CROPS, weeks.WEEK, weeks.WEEK.sunday)
    written = write_week(snapshot, tmp_path / "aside.xlsx", crops=weeks.CROPS)
    rows = records(openpyxl.load_workbook(written)["Readings"])
    assert [row["State"] for row in rows].count("standing, in no mean") == 1
    standing = [row for row in rows if row["State"] == "standing"]
    assert len(standing) == snapshot.totals["readings_count"].value
    heights = [row["Height (cm)"] for row in standing]
    assert sum(heights) == pytest.approx(snapshot.totals["height_sum_cm"].value)


def test_columns_without_a_value_are_folded_away_not_left_out(book):
    sheet = book["Readings"]
    letters = {cell.value: cell.column_letter for cell in sheet[4]}
    assert sheet.column_dimensions[letters["Nodes (count)"]].hidden
    assert not sheet.column_dimensions[letters["Height (cm)"]].hidden
    assert any("Nodes (count)" in str(cell.value) for cell in sheet["A"] if cell.row > 29)


def test_empty_cells_are_explained_under_the_table(book):
    said = [str(cell.value) for cell in book["Heights"]["A"] if cell.row > 10]
    assert any(
        "Not visited this week; last visit 2026-11-10." in text and "House 1 · Bay 2" in text for text in said
    )


def test_a_sheet_without_data_says_so(tmp_path):
    book = openpyxl.load_workbook(write_week(weeks.without_visits(), tmp_path / "a.xlsx"))
    assert book["Sticky cards"]["A4"].value == "No sticky cards were read this week."
    assert book["Readings"]["A4"].value == "No plant was read this week."
    assert book["Heights"]["A4"].value == "No height was measured this week."
    assert book["Fruit"]["A4"].value == "No fruit was counted this week."
    assert not book["Readings"].tables


def test_a_farm_without_bays_has_a_workbook_too(week, tmp_path):
    empty = replace(week, bays=(), jobs=(), earlier={}, totals={})
    book = openpyxl.load_workbook(write_week(empty, tmp_path / "a.xlsx"))
    assert book["Bays"]["A4"].value == "This farm has no bay yet."


def test_the_glance_has_a_chart_and_the_charts_read_in_grey(written):
    with zipfile.ZipFile(written) as parts:
        drawings = [name for name in parts.namelist() if re.match(r"xl/charts/chart\d+\.xml", name)]
        charts = [parts.read(name).decode() for name in drawings]
        assert b"drawing" in parts.read("xl/worksheets/sheet1.xml")
    assert len(charts) >= 3
    for chart in charts:
        assert '<smooth val="1"' not in chart
        assert '<delete val="1"' not in chart
        colours = set(re.findall(r'srgbClr val="([0-9A-F]{6})"', chart))
        assert all(len({colour[:2], colour[2:4], colour[4:]}) == 1 or _grey(colour) for colour in colours)


def _grey(colour: str) -> bool:
    channels = [int(colour[place : place + 2], 16) for place in (0, 2, 4)]
    return max(channels) - min(channels) <= 10


def test_the_words_that_are_marked_are_the_words_of_the_figures():
    from bayround.figures import balance

    said = set(balance.SAYS.values())
    assert {"too much", "too little", "uneven"} <= {word for word, _ground, _mark in marks.VERDICTS} & said


def test_priorities_are_told_by_word_shape_and_colour(book, week):
    rules = [rule for found in book["Jobs due"].conditional_formatting for rule in found.rules]
    words = {rule.formula[0].strip('"'): rule.dxf for rule in rules}
    assert set(words) == {job.priority_text for job in week.jobs}
    for style in words.values():
        assert re.fullmatch(r'"[■●○] "@', style.numFmt.formatCode)
        assert style.fill.bgColor.rgb[2:] in {"D55E00", "E69F00", "56B4E9"}  # Okabe and Ito 2008
        assert style.font.color.rgb[2:] == "000000"


def test_properties_say_what_it_is(book):
    about = book.properties
    assert about.title == "Farm 1 (invented sample), week 2026-W47"
    assert (about.subject, about.creator, about.version) == ("2026-W47", "Bayround", bayround.__version__)
    assert about.created == about.modified == datetime(2026, 11, 22)
    assert "revision 7" in about.description


def test_about_defines_every_figure_of_the_columns(book, week):
    defined = " ".join(str(row["Figure"]) for row in records(book["About these numbers"]))
    for figure in week.bays[0].figures.values():
        if not figure.id.startswith(("incidence_", "cards_")):
            assert figure.label in defined, figure.id


def test_thresholds_carry_their_sources(book):
    rows = records(book["Thresholds and norms"])
    assert len(rows) > 40
    assert all(row["Source"] and row["Kind of source"] for row in rows)
    numbers = weeks.CROPS.profile("sweet_pepper").numbers
    by_label = {row["Number"]: row for row in rows}
    for number in numbers.values():
        assert by_label[number.label]["Value"] == number.value


@pytest.mark.parametrize(
    ("farm", "name"),
    [
        ("Green Valley", "Green Valley 2026-W47.xlsx"),
        ('a/b\\c:d*e?f"g<h>i|j', "a b c d e f g h i j 2026-W47.xlsx"),
        ("CON", "Farm CON 2026-W47.xlsx"),
        ("..", "Farm 2026-W47.xlsx"),
        ("tab\tand\x00zero", "tab and zero 2026-W47.xlsx"),
        ("x" * 300, "x" * 80 + " 2026-W47.xlsx"),
    ],
)
def test_the_default_name_can_be_a_file_name(week, farm, name, tmp_path):
    # Characters and names Windows refuses: learn.microsoft.com, “Naming files, paths, and namespaces”.
    found = default_name(replace(week, farm=replace(week.farm, name=farm)))
    assert found == name
    Path(tmp_path / found).touch()
