"""What is written down of money, newest first: costs, prices, wages, each with what it was before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.actions.farm import OpenFarm
from bayround.actions.money import amount_of
from bayround.actions.picks import USUAL_GRADES
from bayround.facts.farm import ColourAim
from bayround.facts.money import Cost, Price, WageRate
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.work import Correction
from bayround.figures.money import money_text
from bayround.figures.money_books import HUNDRED, exact
from bayround.words import _


@dataclass(frozen=True, slots=True)
class MoneyEntry:
    """One cost, price or wage in words. *history* says what stood before, who changed it and why, newest first."""

    entry: Cost | Price | WageRate
    day: date
    kind: str
    what: str
    concerns: str
    amount: str
    history: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MoneyBook:
    """Everything written down, and what a new entry may concern: (id, name) of houses, bays, crops, grades."""

    entries: tuple[MoneyEntry, ...]
    houses: tuple[tuple[str, str], ...]
    bays: tuple[tuple[str, str], ...]
    crops: tuple[tuple[str, str], ...]
    grades: tuple[str, ...]
    colours: tuple[str, ...]
    currency: str


def of_facts(facts: SeasonFacts, farm: OpenFarm) -> MoneyBook:
    """Return what is written down in facts that are read already."""
    houses = {house.id: house.name for house in facts.houses}
    bays = {bay.id: f"{houses[bay.house_id]} · {bay.name}" for bay in walk_order(facts.houses, facts.bays)}
    crops = {one.crop: _(farm.crops.profile(one.crop).name) for one in facts.plantings}
    names = {**{key: _("house {name}").format(name=name) for key, name in houses.items()}, **bays}
    written: list[Cost | Price | WageRate] = [*facts.costs, *facts.prices, *facts.wage_rates]
    found = [
        MoneyEntry(
            entry=entry,
            day=entry.spent_on if isinstance(entry, Cost) else entry.valid_from,
            kind=_kind(entry),
            what=_what(entry, crops),
            concerns=_concerns(entry, names),
            amount=money_text(exact(amount_of(entry)) / HUNDRED),
            history=_history(entry.id, facts),
        )
        for entry in written
    ]
    return MoneyBook(
        entries=tuple(sorted(found, key=lambda one: (one.day, one.entry.id), reverse=True)),
        houses=tuple(houses.items()),
        bays=tuple(bays.items()),
        crops=tuple(crops.items()),
        grades=tuple(
            dict.fromkeys([*USUAL_GRADES, *sorted(pick.grade for pick in facts.picks if pick.grade)])
        ),
        colours=tuple(
            sorted({pick.colour for pick in facts.picks if pick.colour} | {aim.value for aim in ColourAim})
        ),
        currency=facts.farm.currency,
    )


def _kind(entry: Cost | Price | WageRate) -> str:
    if isinstance(entry, Cost):
        return _("cost: {kind}").format(kind=_(entry.kind.value))
    return _("price of a kg from then on") if isinstance(entry, Price) else _("wage of an hour from then on")


def _what(entry: Cost | Price | WageRate, crops: dict[str, str]) -> str:
    if isinstance(entry, WageRate):
        return ""
    if isinstance(entry, Price):
        parts = (crops.get(entry.crop, entry.crop), _(entry.grade) if entry.grade else "", entry.colour)
        return " · ".join(part for part in parts if part)
    if entry.life_years is None:
        return entry.what
    years = words.number(entry.life_years, 0 if entry.life_years == int(entry.life_years) else 1)
    return _("{what}, spread over {years} years").format(what=entry.what, years=years)


def _concerns(entry: Cost | Price | WageRate, names: dict[str, str]) -> str:
    if not isinstance(entry, Cost):
        return ""
    place = entry.bay_id or entry.house_id
    return names.get(place, "?") if place else _("the whole farm")


def _history(row_id: str, facts: SeasonFacts) -> tuple[str, ...]:
    own = [one for one in facts.corrections if one.row_id == row_id]
    people = {person.id: person.name for person in facts.people}
    return tuple(
        _told(one, people.get(one.person_id or "", _("somebody")))
        for one in sorted(own, key=lambda one: (one.corrected_at, one.id), reverse=True)
    )


def _told(one: Correction, who: str) -> str:
    before = money_text(exact(int(one.before)) / HUNDRED) if one.field.endswith("_hundredths") else one.before
    return _("until {moment} it was {before}; {who}: {reason}").format(
        moment=words.moment(one.corrected_at), before=before, who=who, reason=one.reason
    )
