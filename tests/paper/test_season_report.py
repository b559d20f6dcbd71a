"""The season report: every number is the screen's figure, text stays text, and the pages say what the workbook says."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import season, season_report
from bayround.actions.farm import OpenFarm
from bayround.facts.money import Cost, CostKind, Price
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.facts.work import Pick
from bayround.figures.money import COLUMNS as MONEY_COLUMNS
from bayround.figures.season import COLUMNS, GroupBy
from bayround.figures.season_report import SeasonReport
from bayround.records import write_setup

TODAY = date(2026, 11, 20)
YIELDS = {"Red": (2000.0, 2040.0, 2080.0), "Yellow": (2600.0, 2660.0, 2720.0), "=1+1": (2400.0,)}
"""Kilograms from bays of 400 m², by variety: yellow well above red, and one bay of a third."""


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenFarm]:
    opened = farm_actions.create(
        tmp_path_factory.mktemp("season") / "s.bayround", "Trial Hill", currency="EUR", invented=True
    )
    house = factory.house()
    facts: list[object] = [house]
    for variety, kilograms in YIELDS.items():
        for number, kg in enumerate(kilograms, start=1):
            bay = factory.bay(house, name=f"{variety} {number}", position=number)
            planting = factory.planting(bay, variety=variety, transplanted_on=date(2026, 7, 6))
            pick = Pick(factory.key(), bay.id, planting.id, date(2026, 9, 21), kg, grade="first")
            facts += [bay, planting, pick]
    for name, design, treatments in (
        ("Cover", TrialDesign.COMPLETELY_RANDOMISED, "ABAB"),
        ("Houses", TrialDesign.NO_REPLICATION, "AB"),
    ):
        trial = Trial(factory.key(), name, "", design, "cover", "typed", date(2026, 7, 6), ended_on=TODAY)
        plots = [
            TrialPlot(factory.key(), trial.id, str(n), level, value=5.0 + 3 * (level == "A") + 0.1 * n)
            for n, level in enumerate(treatments)
        ]
        facts += [trial, *plots]
    facts.append(Price(factory.key(), date(2026, 7, 1), "sweet_pepper", 150))
    facts.append(Cost(factory.key(), date(2026, 8, 1), CostKind.MATERIALS, "+cmd", 700_000))
    write_setup.add(opened.store, *facts)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def report(farm: OpenFarm) -> SeasonReport:
    return season_report.read(farm, TODAY)


@pytest.fixture(scope="module")
def book(report: SeasonReport, tmp_path_factory: pytest.TempPathFactory) -> openpyxl.Workbook:
    path = tmp_path_factory.mktemp("book") / "season.xlsx"
    return openpyxl.load_workbook(season_report.write_workbook(report, path))


def column(book: openpyxl.Workbook, sheet: str, title: str) -> list[object]:
    found = [cell.column for cell in book[sheet][4] if cell.value == title]
    assert found, f"{sheet} has no column “{title}”"
    (table,) = book[sheet].tables.values()
    last = range_boundaries(table.ref)[3]
    rows = range(5, last + 1)
    return [book[sheet].cell(row, found[0]).value for row in rows]


@pytest.mark.parametrize(("sheet", "by"), [("By variety", GroupBy.VARIETY), ("By bay", GroupBy.BAY)])
def test_every_figure_of_the_season_stands_in_its_cell(
    farm: OpenFarm, book: openpyxl.Workbook, sheet: str, by: GroupBy
) -> None:
    lines = season.lines(season.read(farm, TODAY), by)
    for name in COLUMNS:
        figures = [line.figures[name] for line in lines]
        title = f"{figures[0].label}, {figures[0].unit}" if figures[0].unit else figures[0].label
        assert column(book, sheet, title) == [figure.cell for figure in figures], name
    lows = column(book, sheet, "Picked per m²: low")
    assert [low is None for low in lows] == [line.figures["season_kg_m2"].low is None for line in lines]


def test_every_figure_of_money_stands_in_its_cell(farm: OpenFarm, book: openpyxl.Workbook) -> None:
    lines = season.money_lines(season.read(farm, TODAY), GroupBy.VARIETY)
    for name in MONEY_COLUMNS:
        figures = [line.figures[name] for line in lines]
        assert column(book, "Money", f"{figures[0].label}, {figures[0].unit}") == [
            one.cell for one in figures
        ]


def test_what_is_known_is_kept_apart_from_what_is_suspected(report: SeasonReport) -> None:
    """Welch's interval of (6.5, 6.65, 6.8) less (5, 5.1, 5.2) kg/m², checked against scipy."""
    from scipy.stats import ttest_ind

    found = report.findings
    assert [(line.place, line.label) for line in found.replant] == [(1, "Yellow"), (2, "=1+1"), (3, "Red")]
    assert [line.rests_on for line in found.replant] == [
        "3 bays, not drawn by lot",
        "1 bay, a hint only",
        "3 bays, not drawn by lot",
    ]
    known, suspected = " ".join(found.known), " ".join(found.suspected)
    assert "16500 kg picked from 2800 m²" in known
    assert "Trial “Cover”: A is above B" in known
    assert "Trial “Houses”: Described, not tested." in suspected
    assert "Cover" not in suspected
    welch = ttest_ind((6.5, 6.65, 6.8), (5.0, 5.1, 5.2), equal_var=False).confidence_interval()
    assert f"1.55 ({welch.low:.2f} to {welch.high:.2f}; 3 and 3 bays). More than bays" in suspected
    assert "a hint only, for each stood in one bay: =1+1 6.00 kg/m²" in suspected


def test_text_stays_text_and_the_same_season_gives_the_same_bytes(
    report: SeasonReport, book: openpyxl.Workbook, tmp_path: Path
) -> None:
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells if cell.value in {"=1+1", "+cmd"}} == {"s"}
    assert not [cell.coordinate for cell in cells if cell.data_type == "f"]
    one, two = (season_report.write_workbook(report, tmp_path / name) for name in ("a.xlsx", "b.xlsx"))
    assert one.read_bytes() == two.read_bytes()


def test_what_was_left_out_and_that_the_farm_is_invented_is_said(book: openpyxl.Workbook) -> None:
    told = {str(cell.value) for row in book["About these numbers"].iter_rows() for cell in row}
    assert any("overheads are left out" in text for text in told)
    assert any("made up" in text for text in told)
    assert "Trial Hill (invented sample)" in str(book["What to replant"]["A1"].value)


def test_the_pages_say_what_the_workbook_says(report: SeasonReport) -> None:
    pages = season_report.pages(report).pages
    told = [text for page in pages for text in page.texts]
    for sentence in (*report.findings.known, *report.findings.suspected, *report.findings.open):
        assert sentence in told
    for line in report.findings.replant:
        assert line.margin_m2.text in told
    for budget in report.budgets:
        assert budget.net_change.text in told
    assert all("Page" in " ".join(page.texts[:3]) for page in pages)


def test_a_season_without_picks_and_prices_says_so(tmp_path: Path) -> None:
    opened = farm_actions.create(tmp_path / "bare.bayround", "Bare Hill")
    house = factory.house()
    bay = factory.bay(house)
    write_setup.add(opened.store, house, bay, factory.planting(bay, transplanted_on=date(2026, 7, 6)))
    report = season_report.read(opened, TODAY)
    assert any("No pick has a price" in text for text in report.findings.open)
    season_report.write_workbook(report, tmp_path / "bare.xlsx")
    assert season_report.pages(report).pages
    opened.close()
