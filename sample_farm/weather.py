"""The season's weather, invented: each house's lowest and highest temperature day by day, and the heat in it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, timedelta
from random import Random

from bayround.facts.work import ClimateDay

from .chance import fact_id, half_up, normal, stream
from .scenario import CropPlan, HousePlan, Scenario

HouseWeather = Mapping[date, tuple[float, float]]
"""Day → (lowest, highest) temperature in °C."""


def of_houses(scenario: Scenario, seed: int) -> dict[str, HouseWeather]:
    """Return every house's temperatures from the first transplanting to the last day."""
    first = min(bay.transplanted_on for bay in scenario.bays)
    outside = _outside(scenario, seed, first)
    return {house.name: _inside(house, outside) for house in scenario.houses}


def heat(crop: CropPlan, low_c: float, high_c: float) -> float:
    """Return a day's degree-days: mean of the day's two temperatures, both held between base and upper."""
    kept = [min(max(temperature, crop.base_c), crop.upper_c) for temperature in (low_c, high_c)]
    return sum(kept) / 2 - crop.base_c


def facts(
    scenario: Scenario, seed: int, weather: Mapping[str, HouseWeather], house_ids: Mapping[str, str]
) -> tuple[ClimateDay, ...]:
    """Return the climate records of all houses."""
    found = []
    for house in scenario.houses:
        rng = stream(seed, "damp and light", house.name)
        for day, (low, high) in weather[house.name].items():
            damp_low, damp_high = _humidity(scenario, rng, low, high)
            light = _light(scenario, rng, house, day)
            key = fact_id(seed, day, "climate", house.name, day)
            found.append(
                ClimateDay(
                    key, house_ids[house.name], day, low, high, damp_low, damp_high, light_mol_m2=light
                )
            )
    return tuple(found)


def _humidity(scenario: Scenario, rng: Random, low: float, high: float) -> tuple[float, float]:
    """Return a day's lowest and highest humidity: the vapour of the night, warmed up, and what the crop adds."""
    table = scenario.tables["weather"]
    strays = table["humidity_strays_percent"]
    highest = min(99.0, normal(rng, table["humidity_at_night_percent"], strays))
    warmed = highest * _saturation(low) / _saturation(high)
    lowest = normal(rng, warmed + table["damp_from_crop_percent"], strays)
    return _whole(min(max(lowest, 20.0), highest)), _whole(highest)


def _saturation(temperature_c: float) -> float:
    return math.exp(17.27 * temperature_c / (temperature_c + 237.3))


def _light(scenario: Scenario, rng: Random, house: HousePlan, day: date) -> float | None:
    """Return the light of a day in mol/m², where a sensor hangs."""
    table = scenario.tables["weather"]
    if house.name not in table["light_sensor_in"]:
        return None
    usual = _usual(day, table["months"], table["light_mol_m2"]) * table["light_let_in"]
    return _tenth(usual * min(1.25, max(0.35, normal(rng, 1.0, table["light_strays"]))))


def _whole(value: float) -> float:
    return half_up(value, 1.0)


def _outside(scenario: Scenario, seed: int, first: date) -> dict[date, tuple[float, float]]:
    table = scenario.tables["weather"]
    rng = stream(seed, "weather")
    low_off = high_off = 0.0
    found = {}
    for step in range((scenario.last_day - first).days + 1):
        day = first + timedelta(days=step)
        low_off = table["carried_over"] * low_off + normal(rng, 0.0, table["day_to_day_c"] * 0.6)
        high_off = table["carried_over"] * high_off + normal(rng, 0.0, table["day_to_day_c"])
        low = _usual(day, table["months"], table["low_c"]) + low_off
        high = max(_usual(day, table["months"], table["high_c"]) + high_off, low + 2.0)
        found[day] = (low, high)
    return found


def _usual(day: date, months: list[int], values: list[float]) -> float:
    """Return the usual value of a day, on straight lines between the middles of the months."""
    place = day.month + (day.day - 15) / 30
    for month, value, value_after in zip(months, values, values[1:]):
        if place <= month + 1:
            return value + (place - month) * (value_after - value)
    return values[-1]


def _inside(house: HousePlan, outside: Mapping[date, tuple[float, float]]) -> HouseWeather:
    return {
        day: (_tenth(low + house.warmer_at_night_c), _tenth(high + house.warmer_by_day_c))
        for day, (low, high) in outside.items()
    }


def _tenth(value: float) -> float:
    return round(half_up(value, 0.1), 1)
