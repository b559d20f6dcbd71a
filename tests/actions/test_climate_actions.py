"""Days of climate as typed: kept at once, changed only with a history and a reason, never over someone else's."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

import factory
from bayround.actions import climate
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.work import ClimateDay
from bayround.records import read_season, write_setup

TODAY = date(2026, 11, 24)
MOMENT = Moment(TODAY, datetime(2026, 11, 24, 9, tzinfo=UTC))
HOUSE = factory.house()
BAY = factory.bay(HOUSE)
EXAMPLE_6 = {"low_c": 18.0, "high_c": 25.0, "humidity_low_percent": 54.0, "humidity_high_percent": 82.0}
"""Allen et al. 1998, FAO-56, example 6: 0.91 kPa."""


@pytest.fixture
def farm(tmp_path: Path) -> Iterator[OpenFarm]:
    opened = farm_actions.create(tmp_path / "c.bayround", "Climate farm")
    write_setup.add(opened.store, HOUSE, BAY)
    yield opened
    opened.close()


def seen(farm: OpenFarm) -> dict[date, ClimateDay]:
    return {one.day: one.kept for one in climate.read(farm, BAY.id, TODAY).days if one.kept is not None}


def test_a_day_typed_is_kept_with_its_figures(farm: OpenFarm) -> None:
    assert climate.record(farm, HOUSE.id, {TODAY: {**EXAMPLE_6, "light_mol_m2": 14.5}}, {}, MOMENT) == (1, 0)
    shown = climate.read(farm, BAY.id, TODAY)
    assert [one.day for one in shown.days] == [TODAY - timedelta(days=back) for back in range(14)]
    assert shown.days[0].figures["vapour_pressure_deficit_kpa"].text == "0.91"
    assert shown.days[0].figures["light_mol_m2_day"].text == "14.5"
    assert not shown.days[1].figures


def test_a_change_needs_a_reason_and_leaves_a_history(farm: OpenFarm) -> None:
    logged = ClimateDay("c" * 32, HOUSE.id, TODAY, 18.0, 25.0, 54.0, 82.0, 0.88, 14.0)
    write_setup.add(farm.store, logged)
    typed = {TODAY: {**EXAMPLE_6, "high_c": 27.0, "light_mol_m2": 14.0}}
    with pytest.raises(Refused, match="already was changed"):
        climate.record(farm, HOUSE.id, typed, seen(farm), MOMENT, " ")
    assert seen(farm)[TODAY] == logged
    assert climate.record(farm, HOUSE.id, typed, seen(farm), MOMENT, "read again") == (0, 1)
    season = read_season.read_season(farm.store)
    # The logger's own mean rested on the earlier temperature: it goes, and can be read in the history.
    assert {(one.field, one.before, one.after, one.reason) for one in season.corrections} == {
        ("high_c", "25.0", "27.0", "read again"),
        ("vapour_pressure_deficit_kpa", "0.88", "", "read again"),
    }


@pytest.mark.parametrize(
    ("day", "values", "why"),
    [
        (TODAY + timedelta(days=1), EXAMPLE_6, "still to come"),
        (TODAY, {"low_c": 12.0}, "both needed"),
        (TODAY, {"low_c": 12.0, "high_c": 11.0}, "above the highest"),
        (TODAY, {**EXAMPLE_6, "humidity_low_percent": 90.0}, "above the highest"),
        (TODAY, {"low_c": 12.0, "high_c": 22.0, "humidity_low_percent": 50.0}, "or neither"),
        (TODAY, {"low_c": None, "high_c": None}, "Nothing new"),
    ],
)
def test_what_can_not_be_is_refused(
    farm: OpenFarm, day: date, values: dict[str, float | None], why: str
) -> None:
    with pytest.raises(Refused, match=why):
        climate.record(farm, HOUSE.id, {day: values}, {}, MOMENT)
    assert not read_season.read_season(farm.store).climate_days


def test_a_day_that_someone_else_kept_meanwhile_is_not_written_over(farm: OpenFarm) -> None:
    before = seen(farm)
    other = ClimateDay("d" * 32, HOUSE.id, TODAY, 11.0, 21.0)
    write_setup.add(farm.store, other)
    with pytest.raises(Overtaken, match=r"11\.0 to 21\.0"):
        climate.record(farm, HOUSE.id, {TODAY: EXAMPLE_6}, before, MOMENT)
    assert seen(farm) == {TODAY: other}
