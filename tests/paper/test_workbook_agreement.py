"""The workbook shows what the screens show: the figure's own number, rounded once."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import openpyxl
import paper_weeks as weeks
import pytest
from openpyxl.cell.cell import Cell

from bayround import words
from bayround.actions import sample
from bayround.actions.workbook import write_week
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.paper.workbook.table import FIRST_ROW, HEAD_ROW
from bayround.week import build
from bayround.week.columns import COLUMNS
from bayround.week.snapshot import WeekSnapshot

FAMILIES = {"Heights": "heights", "Fruit": "fruit", "Pests by bay": "pests", "Weeds": "weeds"}


def displayed(cell: Cell) -> str:
    """Return what a spreadsheet shows for a cell with one of the formats that the workbook uses."""
    if cell.value is None:
        return words.MISSING
    if isinstance(cell.value, datetime):
        assert cell.number_format == "yyyy-mm-dd"
        return cell.value.strftime("%Y-%m-%d")
    if isinstance(cell.value, str):
        assert cell.number_format == "General"
        return cell.value
    shape = cell.number_format
    if shape == "General":
        assert isinstance(cell.value, int)
        return str(cell.value)
    assert set(shape) <= {"0", "."}
    places = len(shape.partition(".")[2])
    exact = Decimal(str(cell.value))
    shown = round(exact, places)
    assert exact == shown, "the cell holds the rounded number, so the office program has nothing to round"
    return f"{shown:.{places}f}"


def assert_agrees(path: Path, snapshot: WeekSnapshot) -> int:
    """Compare every bay's cells with the columns' own text; return how many cells were compared."""
    book = openpyxl.load_workbook(path)
    sheet = book["Bays"]
    compared = 0
    for row, seen in enumerate(snapshot.bays, FIRST_ROW):
        for place, column in enumerate(COLUMNS, 1):
            assert displayed(sheet.cell(row, place)) == column.text(seen), (seen.bay.name, column.id)
            compared += 1
    for name, group in FAMILIES.items():
        compared += _assert_family(book[name], group, snapshot)
    return compared


def _assert_family(sheet, group: str, snapshot: WeekSnapshot) -> int:
    if not sheet.tables:
        return 0
    places = {cell.value: cell.column for cell in sheet[HEAD_ROW]}
    compared = 0
    for column in COLUMNS:
        if group not in column.groups:
            continue
        for row, seen in enumerate(snapshot.bays, FIRST_ROW):
            assert displayed(sheet.cell(row, places[column.title])) == column.text(seen)
            figure = column.get(seen)
            if not isinstance(figure, Figure):
                continue
            unit = f" ({column.unit})" if column.unit else ""
            low = displayed(sheet.cell(row, places[f"{column.heading}, low{unit}"]))
            high = displayed(sheet.cell(row, places[f"{column.heading}, high{unit}"]))
            assert (f"{low} to {high}" if figure.low is not None else "") == figure.interval_text
            assert sheet.cell(row, places[f"{column.heading}, n"]).value == figure.n
            compared += 4
    return compared


def test_a_small_farm_agrees(written, week):
    assert assert_agrees(written, week) > 250


@pytest.fixture(scope="module")
def sample_season():
    return sample.season_facts()


@pytest.mark.parametrize("week", [Week(2026, 33), Week(2026, 47)])
def test_the_sample_farm_agrees(sample_season, week, tmp_path):
    snapshot = build.build(sample_season, weeks.CROPS, week, week.sunday)
    assert assert_agrees(write_week(snapshot, tmp_path / "a.xlsx"), snapshot) > 800


# Halves and their neighbours: the values on which office programs and Python's own formatting part ways.
TRICKY = (
    0.0,
    -0.0,
    0.5,
    1.5,
    2.5,
    -0.5,
    -2.5,
    0.05,
    0.25,
    2.675,
    1.005,
    0.125,
    0.375,
    -0.04,
    1e-9,
    999.95,
    None,
)


@pytest.mark.parametrize("seed", [1, 2])
def test_any_numbers_agree(seed, tmp_path):
    chance = random.Random(seed)

    def number() -> float | None:
        return chance.choice(TRICKY) if chance.random() < 0.5 else chance.uniform(-1000, 1000)

    snapshot = weeks.snapshot(weeks.season(houses=4, bays=4, plants=1))
    bays = [replace(seen, figures=_renumbered(seen.figures, number)) for seen in snapshot.bays]
    changed = replace(snapshot, bays=tuple(bays))
    assert assert_agrees(write_week(changed, tmp_path / "a.xlsx"), changed) > 1000


def _renumbered(figures: Mapping[str, Figure], number: Callable[[], float | None]) -> dict[str, Figure]:
    found = {}
    for key, figure in figures.items():
        value = number()
        if value is None:
            found[key] = figure.without("Not measured.")
            continue
        spread = abs(value) / 3
        found[key] = replace(figure, value=value, low=value - spread, high=value + spread, missing="")
    return found


def test_the_glance_shows_the_totals(book, week):
    shown = {row[0].value: row[3].value for row in book["Week at a glance"].iter_rows() if row[0].value}
    assert shown["Bays visited"] == week.totals["bays_visited"].cell == 5
    assert shown["Fruit counted, all stages"] == week.totals["fruit_counted"].cell
    assert shown["Hours of work due"] == week.totals["hours_due"].cell


def test_checks_show_the_organisms_own_incidence(book, week):
    headings = {cell.value: cell.column for cell in book["Pests and disease"][HEAD_ROW]}
    sheet = book["Pests and disease"]
    rows = {
        (row[0].value, row[1].value, row[headings["Organism"] - 1].value): row
        for row in sheet.iter_rows(FIRST_ROW, HEAD_ROW + 10)
    }
    for seen in week.bays:
        if seen.visit is None:
            continue
        for organism in ("thrips", "aphids"):
            figure = seen.figures[f"incidence_{organism}"]
            row = rows[seen.house.name, seen.bay.name, organism.capitalize()]
            assert displayed(row[headings["Incidence (%)"] - 1]) == figure.text
            assert (
                displayed(row[headings["Incidence, high (%)"] - 1]) == figure.interval_text.split(" to ")[1]
            )
