"""The season looked back on: by bay, variety, kind of house and year, over weeks, and in money."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bayround.actions.farm import OpenFarm
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.figures import money, money_books, season, season_curves, season_facts
from bayround.figures.money import MoneyLineOfGroup
from bayround.figures.money_books import PlantingMoney
from bayround.figures.season import GroupBy, SeasonLine
from bayround.figures.season_curves import Curve
from bayround.figures.season_facts import PlantingSeason
from bayround.records import read_season
from bayround.words import _

__all__ = ["SeasonBook", "curves", "lines", "money_lines", "of_facts", "read", "year_lines"]


@dataclass(frozen=True, slots=True)
class SeasonBook:
    """Everything a season is looked at with. *plantings* are those of *year*, *every* all years'.

    *years* newest first; *crops* maps crop keys to names; *pests* are the organisms found, by key, with names.
    """

    facts: SeasonFacts
    today: date
    year: int
    years: tuple[int, ...]
    plantings: tuple[PlantingSeason, ...]
    every: tuple[PlantingSeason, ...]
    pasts: Mapping[str, BayPast]
    money: tuple[PlantingMoney, ...]
    crops: Mapping[str, str]
    pests: Mapping[str, str]

    @property
    def currency(self) -> str:
        """The farm's own currency."""
        return self.facts.farm.currency


def read(farm: OpenFarm, today: date, year: int | None = None) -> SeasonBook:
    """Return the season of a year of transplanting (without one: the newest).

    Raises:
        Refused: when nothing was planted by *today*, or not in *year*.
    """
    return of_facts(read_season.read_season(farm.store), farm, today, year)


def of_facts(facts: SeasonFacts, farm: OpenFarm, today: date, year: int | None = None) -> SeasonBook:
    """Return the season of facts that are read already; refuses as `read`."""
    every = season_facts.plantings(facts, today)
    years = tuple(sorted({one.planting.transplanted_on.year for one in every}, reverse=True))
    if not years:
        raise Refused(_("Nothing is planted yet."), to_do=_("Enter the plantings under Farm."))
    chosen = years[0] if year is None else year
    if chosen not in years:
        raise Refused(
            _("Nothing was planted in {year}.").format(year=chosen),
            to_do=_("There is something of: {years}.").format(years=", ".join(str(one) for one in years)),
        )
    found = tuple(one for one in every if one.planting.transplanted_on.year == chosen)
    pasts = _pasts(facts, found)
    seen = season_curves.pests_seen(tuple(pasts.values()))
    names = farm.crops.organisms
    return SeasonBook(
        facts=facts,
        today=today,
        year=chosen,
        years=years,
        plantings=found,
        every=every,
        pasts=pasts,
        money=tuple(
            one
            for one in money_books.books(facts, every, today)
            if one.season.planting.transplanted_on.year == chosen
        ),
        crops={one.planting.crop: _(farm.crops.profile(one.planting.crop).name) for one in every},
        pests={key: _(names[key].name) if key in names else key for key in seen},
    )


def lines(book: SeasonBook, by: GroupBy) -> tuple[SeasonLine, ...]:
    """Return the season's lines, one a group."""
    return season.group(book.plantings, by)


def year_lines(book: SeasonBook) -> tuple[tuple[SeasonLine, ...], Mapping[str, int]]:
    """Return a line for each year and crop, up to an age all its years reached, and that age by crop."""
    ages = season.common_ages(book.every)
    return season.group(season_facts.plantings(book.facts, book.today, ages), GroupBy.YEAR), ages


def curves(book: SeasonBook, measure: str, by: GroupBy) -> tuple[Curve, ...]:
    """Return one measure over weeks after transplanting; years are drawn from all plantings."""
    name = book.pests.get(measure.removeprefix(season_curves.PEST), "")
    if by is GroupBy.YEAR:
        pasts = _pasts(book.facts, book.every)
        return season_curves.curves(book.every, pasts, measure, by, name)
    return season_curves.curves(book.plantings, book.pasts, measure, by, name)


def money_lines(book: SeasonBook, by: GroupBy) -> tuple[MoneyLineOfGroup, ...]:
    """Return the money of each group."""
    groups: dict[tuple[str, str], list[PlantingMoney]] = {}
    for one in book.money:
        groups.setdefault((one.season.planting.crop, season.label_of(one.season, by)), []).append(one)
    return tuple(
        money.of_group(label, crop, members, book.currency) for (crop, label), members in groups.items()
    )


def _pasts(facts: SeasonFacts, found: tuple[PlantingSeason, ...]) -> dict[str, BayPast]:
    """Return planting id → its bay as known on the planting's last day."""
    days: dict[date, set[str]] = {}
    for one in found:
        removed = one.planting.removed_on
        last = one.last_day - timedelta(days=1) if removed == one.last_day else one.last_day
        days.setdefault(last, set()).add(one.planting.id)
    pasts = {}
    for day, wanted in days.items():
        for past in gather(facts, day):
            if past.planting is not None and past.planting.id in wanted:
                pasts[past.planting.id] = past
    return pasts
