"""Gross margin, partial budget, break-even and the yearly cost of a structure, in exact money.

Definitions: gross margin = gross income less variable costs (New South Wales vegetable gross margins,
2013); partial budget = (added returns + reduced costs) - (added costs + lost returns) (Iowa State
University, Ag Decision Maker C6-10, 2010). Amounts are `decimal.Decimal`; binary floats are refused, so
that cents add up exactly. Nothing is rounded here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

__all__ = [
    "GrossMargin",
    "MoneyLine",
    "PartialBudget",
    "SensitivityCell",
    "break_even_price",
    "break_even_yield",
    "gross_margin",
    "partial_budget",
    "sensitivity_grid",
    "total",
]


@dataclass(frozen=True, slots=True)
class MoneyLine:
    """One line of a budget: what it is, and the amount in the farm's money (0 or more)."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class GrossMargin:
    """Income less variable costs; per m² and per kg. Per-kg figures are None when nothing was picked."""

    income: Decimal
    variable_costs: Decimal
    margin: Decimal
    area_m2: Decimal
    yield_kg: Decimal
    yield_kg_per_m2: Decimal
    income_per_m2: Decimal
    cost_per_m2: Decimal
    margin_per_m2: Decimal
    cost_per_kg: Decimal | None
    margin_per_kg: Decimal | None


@dataclass(frozen=True, slots=True)
class PartialBudget:
    """What a change adds and takes; ``net_change`` above 0 means the change pays."""

    added_returns: Decimal
    reduced_costs: Decimal
    added_costs: Decimal
    lost_returns: Decimal
    positive_effects: Decimal
    negative_effects: Decimal
    net_change: Decimal


@dataclass(frozen=True, slots=True)
class SensitivityCell:
    """Margin per m² at one price (money/kg) and one yield (kg/m²)."""

    price_per_kg: Decimal
    yield_kg_per_m2: Decimal
    margin_per_m2: Decimal


def _exact(name: str, value: Decimal | int) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, Decimal | int):
        raise ValueError(f"{name} must be a Decimal, so that cents stay exact; got {value!r}")
    amount = Decimal(value)
    if not amount.is_finite():
        raise ValueError(f"{name} must be a finite amount, got {amount}")
    if amount < 0:
        raise ValueError(f"{name} must not be below 0, got {amount}")
    return amount


def _above_zero(name: str, value: Decimal) -> Decimal:
    if _exact(name, value) == 0:
        raise ValueError(f"{name} must be greater than 0")
    return Decimal(value)


def total(lines: Sequence[MoneyLine]) -> Decimal:
    """Sum of the lines, exact. Errors: ValueError when an amount is a float, negative or not finite."""
    return sum((_exact(line.name, line.amount) for line in lines), Decimal(0))


def gross_margin(
    income: Sequence[MoneyLine],
    variable_costs: Sequence[MoneyLine],
    *,
    area_m2: Decimal,
    yield_kg: Decimal,
) -> GrossMargin:
    """Gross margin of a planting, per m² and per kg.

    ``area_m2``: the area the yield came from; say beside the figure whether it is bed or house area.
    Errors: ValueError when the area is not above 0, or an amount is a float or negative.
    """
    area = _above_zero("area_m2", area_m2)
    kg = _exact("yield_kg", yield_kg)
    earned, spent = total(income), total(variable_costs)
    return GrossMargin(
        income=earned,
        variable_costs=spent,
        margin=earned - spent,
        area_m2=area,
        yield_kg=kg,
        yield_kg_per_m2=kg / area,
        income_per_m2=earned / area,
        cost_per_m2=spent / area,
        margin_per_m2=(earned - spent) / area,
        cost_per_kg=spent / kg if kg else None,
        margin_per_kg=(earned - spent) / kg if kg else None,
    )


def partial_budget(
    *,
    added_returns: Sequence[MoneyLine] = (),
    reduced_costs: Sequence[MoneyLine] = (),
    added_costs: Sequence[MoneyLine] = (),
    lost_returns: Sequence[MoneyLine] = (),
) -> PartialBudget:
    """Net effect of changing one thing for another (Iowa State C6-10).

    For a small, short change between two options; where years matter, spread the cost over the life
    first. Errors: ValueError when an amount is a float or negative.
    """
    gained, saved = total(added_returns), total(reduced_costs)
    spent, lost = total(added_costs), total(lost_returns)
    return PartialBudget(
        added_returns=gained,
        reduced_costs=saved,
        added_costs=spent,
        lost_returns=lost,
        positive_effects=gained + saved,
        negative_effects=spent + lost,
        net_change=gained + saved - spent - lost,
    )


def break_even_price(cost_per_m2: Decimal, yield_kg_per_m2: Decimal, cost_per_kg: Decimal) -> Decimal:
    """Price per kg at which the margin is 0: cost per m² / yield + costs that rise with each kg.

    Errors: ValueError when the yield is not above 0, or an amount is a float or negative.
    """
    fixed = _exact("cost_per_m2", cost_per_m2)
    return fixed / _above_zero("yield_kg_per_m2", yield_kg_per_m2) + _exact("cost_per_kg", cost_per_kg)


def break_even_yield(cost_per_m2: Decimal, price_per_kg: Decimal, cost_per_kg: Decimal) -> Decimal | None:
    """Yield in kg/m² at which the margin is 0: cost per m² / (price - cost per kg).

    ``cost_per_kg``: picking, packing and selling, which rise with each kg. None when the price does not
    even pay for those: no yield then breaks even. Errors: ValueError on a float or a negative amount.
    """
    left_per_kg = _exact("price_per_kg", price_per_kg) - _exact("cost_per_kg", cost_per_kg)
    fixed = _exact("cost_per_m2", cost_per_m2)
    return fixed / left_per_kg if left_per_kg > 0 else None


def sensitivity_grid(
    prices_per_kg: Sequence[Decimal],
    yields_kg_per_m2: Sequence[Decimal],
    *,
    cost_per_m2: Decimal,
    cost_per_kg: Decimal,
) -> tuple[tuple[SensitivityCell, ...], ...]:
    """Margin per m² for each yield (rows) and price (columns), in the order given.

    margin = yield x (price - cost per kg) - cost per m². Errors: ValueError when a list is empty, or an
    amount is a float or negative.
    """
    if not prices_per_kg or not yields_kg_per_m2:
        raise ValueError("a grid needs at least one price and one yield")
    fixed, rising = _exact("cost_per_m2", cost_per_m2), _exact("cost_per_kg", cost_per_kg)
    prices = [_exact("price_per_kg", price) for price in prices_per_kg]
    yields = [_exact("yield_kg_per_m2", each) for each in yields_kg_per_m2]
    return tuple(
        tuple(SensitivityCell(price, each, each * (price - rising) - fixed) for price in prices)
        for each in yields
    )
