"""Keep what was foreseen at each visit, and look back on how it turned out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bayround.actions.farm import OpenFarm
from bayround.crops import Crops
from bayround.facts.bay_past import BayPast, VisitRecord, gather
from bayround.facts.ids import new_id
from bayround.facts.kept import Forecast
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.figures import forecast_record, picks
from bayround.figures.figure import Figure
from bayround.figures.forecast_record import BayScores, ScoredForecast
from bayround.records import read_season, write_setup

__all__ = ["BayRecord", "FarmRecord", "ScoredForecast", "keep_all", "of_season", "of_visit", "record"]


@dataclass(frozen=True, slots=True)
class BayRecord:
    """One bay's forecasts against its picks, and their figures one week ahead."""

    bay_id: str
    bay_name: str
    scores: BayScores
    figures: dict[str, Figure]


@dataclass(frozen=True, slots=True)
class FarmRecord:
    """The farm's forecasts against its picks: figures by weeks ahead (1 to 4), and bay by bay."""

    by_weeks_ahead: dict[int, dict[str, Figure]]
    bays: tuple[BayRecord, ...]


def of_visit(past: BayPast, record: VisitRecord, crops: Crops) -> tuple[Forecast, ...]:
    """Return what is foreseen at a visit for the four weeks after its own, as it is kept.

    *past* holds what was known on that day; where fewer than two plants were counted by stage: nothing.
    """
    if past.planting is None:
        return ()
    profile = crops.profile(past.planting.crop)
    foreseen = [one for one in picks.forecast(past, record, profile) if one.week > Week.of(record.day)]
    return tuple(
        Forecast(
            id=new_id(),
            planting_id=past.planting.id,
            made_on=record.day,
            for_week=str(one.week),
            fruit=one.window.fruit,
            fruit_low=one.window.fruit_low,
            fruit_high=one.window.fruit_high,
            kg=one.window.kg,
            kg_low=one.window.kg_low,
            kg_high=one.window.kg_high,
            level=picks.LEVEL,
            bias_factor=one.bias_factor,
            width_factor=one.record.width_factor,
        )
        for one in foreseen
    )


def keep_all(farm: OpenFarm) -> int:
    """Keep a forecast for every past visit that has none, in order; return how many were added.

    Each is made with only what was known on the day of its visit.
    """
    made = of_season(read_season.read_season(farm.store), farm.crops)
    if made:
        write_setup.add(farm.store, *made)
    return len(made)


def of_season(season: SeasonFacts, crops: Crops) -> tuple[Forecast, ...]:
    """Return the forecasts that are missing for the season's finished visits, planting by planting."""
    found: list[Forecast] = []
    for past in _plantings(season):
        found += _missing_forecasts(past, crops)
    return tuple(found)


def record(farm: OpenFarm, today: date) -> FarmRecord:
    """Return how the kept forecasts turned out, over the plantings that stand today."""
    pasts = gather(read_season.read_season(farm.store), today)
    scores = [forecast_record.scores_of(past, today) for past in pasts]
    bays = tuple(
        BayRecord(past.bay.id, f"{past.house.name} · {past.bay.name}", one, forecast_record.figures([one]))
        for past, one in zip(pasts, scores, strict=True)
    )
    ahead = {weeks: forecast_record.figures(scores, weeks) for weeks in forecast_record.WEEKS_AHEAD}
    return FarmRecord(ahead, bays)


def _plantings(season: SeasonFacts) -> Iterable[BayPast]:
    """Return the whole past of every planting that was ever visited, removed ones included."""
    last_visits: dict[str, date] = {}
    for visit in season.visits:
        last_visits[visit.planting_id] = max(visit.visited_on, last_visits.get(visit.planting_id, date.min))
    if not last_visits:
        return
    ends = {
        planting.id: planting.removed_on - timedelta(days=1)
        for planting in season.plantings
        if planting.removed_on is not None and planting.id in last_visits
    }
    newest = max(last_visits.values())
    for day in sorted({newest, *ends.values()}):
        for past in gather(season, day):
            if past.planting is not None and ends.get(past.planting.id, newest) == day:
                yield past


def _missing_forecasts(past: BayPast, crops: Crops) -> list[Forecast]:
    kept = {said.made_on for said in past.forecasts}
    known = list(past.forecasts)
    added: list[Forecast] = []
    for place, seen in enumerate(past.visits):
        if seen.day in kept:
            continue
        then = replace(
            past,
            visits=past.visits[: place + 1],
            picks=tuple(pick for pick in past.picks if pick.picked_on <= seen.day),
            climate_days=tuple(day for day in past.climate_days if day.day <= seen.day),
            forecasts=tuple(said for said in known if said.made_on < seen.day),
        )
        made = of_visit(then, seen, crops)
        known += made
        added += made
    return added
