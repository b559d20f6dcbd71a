"""Budgets against published worked examples; cents must come out exactly."""

from decimal import Decimal

import pytest

from bayround.agronomy.budget import (
    MoneyLine,
    break_even_price,
    break_even_yield,
    gross_margin,
    partial_budget,
    sensitivity_grid,
    total,
)

D = Decimal


def lines(*amounts: str) -> list[MoneyLine]:
    return [MoneyLine(f"line {number}", D(amount)) for number, amount in enumerate(amounts)]


def test_partial_budget_of_a_vegetable_bed() -> None:
    """'Partial budget analysis' leaflet (studylib 15970091): green beans replaced by salad greens, -37.37 a bed."""
    result = partial_budget(
        added_returns=lines("150.00"),
        reduced_costs=[MoneyLine("18.25 h", D("18.25") * D("10.00")), MoneyLine("inputs", D("26.66"))],
        added_costs=[MoneyLine("2.8 h", D("2.8") * D("10.00")), MoneyLine("inputs", D("8.53"))],
        lost_returns=lines("360.00"),
    )
    assert result.reduced_costs == D("209.16")
    assert result.positive_effects == D("359.16")
    assert result.added_costs == D("36.53")
    assert result.negative_effects == D("396.53")
    assert result.net_change == D("-37.37")


WHEAT_COSTS = [
    37050, 24750, 135300, 160200, 6045, 33000, 12075, 6750, 19350,
    24960, 15075, 37800, 57000, 45000, 18000, 37500, 8000, 7410,
]  # fmt: skip


def test_gross_margin_of_wheat() -> None:
    """'Example 1: gross margin analysis - wheat' teaching sheet (scribd 662731965), 1,500 ha, 4,050 t at 247."""
    result = gross_margin(
        [MoneyLine("wheat", D(4050) * D(247))],
        lines(*map(str, WHEAT_COSTS)),
        area_m2=D(1500) * 10_000,
        yield_kg=D(4050) * 1000,
    )
    assert result.income == 1_000_350
    assert result.variable_costs == 685_265
    assert result.margin == 315_085
    assert round(result.margin_per_m2 * 10_000) == 210
    assert round(result.income_per_m2 * 10_000) == 667
    assert round(result.cost_per_m2 * 10_000) == 457
    assert result.cost_per_kg == D(685_265) / 4_050_000
    assert result.margin_per_kg == D(315_085) / 4_050_000


def test_break_even_of_a_pepper_greenhouse() -> None:
    """Jovicich et al. 2005, HortTechnology 15(2):355-369: returns -9.52 at 5 and +30.84 $/m² at 17 kg/m².

    The line through the two has its zero at 7.83 kg/m²; the paper prints a break-even yield of 7.8.
    """
    left_per_kg = (D("30.84") - D("-9.52")) / (17 - 5)
    fixed = 5 * left_per_kg - D("-9.52")
    price, per_kg = D("5.29"), D("5.29") - left_per_kg
    found = break_even_yield(fixed, price, per_kg)
    assert found is not None
    assert round(found, 2) == D("7.83")
    assert round(found, 1) == D("7.8")
    grid = sensitivity_grid([price], [D(5), D(17)], cost_per_m2=fixed, cost_per_kg=per_kg)
    assert [round(row[0].margin_per_m2, 2) for row in grid] == [D("-9.52"), D("30.84")]
    assert round(break_even_price(fixed, found, per_kg), 12) == price


def test_cents_are_exact() -> None:
    """0.10 + 0.20 is 0.30, which binary floats miss; ten thousand cents are a hundred."""
    assert total(lines("0.10", "0.20")) == D("0.30")
    assert total(lines(*["0.01"] * 10_000)) == 100


def test_nothing_picked_has_no_cost_per_kg() -> None:
    result = gross_margin([], lines("120"), area_m2=D(400), yield_kg=D(0))
    assert (result.cost_per_kg, result.margin_per_kg) == (None, None)
    assert result.margin_per_m2 == D("-0.3")


def test_price_below_the_cost_of_a_kg_never_breaks_even() -> None:
    assert break_even_yield(D(10), D("0.5"), D("0.5")) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: total([MoneyLine("float", 0.1)]),  # type: ignore[arg-type]
        lambda: total(lines("-1")),
        lambda: total(lines("NaN")),
        lambda: gross_margin([], [], area_m2=D(0), yield_kg=D(1)),
        lambda: break_even_price(D(1), D(0), D(0)),
        lambda: sensitivity_grid([], [D(1)], cost_per_m2=D(1), cost_per_kg=D(0)),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
