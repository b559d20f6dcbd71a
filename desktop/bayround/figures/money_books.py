"""What each planting earned and cost: picks at their prices, costs shared out by area and over their life, hours.

Everything in `Decimal`, from hundredths of the farm's currency; nothing is rounded here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from bayround.agronomy.budget import MoneyLine
from bayround.facts.money import Cost, CostKind, Price, WageRate
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Pick
from bayround.figures.season_facts import PlantingSeason

HUNDRED = Decimal(100)
DAYS_A_YEAR = 365.25


@dataclass(slots=True)
class _Book:
    """One planting's money while it is being added up."""

    income: dict[str, Decimal] = field(default_factory=lambda: defaultdict(Decimal))
    costs: dict[CostKind, Decimal] = field(default_factory=lambda: defaultdict(Decimal))
    kg_without_price: float = 0.0
    hours_without_wage: float = 0.0
    labour_from_hours: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class PlantingMoney:
    """What one planting earned and cost. *income* by grade and colour, *costs* by kind."""

    season: PlantingSeason
    income: tuple[MoneyLine, ...]
    costs: tuple[MoneyLine, ...]
    kg_without_price: float
    hours_without_wage: float
    labour_from_hours: Decimal


def books(facts: SeasonFacts, found: Sequence[PlantingSeason], until: date) -> tuple[PlantingMoney, ...]:
    """Return the money of each planting of *found*; costs after *until* are left out."""
    kept = {one.planting.id: _Book() for one in found}
    for one in found:
        _earn(kept[one.planting.id], one, facts.prices)
        _work(kept[one.planting.id], one, facts.wage_rates)
    for cost in facts.costs:
        if cost.spent_on <= until:
            for planting_id, amount in _shares(cost, found):
                kept[planting_id].costs[cost.kind] += amount
    return tuple(
        PlantingMoney(
            season=one,
            income=tuple(MoneyLine(name, amount) for name, amount in sorted(book.income.items())),
            costs=tuple(MoneyLine(kind.value, book.costs[kind]) for kind in CostKind if book.costs[kind]),
            kg_without_price=book.kg_without_price,
            hours_without_wage=book.hours_without_wage,
            labour_from_hours=book.labour_from_hours,
        )
        for one in found
        for book in (kept[one.planting.id],)
    )


def price_of(pick: Pick, crop: str, prices: Iterable[Price]) -> Price | None:
    """Return the price of a pick: grade and colour count before the crop alone; of those the newest by its day."""
    fitting = [
        one
        for one in prices
        if one.crop == crop
        and one.valid_from <= pick.picked_on
        and one.grade in {"", pick.grade}
        and one.colour in {"", pick.colour}
    ]
    return max(
        fitting,
        key=lambda one: (bool(one.grade) + bool(one.colour), bool(one.grade), one.valid_from, one.id),
        default=None,
    )


def _earn(book: _Book, one: PlantingSeason, prices: Sequence[Price]) -> None:
    for pick in one.picks:
        price = price_of(pick, one.planting.crop, prices)
        if price is None:
            book.kg_without_price += pick.kg
            continue
        name = " · ".join(part for part in (pick.grade, pick.colour) if part) or one.planting.crop
        book.income[name] += exact(pick.kg) * price.per_kg_hundredths / HUNDRED


def _work(book: _Book, one: PlantingSeason, wages: Sequence[WageRate]) -> None:
    for day, hours in one.hours:
        known = [rate for rate in wages if rate.valid_from <= day]
        if not known:
            book.hours_without_wage += hours
            continue
        rate = max(known, key=lambda each: (each.valid_from, each.id))
        amount = exact(hours) * rate.per_hour_hundredths / HUNDRED
        book.costs[CostKind.LABOUR] += amount
        book.labour_from_hours += amount


def exact(value: float) -> Decimal:
    """Return a number as it was typed, not as binary floats hold it."""
    return Decimal(repr(value))


def _shares(cost: Cost, found: Sequence[PlantingSeason]) -> list[tuple[str, Decimal]]:
    """Return (planting id, share) of a cost; a cost with a life is spread over it, day by day."""
    amount = Decimal(cost.amount_hundredths) / HUNDRED
    concerned = [
        one
        for one in found
        if (cost.bay_id is None or one.bay.id == cost.bay_id)
        and (cost.house_id is None or one.house.id == cost.house_id)
    ]
    by_bay: dict[str, list[PlantingSeason]] = defaultdict(list)
    for one in concerned:
        by_bay[one.bay.id].append(one)
    area = sum((_area(each[0]) for each in by_bay.values()), Decimal(0))
    if not area:
        return []
    if cost.life_years is None:
        bearers = _bearers(list(by_bay.values()), cost.spent_on)
        borne = sum((_area(one) for one in bearers), Decimal(0))
        return [(one.planting.id, amount * _area(one) / borne) for one in bearers]
    ends = cost.spent_on + timedelta(days=max(round(DAYS_A_YEAR * cost.life_years), 1))
    a_day = amount / (ends - cost.spent_on).days
    return [
        (one.planting.id, a_day * _days_in_life(one, cost.spent_on, ends) * _area(one) / area)
        for one in concerned
    ]


def _area(one: PlantingSeason) -> Decimal:
    return exact(one.bay.length_m) * exact(one.bay.width_m)


def _bearers(bays: Sequence[Sequence[PlantingSeason]], day: date) -> list[PlantingSeason]:
    """Return who bears a cost: of each bay the planting that stands, else the next, else the last one of that year.

    A bay that was not planted in that year bears nothing, unless none was: then the nearest of each bay.
    """
    nearest = [_nearest(each, day) for each in bays]
    own_year = [one for one in nearest if one.planting.stands_on(day) or _touches(one, day.year)]
    return own_year or nearest


def _nearest(in_bay: Sequence[PlantingSeason], day: date) -> PlantingSeason:
    ordered = sorted(in_bay, key=lambda one: one.planting.transplanted_on)
    for one in ordered:
        if one.planting.stands_on(day) or one.planting.transplanted_on > day:
            return one
    return ordered[-1]


def _touches(one: PlantingSeason, year: int) -> bool:
    """Tell whether the crop stood at some time in a year."""
    ended = one.planting.removed_on
    return one.planting.transplanted_on.year <= year and (ended is None or ended.year >= year)


def _days_in_life(one: PlantingSeason, begins: date, ends: date) -> int:
    begun = max(one.planting.transplanted_on, begins)
    return max((min(one.last_day, ends) - begun).days, 0)
