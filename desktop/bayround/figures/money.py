"""Gross margins, break-even, partial budgets and sensitivity as figures; formulas are in `agronomy.budget`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from bayround import words
from bayround.agronomy import budget
from bayround.agronomy.budget import GrossMargin, MoneyLine, PartialBudget, SensitivityCell
from bayround.figures.figure import Figure, Why
from bayround.figures.money_books import PlantingMoney, exact
from bayround.words import _

MARGIN_SOURCE = "New South Wales vegetable gross margins, 2013"
PARTIAL_SOURCE = "Iowa State University, Ag Decision Maker C6-10, 2010"
LEFT_OUT = (
    "Interest, tax, rent of land, insurance, permanent staff and the farm's overheads are left out, unless typed as a cost.",
    "Work without a ticked-off job is left out, unless typed as a labour cost; hours of jobs and typed labour add up.",
    "Covers and structures are spread evenly over their life, for the days a crop stood; no interest, no value at the end.",
    "Costs of a house or of the whole farm are shared out by gross area among the bays planted in that year.",
    "Prices are what was typed for the day of the pick; kilograms without a price earn nothing here.",
    "A margin of bays that were not drawn by lot says what happened, not what would happen elsewhere.",
)
"""What every money figure leaves out, in words."""


@dataclass(frozen=True, slots=True)
class MoneyLineOfGroup:
    """One group's money: lines of income and costs, the margin, its figures by id, what has no price."""

    label: str
    crop: str
    members: tuple[PlantingMoney, ...]
    income: tuple[MoneyLine, ...]
    costs: tuple[MoneyLine, ...]
    margin: GrossMargin
    figures: dict[str, Figure]
    notes: tuple[str, ...]

    @property
    def kg_without_price(self) -> Decimal:
        """Kilograms of picks for which no price is typed."""
        return sum((exact(one.kg_without_price) for one in self.members), Decimal(0))

    @property
    def parts(self) -> tuple[tuple[str, str, Decimal, Decimal], ...]:
        """(“income” or “cost”, what, amount, amount per m²), income first."""
        sides = [("income", line) for line in self.income] + [("cost", line) for line in self.costs]
        area = self.margin.area_m2
        return tuple((side, line.name, line.amount, line.amount / area) for side, line in sides)


@dataclass(frozen=True, slots=True)
class BudgetReport:
    """A partial budget with its four parts, the net change as a figure, and what it leaves out."""

    title: str
    added_returns: tuple[MoneyLine, ...]
    reduced_costs: tuple[MoneyLine, ...]
    added_costs: tuple[MoneyLine, ...]
    lost_returns: tuple[MoneyLine, ...]
    result: PartialBudget
    net_change: Figure
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BreakEven:
    """Price and yield at which the margin is 0, and the margin over a grid of both."""

    price: Figure
    yield_kg_m2: Figure
    grid: tuple[tuple[SensitivityCell, ...], ...]


def money_text(amount: Decimal) -> str:
    """Return an amount as every face shows it: two decimals, half a hundredth up."""
    return words.number(words.round_half_up(float(amount), 2), 2)


def of_group(label: str, crop: str, members: Sequence[PlantingMoney], currency: str) -> MoneyLineOfGroup:
    """Return the money of several plantings together."""
    income, costs = _together([one.income for one in members]), _together([one.costs for one in members])
    area = sum(
        (exact(one.season.bay.length_m) * exact(one.season.bay.width_m) for one in members), Decimal(0)
    )
    kg = sum((exact(pick.kg) for one in members for pick in one.season.picks), Decimal(0))
    margin = budget.gross_margin(income, costs, area_m2=area, yield_kg=kg)
    unpriced = sum(one.kg_without_price for one in members)
    unpaid = sum(one.hours_without_wage for one in members)
    notes = []
    if unpriced:
        notes.append(_("{kg} kg have no price.").format(kg=words.number(unpriced, 1)))
    if unpaid:
        notes.append(_("{n} hours have no wage.").format(n=words.number(unpaid, 1)))
    return MoneyLineOfGroup(
        label, crop, tuple(members), income, costs, margin, figures(margin, costs, currency), tuple(notes)
    )


def _together(parts: Sequence[Sequence[MoneyLine]]) -> tuple[MoneyLine, ...]:
    found: dict[str, Decimal] = {}
    for lines in parts:
        for line in lines:
            found[line.name] = found.get(line.name, Decimal(0)) + line.amount
    return tuple(MoneyLine(name, amount) for name, amount in found.items())


def figures(margin: GrossMargin, costs: Sequence[MoneyLine], currency: str) -> dict[str, Figure]:
    """Return the figures of a gross margin; money in the farm's currency."""
    money = currency or _("money")
    told = ", ".join(f"{_(line.name)} {money_text(line.amount)}" for line in costs)
    inputs = (
        (_("Area"), f"{words.number(float(margin.area_m2), 0)} m² ({_('gross')})"),
        (_("Picked"), f"{words.number(float(margin.yield_kg), 1)} kg"),
        (_("Costs"), told or words.MISSING),
    )
    why = Why(_("Gross margin = income − costs written down."), inputs, MARGIN_SOURCE, "published")
    none = _("No pick is written down.")
    rows: tuple[tuple[str, str, Decimal | None, str], ...] = (
        ("money_income", _("Income"), margin.income, money),
        ("money_costs", _("Costs"), margin.variable_costs, money),
        ("money_margin", _("Gross margin"), margin.margin, money),
        ("money_income_m2", _("Income per m²"), margin.income_per_m2, f"{money}/m²"),
        ("money_cost_m2", _("Cost per m²"), margin.cost_per_m2, f"{money}/m²"),
        ("money_margin_m2", _("Gross margin per m²"), margin.margin_per_m2, f"{money}/m²"),
        ("money_cost_kg", _("Cost per kg"), margin.cost_per_kg, f"{money}/kg"),
        ("money_margin_kg", _("Gross margin per kg"), margin.margin_per_kg, f"{money}/kg"),
    )
    return {
        key: Figure(
            key,
            label,
            None if value is None else float(value),
            unit,
            2,
            why,
            missing=none if value is None else "",
        )
        for key, label, value, unit in rows
    }


def partial(
    title: str,
    currency: str,
    *,
    added_returns: Sequence[MoneyLine] = (),
    reduced_costs: Sequence[MoneyLine] = (),
    added_costs: Sequence[MoneyLine] = (),
    lost_returns: Sequence[MoneyLine] = (),
    notes: Sequence[str] = (),
) -> BudgetReport:
    """Return a partial budget of the lines given.

    Raises:
        ValueError: when an amount is negative or a binary float.
    """
    result = budget.partial_budget(
        added_returns=added_returns,
        reduced_costs=reduced_costs,
        added_costs=added_costs,
        lost_returns=lost_returns,
    )
    net = _net_change(result, currency)
    return BudgetReport(
        title,
        tuple(added_returns),
        tuple(reduced_costs),
        tuple(added_costs),
        tuple(lost_returns),
        result,
        net,
        (*notes, *(_(text) for text in LEFT_OUT)),
    )


def _net_change(result: PartialBudget, currency: str) -> Figure:
    inputs = (
        (_("Added returns"), money_text(result.added_returns)),
        (_("Reduced costs"), money_text(result.reduced_costs)),
        (_("Added costs"), money_text(result.added_costs)),
        (_("Lost returns"), money_text(result.lost_returns)),
    )
    rule = _("(Added returns + reduced costs) − (added costs + lost returns).")
    return Figure(
        "money_net_change",
        _("Net change"),
        float(result.net_change),
        currency or _("money"),
        2,
        Why(rule, inputs, PARTIAL_SOURCE, "published"),
        says=_("the change pays") if result.net_change > 0 else _("the change does not pay"),
    )


def change(now: MoneyLineOfGroup, then: MoneyLineOfGroup, area_m2: Decimal, currency: str) -> BudgetReport:
    """Return what changing *area_m2* from one group to another brings, both at their figures per m²."""

    def scaled(of: MoneyLineOfGroup, lines: Sequence[MoneyLine]) -> list[MoneyLine]:
        name = "{group}: {line}"
        return [
            MoneyLine(
                name.format(group=of.label, line=_(line.name)), line.amount / of.margin.area_m2 * area_m2
            )
            for line in lines
        ]

    bays = [len({one.season.bay.id for one in group.members}) for group in (now, then)]
    notes = [
        _(
            "{area} m² from {first} ({n} bays) to {second} ({m} bays), at what each brought and cost per m²."
        ).format(
            area=words.number(round(area_m2), 0), first=now.label, n=bays[0], second=then.label, m=bays[1]
        ),
        _(
            "The two stood in different bays: part of the difference may be the place. A trial tells them apart."
        ),
    ]
    if min(bays) < 2:
        notes.append(_("One of the two rests on a single bay: take it as a hint, not as knowledge."))
    return partial(
        _("{first} → {second}").format(first=now.label, second=then.label),
        currency,
        added_returns=scaled(then, then.income),
        reduced_costs=scaled(now, now.costs),
        added_costs=scaled(then, then.costs),
        lost_returns=scaled(now, now.income),
        notes=notes,
    )


def break_even(
    cost_per_m2: Decimal, yield_kg_m2: Decimal, price_per_kg: Decimal, cost_per_kg: Decimal, currency: str
) -> BreakEven:
    """Return break-even price and yield, and the margin for prices and yields 30 % below to 30 % above.

    *cost_per_m2* without what rises with each kg; that is *cost_per_kg* (picking, packing, selling).

    Raises:
        ValueError: when an amount is negative, or the yield is 0.
    """
    money = currency or _("money")
    inputs = (
        (_("Cost per m² whatever is picked"), money_text(cost_per_m2)),
        (_("Cost that rises with each kg"), money_text(cost_per_kg)),
        (_("Yield"), f"{money_text(yield_kg_m2)} kg/m²"),
        (_("Price"), money_text(price_per_kg)),
    )
    price = budget.break_even_price(cost_per_m2, yield_kg_m2, cost_per_kg)
    needed = budget.break_even_yield(cost_per_m2, price_per_kg, cost_per_kg)
    steps = [Decimal(percent) / 100 for percent in (70, 85, 100, 115, 130)]
    return BreakEven(
        Figure(
            "money_break_even_price",
            _("Break-even price"),
            float(price),
            f"{money}/kg",
            2,
            Why(_("Cost per m² ÷ yield + cost that rises with each kg."), inputs),
        ),
        Figure(
            "money_break_even_yield",
            _("Break-even yield"),
            None if needed is None else float(needed),
            "kg/m²",
            2,
            Why(_("Cost per m² ÷ (price − cost that rises with each kg)."), inputs),
            missing=""
            if needed is not None
            else _("The price does not even pay for picking: no yield breaks even."),
        ),
        budget.sensitivity_grid(
            [price_per_kg * step for step in steps],
            [yield_kg_m2 * step for step in steps],
            cost_per_m2=cost_per_m2,
            cost_per_kg=cost_per_kg,
        ),
    )


COLUMNS = (
    "money_income_m2", "money_cost_m2", "money_margin_m2", "money_cost_kg", "money_margin_kg", "money_income",
    "money_costs", "money_margin",
)  # fmt: skip
"""The figures of a line in the order in which every face shows them."""
