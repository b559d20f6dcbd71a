"""Published budgets to the cent, from facts in a real farm file or typed, through the actions the window uses.

The examples, their sources and their sums also stand in test_budget.py, which calls the formulas alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import money, season, season_report
from bayround.actions.farm import OpenFarm
from bayround.actions.money import TypedBudget
from bayround.facts.farm import Bay, House, Planting
from bayround.facts.money import CostKind
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Pick
from bayround.figures.season import GroupBy
from bayround.records import write_setup

D = Decimal
TODAY = date(2026, 11, 24)
PLANTED = date(2026, 7, 7)


@dataclass(frozen=True)
class Made:
    """An open farm with a house, to be filled."""

    open: OpenFarm
    house: House

    def bed(self, variety: str, length_m: float, width_m: float) -> tuple[Bay, Planting]:
        bay = factory.bay(self.house, name=variety, length_m=length_m, width_m=width_m)
        planting = factory.planting(bay, variety=variety, transplanted_on=PLANTED)
        write_setup.add(self.open.store, bay, planting)
        return bay, planting

    def pick(self, bay: Bay, planting: Planting, kg: float, grade: str = "first") -> None:
        picked = Pick(factory.key(), bay.id, planting.id, date(2026, 9, 15), kg, grade=grade)
        write_setup.add(self.open.store, picked)

    def work(self, bay: Bay, hours: float) -> None:
        job = JobRecord(
            factory.key(), bay.id, JobKind.WEED, "", date(2026, 8, 3), date(2026, 8, 9), "Weeds stand high."
        )
        at = datetime(2026, 8, 5, 15, tzinfo=UTC)
        done = JobEvent(factory.key(), job.id, JobStep.DONE, at.date(), at, hours=hours)
        write_setup.add(self.open.store, job, done)

    def cost(self, bay: Bay, kind: CostKind, what: str, amount: str) -> None:
        money.add_cost(self.open, date(2026, 8, 1), kind, what, money.hundredths(amount), bay_id=bay.id)


@pytest.fixture
def made(tmp_path: Path) -> Iterator[Made]:
    opened = farm_actions.create(tmp_path / "money.bayround", "Money Hill", currency="$")
    house = factory.house()
    write_setup.add(opened.store, house)
    yield Made(opened, house)
    opened.close()


def price(made: Made, per_kg: str, grade: str = "first") -> None:
    money.add_price(made.open, PLANTED, "sweet_pepper", money.hundredths(per_kg), grade)


def in_workbook(made: Made, sheet: str, **more: Any) -> list[tuple[Any, ...]]:
    """Write the season report of the farm file, and return the rows of one sheet as a reader finds them."""
    report = season_report.build(season.read(made.open, TODAY), made.open, **more)
    path = season_report.write_workbook(report, made.open.path.with_suffix(".xlsx"))
    return list(openpyxl.load_workbook(path)[sheet].iter_rows(min_row=5, values_only=True))


BEANS = TypedBudget(
    "Green beans → salad greens",
    added_returns=(("salad greens", "150.00"),),
    reduced_costs=(("labour", "18.25 * 10.00"), ("inputs", "26,66")),
    added_costs=(("labour", "2.8 × 10.00"), ("inputs", "8.53")),
    lost_returns=(("green beans", "360.00"),),
)


def test_partial_budget_of_a_vegetable_bed_typed_line_by_line() -> None:
    """'Partial budget analysis' leaflet (studylib 15970091): green beans replaced by salad greens, -37.37 a bed."""
    report = money.partial_budget(BEANS, "$")
    found = report.result
    assert (found.reduced_costs, found.positive_effects) == (D("209.16"), D("359.16"))
    assert (found.added_costs, found.negative_effects) == (D("36.53"), D("396.53"))
    assert found.net_change == D("-37.37")
    assert (report.net_change.text_with_unit, report.net_change.says) == (
        "-37.37 $",
        "the change does not pay",
    )


def test_the_typed_bed_in_the_workbook(made: Made) -> None:
    """The same leaflet, every line and sum to the cent in the sheet “What if”."""
    made.bed("Green beans", 20.0, 2.0)
    rows = in_workbook(made, "What if", budgets=[money.partial_budget(BEANS, "$")])
    amounts = [(row[1], row[2], row[3]) for row in rows if row[1]]
    assert amounts == [
        ("Added returns", "salad greens", 150),
        ("Reduced costs", "labour", 182.5),
        ("Reduced costs", "inputs", 26.66),
        ("Added costs", "labour", 28),
        ("Added costs", "inputs", 8.53),
        ("Lost returns", "green beans", 360),
        ("For the change", None, 359.16),
        ("Against it", None, 396.53),
        ("Net change", "the change does not pay", -37.37),
    ]


def test_the_same_bed_from_facts_kept_in_a_farm_file(made: Made) -> None:
    """The same leaflet: hours of ticked-off jobs at the wage, costs, picks at their price; the bed changes."""
    beans, beans_planting = made.bed("Green beans", 20.0, 2.0)
    salad, salad_planting = made.bed("Salad greens", 20.0, 2.0)
    money.set_wage(made.open, PLANTED, money.hundredths("10.00"))
    price(made, "3.60", "first")
    price(made, "1.50", "second")
    made.pick(beans, beans_planting, 100.0, "first")
    made.pick(salad, salad_planting, 100.0, "second")
    made.work(beans, 18.25)
    made.work(salad, 2.8)
    made.cost(beans, CostKind.MATERIALS, "Inputs", "26.66")
    made.cost(salad, CostKind.MATERIALS, "Inputs", "8.53")
    book = season.read(made.open, TODAY)
    report = money.change_bays(book, {beans.id}, "Salad greens", "sweet_pepper", GroupBy.VARIETY)
    assert round(report.result.reduced_costs, 12) == D("209.16")
    assert round(report.result.added_costs, 12) == D("36.53")
    assert round(report.result.net_change, 12) == D("-37.37")
    back = money.change_bays(book, {salad.id}, "Green beans", "sweet_pepper", GroupBy.VARIETY)
    assert round(back.result.net_change, 12) == D("37.37")
    (net,) = [row for row in in_workbook(made, "What if") if row[1] == "Net change"]
    assert (net[0], net[3]) == ("Salad greens → Green beans", 37.37)  # into the one that earned more


WHEAT = (
    ("Seed", (37050, 24750)),
    ("Fertiliser and cartage", (135300, 160200, 6045)),
    ("Sprays", (33000, 12075, 6750, 19350, 24960, 15075, 37800)),
    ("Fuel and repairs", (57000, 45000)),
    ("Contract spraying and harvest", (18000, 37500)),
    ("Casual labour and insurance", (8000, 7410)),
)


def test_gross_margin_of_wheat_from_facts_kept_in_a_farm_file(made: Made) -> None:
    """'Example 1: gross margin analysis - wheat' teaching sheet (scribd 662731965): 1,500 ha, 4,050 t at 247.

    A bay of 1,500 m² stands for the hectares and kilograms for the tonnes.
    """
    bay, planting = made.bed("Wheat", 50.0, 30.0)
    price(made, "247.00")
    made.pick(bay, planting, 4050.0)
    for what, amounts in WHEAT:
        for each in amounts:
            made.cost(bay, CostKind.MATERIALS, what, str(each))
    (line,) = season.money_lines(season.read(made.open, TODAY), GroupBy.BAY)
    assert (line.margin.income, line.margin.variable_costs) == (D(1_000_350), D(685_265))
    assert line.margin.margin == 315_085
    assert line.figures["money_margin"].text_with_unit == "315085.00 $"
    per_m2 = [line.figures[key].value for key in ("money_income_m2", "money_cost_m2", "money_margin_m2")]
    assert [round(value or 0.0) for value in per_m2] == [667, 457, 210]
    assert line.figures["money_cost_kg"].shown == round(D(685_265) / 4050, 2)
    (row,) = [row for row in in_workbook(made, "Money") if row[1] == "Wheat"]
    assert row[4:12] == (666.9, 456.84, 210.06, 169.2, 77.8, 1_000_350, 685_265, 315_085)


PEPPER_LEFT_A_KG = (D("30.84") - D("-9.52")) / 12
PEPPER_FIXED = 5 * PEPPER_LEFT_A_KG + D("9.52")


def test_break_even_of_a_pepper_greenhouse_typed() -> None:
    """Jovicich et al. 2005, HortTechnology 15(2):355-369: -9.52 at 5 and +30.84 $/m² at 17 kg/m²; break-even 7.8.

    The straight line through the two has its zero at 7.83 kg/m².
    """
    rising = D("5.29") - PEPPER_LEFT_A_KG
    for yields, margin in (("5", "-9.52"), ("17", "30.84")):
        found = money.break_even_typed(str(PEPPER_FIXED), yields, "5.29", str(rising), "$")
        assert found.yield_kg_m2.text_with_unit == "7.83 kg/m²"
        middle = found.grid[2][2]
        assert (middle.price_per_kg, middle.yield_kg_per_m2) == (D("5.29"), D(yields))
        assert round(middle.margin_per_m2, 2) == D(margin)


def test_break_even_of_a_pepper_greenhouse_from_facts_kept_in_a_farm_file(made: Made) -> None:
    """The same paper: 0.78 ha, 13 kg/m² at 5.29; of the line's costs 26.34 $/m² don't rise with the yield."""
    bay, planting = made.bed("Pepper", 78.0, 100.0)
    price(made, "5.29")
    made.pick(bay, planting, 13.0 * 7800)
    rising = D("5.29") - PEPPER_LEFT_A_KG
    made.cost(bay, CostKind.OTHER, "All", str(round((PEPPER_FIXED + 13 * rising) * 7800, 2)))
    (line,) = season.money_lines(season.read(made.open, TODAY), GroupBy.HOUSE_KIND)
    assert line.figures["money_margin_m2"].text_with_unit == "17.39 $/m²"
    found = money.break_even_of(line, "$", rising)
    assert found.yield_kg_m2.text_with_unit == "7.83 kg/m²"
    assert found.price.shown == round(PEPPER_FIXED / 13 + rising, 2)
    (row,) = [row for row in in_workbook(made, "Money by kind of house") if row[1] == "net house"]
    assert row[6] == 17.39
