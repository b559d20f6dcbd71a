"""Costs, prices and the wage are written down; budgets, break-even and “what if” are reckoned, and nothing of them kept."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal, InvalidOperation

from bayround import words
from bayround.actions import season as season_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.actions.season import SeasonBook
from bayround.agronomy.budget import MoneyLine
from bayround.facts.ids import new_id
from bayround.facts.money import Cost, CostKind, Price, WageRate
from bayround.facts.problems import Refused
from bayround.figures import money
from bayround.figures.money import BreakEven, BudgetReport, MoneyLineOfGroup
from bayround.figures.season import GroupBy
from bayround.records import read_season, write_setup
from bayround.words import _

LEFT_OUT = money.LEFT_OUT


@dataclass(frozen=True, slots=True)
class TypedBudget:
    """A partial budget typed line by line: (what, amount as typed)."""

    title: str
    added_returns: tuple[tuple[str, str], ...] = ()
    reduced_costs: tuple[tuple[str, str], ...] = ()
    added_costs: tuple[tuple[str, str], ...] = ()
    lost_returns: tuple[tuple[str, str], ...] = ()


def amount(text: str) -> Decimal:
    """Read an amount; `18.25 * 10.00` multiplies (hours and wage), a comma may be the decimal mark.

    Raises:
        Refused: when it is no amount of 0 or more.
    """
    product = Decimal(1)
    for part in text.replace("×", "*").split("*"):
        try:
            factor = Decimal(part.strip().replace(",", "."))
        except InvalidOperation:
            factor = Decimal("NaN")
        if not factor.is_finite() or factor < 0:
            raise Refused(_("“{text}” is no amount of money.").format(text=text.strip()))
        product *= factor
    return product


def typed_lines(text: str) -> tuple[tuple[str, str], ...]:
    """Read lines of “what; amount” (a tab does as well); empty lines are left out.

    Raises:
        Refused: when a line has no amount; it is shown.
    """
    found = []
    for line in text.splitlines():
        if not line.strip():
            continue
        what, mark, typed = line.replace("\t", ";").rpartition(";")
        if not mark or not what.strip():
            raise Refused(
                _("“{text}” is not a line of what and amount.").format(text=line.strip()),
                to_do=_("Write it like: labour; 2.8 * 10.00"),
            )
        amount(typed)
        found.append((what.strip(), typed.strip()))
    return tuple(found)


def hundredths(text: str) -> int:
    """Read an amount as whole hundredths.

    Raises:
        Refused: when it has more than two decimals or is no amount.
    """
    value = amount(text) * 100
    if value != value.to_integral_value() or value >= 10**15:
        raise Refused(_("“{text}” is no amount with two decimals.").format(text=text.strip()))
    return int(value)


def add_cost(
    farm: OpenFarm,
    spent_on: date,
    kind: CostKind,
    what: str,
    amount_hundredths: int,
    *,
    bay_id: str | None = None,
    house_id: str | None = None,
    life_years: float | None = None,
    note: str = "",
) -> Cost:
    """Write down money spent on a bay, a house or (neither) the farm.

    Raises:
        Refused: without words for what it was, or with an amount or a life of nothing.
    """
    if not what.strip():
        raise Refused(_("Say what the money was spent on."))
    if amount_hundredths <= 0:
        raise Refused(_("A cost is more than 0."))
    if life_years is not None and not 0 < life_years <= 100:
        raise Refused(_("A life lies above 0 and up to 100 years."))
    cost = Cost(
        new_id(), spent_on, kind, what.strip(), amount_hundredths, bay_id, house_id, life_years, note.strip()
    )
    write_setup.add(farm.store, cost)
    return cost


def add_price(
    farm: OpenFarm, valid_from: date, crop: str, per_kg_hundredths: int, grade: str = "", colour: str = ""
) -> Price:
    """Write down what a kilogram fetches from a day on; earlier picks keep their earlier price.

    Raises:
        Refused: when a price of the same kind holds from that day already.
    """
    price = Price(new_id(), valid_from, crop, per_kg_hundredths, grade.strip(), colour.strip())
    known = read_season.read_season(farm.store).prices
    if any(_of_same_kind(one, price) for one in known):
        raise Refused(
            _("A price from {day} on is there already.").format(day=words.day(valid_from)),
            to_do=_("Correct that one, or give another day."),
        )
    write_setup.add(farm.store, price)
    return price


def set_wage(farm: OpenFarm, valid_from: date, per_hour_hundredths: int) -> WageRate:
    """Write down what an hour costs from a day on.

    Raises:
        Refused: when a wage holds from that day already.
    """
    if any(one.valid_from == valid_from for one in read_season.read_season(farm.store).wage_rates):
        raise Refused(
            _("A wage from {day} on is there already.").format(day=words.day(valid_from)),
            to_do=_("Correct that one, or give another day."),
        )
    wage = WageRate(new_id(), valid_from, per_hour_hundredths)
    write_setup.add(farm.store, wage)
    return wage


def correct(farm: OpenFarm, entry: Cost | Price | WageRate, moment: Moment, reason: str) -> int:
    """Write a cost, price or wage anew; return how many fields changed. What stood before stays in the history.

    A cost that was none is corrected to 0.

    Raises:
        Refused: without a reason, or with an amount below 0.
    """
    if not reason.strip():
        raise Refused(_("A correction needs a reason."), _("Nothing was changed."))
    if amount_of(entry) < 0:
        raise Refused(_("An amount is not below 0."), _("Nothing was changed."))
    changes = write_setup.change(farm.store, entry, moment.person_id, moment.now, reason.strip())
    return len(changes)


def amount_of(entry: Cost | Price | WageRate) -> int:
    """Return the amount of an entry in hundredths."""
    if isinstance(entry, Cost):
        return entry.amount_hundredths
    return entry.per_kg_hundredths if isinstance(entry, Price) else entry.per_hour_hundredths


def with_amount(entry: Cost | Price | WageRate, hundredths_now: int) -> Cost | Price | WageRate:
    """Return an entry with another amount."""
    if isinstance(entry, Cost):
        return replace(entry, amount_hundredths=hundredths_now)
    if isinstance(entry, Price):
        return replace(entry, per_kg_hundredths=hundredths_now)
    return replace(entry, per_hour_hundredths=hundredths_now)


def _of_same_kind(one: Price, other: Price) -> bool:
    return (one.valid_from, one.crop, one.grade, one.colour) == (
        other.valid_from,
        other.crop,
        other.grade,
        other.colour,
    )


def partial_budget(typed: TypedBudget, currency: str) -> BudgetReport:
    """Return a partial budget of typed lines.

    Raises:
        Refused: when a line is no amount.
    """

    def read(lines: Sequence[tuple[str, str]]) -> list[MoneyLine]:
        return [MoneyLine(what, amount(text)) for what, text in lines]

    return money.partial(
        typed.title,
        currency,
        added_returns=read(typed.added_returns),
        reduced_costs=read(typed.reduced_costs),
        added_costs=read(typed.added_costs),
        lost_returns=read(typed.lost_returns),
    )


def change_bays(
    book: SeasonBook, bay_ids: Collection[str], to_label: str, to_crop: str, by: GroupBy
) -> BudgetReport:
    """Return what it brings to change bays into another group (variety, kind of house), at its figures per m².

    Raises:
        Refused: when no bay is chosen, the group is not there, or a bay is in it already.
    """
    chosen = [one for one in book.money if one.season.bay.id in bay_ids]
    if not chosen:
        raise Refused(_("Choose the bays that change."))
    lines = season_actions.money_lines(book, by)
    then = next((one for one in lines if (one.label, one.crop) == (to_label, to_crop)), None)
    if then is None:
        raise Refused(_("Nothing is known of “{name}” this season.").format(name=to_label))
    if {one.season.planting.id for one in chosen} & {one.season.planting.id for one in then.members}:
        raise Refused(_("One of these bays is “{name}” already.").format(name=to_label))
    names = ", ".join(one.season.bay.name for one in chosen)
    now = money.of_group(names, chosen[0].season.planting.crop, chosen, book.currency)
    return money.change(now, then, now.margin.area_m2, book.currency)


def break_even_of(line: MoneyLineOfGroup, currency: str, cost_per_kg: Decimal = Decimal(0)) -> BreakEven:
    """Return break-even and the grid of a group at its own yield and the mean price of what has a price.

    *cost_per_kg* is what rises with each kg (picking, packing); it is taken out of the costs per m².

    Raises:
        Refused: when nothing was picked, or more is said to rise with each kg than was spent.
    """
    margin = line.margin
    if not margin.yield_kg or not margin.income:
        raise Refused(_("“{name}” has no picks with a price.").format(name=line.label))
    fixed = margin.cost_per_m2 - cost_per_kg * margin.yield_kg_per_m2
    if fixed < 0:
        raise Refused(_("More is said to rise with each kg than was spent in all."))
    priced = margin.yield_kg - line.kg_without_price
    return money.break_even(fixed, margin.yield_kg_per_m2, margin.income / priced, cost_per_kg, currency)


def break_even_typed(
    cost_per_m2: str, yield_kg_m2: str, price_per_kg: str, cost_per_kg: str, currency: str
) -> BreakEven:
    """Return break-even and the grid of typed numbers.

    Raises:
        Refused: when one is no amount, or the yield is 0.
    """
    yields = amount(yield_kg_m2)
    if not yields:
        raise Refused(_("The yield is more than 0."))
    return money.break_even(amount(cost_per_m2), yields, amount(price_per_kg), amount(cost_per_kg), currency)
