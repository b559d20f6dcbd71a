"""Forecasts are kept when a visit is finished, each with only what was known then, and scored later."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import forecasts, rounds, setup
from bayround.actions.farm import OpenFarm
from bayround.facts.farm import MarkedPlant
from bayround.facts.ids import new_id
from bayround.facts.kept import Forecast
from bayround.facts.weeks import Week
from bayround.facts.work import ClimateDay, Pick
from bayround.records import read_season, write_setup

NOW = datetime(2026, 10, 14, 12, tzinfo=UTC)
STAGES = {"flowers": 4.0, "fruit_set": 5.0, "fruit_green": 3.0, "fruit_turning": 2.0, "fruit_coloured": 1.0}


@pytest.fixture
def walked(tmp_path: Path) -> Iterator[tuple[OpenFarm, list[MarkedPlant]]]:
    """A farm of one bay with ten marked plants, temperatures and picks; three weekly rounds finished in the window's way."""
    opened = farm_actions.create(tmp_path / "walked.bayround", "Walked farm")
    scout, house = factory.person(), factory.house()
    bay = factory.bay(house)
    planting = factory.planting(bay)
    marked = list(factory.plants(planting))
    climate = [
        ClimateDay(new_id(), house.id, factory.FIRST_ROUND - timedelta(days=day), 14.0, 26.0)
        for day in range(1, 21)
    ]
    write_setup.add(opened.store, scout, house, bay, planting, *marked, *climate)
    for week in range(3):
        day = factory.FIRST_ROUND + timedelta(weeks=week)
        begun = rounds.start_round(opened, day, scout.id)
        visit = rounds.open_visit(opened, begun.id, bay.id, NOW).visit
        cells = [
            (plant.id, field, value + place % 3)
            for place, plant in enumerate(marked)
            for field, value in STAGES.items()
        ]
        rounds.save_cells(opened, visit.id, cells)
        rounds.finish(opened, visit.id, NOW)
        pick = Pick(new_id(), bay.id, planting.id, day + timedelta(days=3), 120.0 + 10 * week)
        write_setup.add(opened.store, pick)
    yield opened, marked
    opened.close()


def kept_by(farm: OpenFarm) -> list[Forecast]:
    found = read_season.read_season(farm.store).forecasts
    return sorted(found, key=lambda said: (said.made_on, said.for_week))


def test_finishing_a_visit_keeps_four_weeks(walked: tuple[OpenFarm, list[MarkedPlant]]) -> None:
    farm, _marked = walked
    kept = kept_by(farm)
    assert len(kept) == 12
    first = [said for said in kept if said.made_on == factory.FIRST_ROUND]
    assert [said.for_week for said in first] == [
        str(Week.of(factory.FIRST_ROUND).plus(step)) for step in (1, 2, 3, 4)
    ]
    assert all(said.kg_low < said.kg < said.kg_high for said in kept)


def test_finishing_twice_keeps_nothing_twice(walked: tuple[OpenFarm, list[MarkedPlant]]) -> None:
    farm, _marked = walked
    visit = read_season.read_season(farm.store).visits[0]
    rounds.finish(farm, visit.id, NOW)
    assert len(kept_by(farm)) == 12


def test_filling_up_the_past_says_what_was_said_then(
    walked: tuple[OpenFarm, list[MarkedPlant]], tmp_path: Path
) -> None:
    """A file without forecasts gets the very numbers that were kept as each visit was finished."""
    farm, _marked = walked
    season = read_season.read_season(farm.store)
    said = kept_by(farm)
    made = forecasts.of_season(replace(season, forecasts=()), farm.crops)
    again = sorted(made, key=lambda one: (one.made_on, one.for_week))
    assert [replace(one, id="") for one in again] == [replace(one, id="") for one in said]
    assert forecasts.keep_all(farm) == 0


def test_what_came_later_changes_no_earlier_forecast(walked: tuple[OpenFarm, list[MarkedPlant]]) -> None:
    farm, _marked = walked
    season = read_season.read_season(farm.store)
    bay = season.bays[0]
    late = Pick(
        new_id(), bay.id, season.plantings[0].id, factory.FIRST_ROUND + timedelta(weeks=2, days=4), 9999.0
    )
    hot = tuple(
        ClimateDay(
            new_id(), season.houses[0].id, factory.FIRST_ROUND + timedelta(weeks=2, days=day), 30.0, 40.0
        )
        for day in range(10)
    )
    changed = replace(
        season, forecasts=(), picks=(*season.picks, late), climate_days=(*season.climate_days, *hot)
    )
    before = {
        (one.made_on, one.for_week): one.kg
        for one in forecasts.of_season(replace(season, forecasts=()), farm.crops)
    }
    after = {(one.made_on, one.for_week): one.kg for one in forecasts.of_season(changed, farm.crops)}
    assert after == before


def test_the_record_of_the_farm(walked: tuple[OpenFarm, list[MarkedPlant]]) -> None:
    farm, _marked = walked
    today = Week.of(factory.FIRST_ROUND).plus(3).monday
    found = forecasts.record(farm, today)
    figure = found.by_weeks_ahead[1]["forecast_coverage_percent"]
    assert figure.n == 2  # made in weeks 1 and 2 for the two weeks that are over
    assert found.bays[0].figures["forecast_coverage_percent"].n == 2
    foreseen = {said.for_week: said.kg for said in kept_by(farm) if said.made_on == factory.FIRST_ROUND}
    scored = found.bays[0].scores.ahead(1)[0]
    assert scored.said.kg == foreseen[str(scored.week)]
    assert scored.picked_kg == 130.0


def test_a_removed_planting_keeps_its_forecasts_too(walked: tuple[OpenFarm, list[MarkedPlant]]) -> None:
    farm, _marked = walked
    season = read_season.read_season(farm.store)
    removed = factory.FIRST_ROUND + timedelta(weeks=2, days=3)
    setup.end_planting(farm, season.plantings[0], removed, None, NOW)
    season = read_season.read_season(farm.store)
    assert len(forecasts.of_season(replace(season, forecasts=()), farm.crops)) == 12
