"""Degree-days, vapour pressure deficit and daily light.

Degree-days: McMaster & Wilhelm 1997 (Agric. For. Meteorol. 87:291-300) for the two averages; single
triangle as in the University of California method set; single sine of Baskerville & Emin 1969. A
threshold is only valid with the method it was fitted with: keep both together.
Vapour pressure: Allen et al. 1998, FAO Irrigation and Drainage Paper 56, equations 11, 12 and 17.
"""

import math
from collections.abc import Sequence
from enum import StrEnum
from itertools import pairwise

from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import finite_number

__all__ = [
    "DegreeDayMethod",
    "actual_vapour_pressure_kpa",
    "daily_light_integral_mol_m2",
    "daily_vapour_pressure_deficit_kpa",
    "degree_days",
    "is_air",
    "light_integral_of_readings_mol_m2",
    "mean_saturation_vapour_pressure_kpa",
    "saturation_vapour_pressure_kpa",
    "vapour_pressure_deficit_kpa",
]

_COLDEST_C = -50.0
_HOTTEST_C = 80.0


class DegreeDayMethod(StrEnum):
    """How a day's heat above a threshold is worked out from its lowest and highest temperature."""

    SIMPLE = "simple"
    MODIFIED = "modified"
    TRIANGLE = "triangle"
    SINE = "sine"


def is_air(temperature_c: float) -> bool:
    """Tell whether a temperature in °C can be one of air (-50 to 80 °C); these functions refuse any other."""
    return _COLDEST_C <= temperature_c <= _HOTTEST_C


def _require_day(lowest_c: float, highest_c: float) -> None:
    for name, value in (("lowest_c", lowest_c), ("highest_c", highest_c)):
        finite_number(value, name)
        if not is_air(value):
            raise ValueError(f"{name} must be an air temperature in °C, got {value}")
    if lowest_c > highest_c:
        raise ValueError(f"lowest_c ({lowest_c}) must not be above highest_c ({highest_c})")


def _above(threshold_c: float, lowest_c: float, highest_c: float, method: DegreeDayMethod) -> float:
    """Heat above one threshold in one day, in °C·d."""
    mean_c = (lowest_c + highest_c) / 2
    if method is DegreeDayMethod.SIMPLE:
        return max(0.0, mean_c - threshold_c)
    if method is DegreeDayMethod.MODIFIED:
        return (max(lowest_c, threshold_c) + max(highest_c, threshold_c)) / 2 - threshold_c
    if lowest_c >= threshold_c:
        return mean_c - threshold_c
    if highest_c <= threshold_c:
        return 0.0
    if method is DegreeDayMethod.TRIANGLE:
        return (highest_c - threshold_c) ** 2 / (2 * (highest_c - lowest_c))
    half_range_c = (highest_c - lowest_c) / 2
    crossing = math.asin((threshold_c - mean_c) / half_range_c)
    return ((mean_c - threshold_c) * (math.pi / 2 - crossing) + half_range_c * math.cos(crossing)) / math.pi


def degree_days(
    lowest_c: float,
    highest_c: float,
    *,
    base_c: float,
    ceiling_c: float | None = None,
    method: DegreeDayMethod = DegreeDayMethod.SINE,
) -> float:
    """Heat of one day above ``base_c``, in °C·d, cut off level at ``ceiling_c`` when one is given.

    ``lowest_c`` and ``highest_c`` are the day's air temperatures in °C. The level cut-off is the heat
    above the base less the heat above the ceiling (Zalom et al. 1983, University of California
    leaflet 21373, from memory; it reproduces that university's published output).
    Errors: ValueError when a temperature is not one, the lowest is above the highest, or the ceiling
    is not above the base.
    """
    _require_day(lowest_c, highest_c)
    finite_number(base_c, "base_c")
    heat = _above(base_c, lowest_c, highest_c, method)
    if ceiling_c is None:
        return heat
    if finite_number(ceiling_c, "ceiling_c") <= base_c:
        raise ValueError(f"ceiling_c ({ceiling_c}) must be above base_c ({base_c})")
    return heat - _above(ceiling_c, lowest_c, highest_c, method)


def saturation_vapour_pressure_kpa(temperature_c: float) -> float:
    """Vapour pressure of saturated air in kPa at a temperature in °C (FAO-56 equation 11).

    Errors: ValueError when the temperature is not an air temperature (-50 to 80 °C).
    """
    _require_day(temperature_c, temperature_c)
    return 0.6108 * math.exp(17.27 * temperature_c / (temperature_c + 237.3))


def mean_saturation_vapour_pressure_kpa(lowest_c: float, highest_c: float) -> float:
    """Mean saturation vapour pressure of a day in kPa (FAO-56 equation 12).

    The mean of the two pressures, never the pressure at the mean temperature, which is too low.
    Errors: ValueError when the temperatures are impossible.
    """
    _require_day(lowest_c, highest_c)
    return (saturation_vapour_pressure_kpa(lowest_c) + saturation_vapour_pressure_kpa(highest_c)) / 2


def _require_humidity(name: str, value: float) -> None:
    if not 0 <= finite_number(value, name) <= 100:
        raise ValueError(f"{name} must be between 0 and 100 %, got {value}")


def actual_vapour_pressure_kpa(
    lowest_c: float,
    highest_c: float,
    *,
    lowest_humidity_percent: float,
    highest_humidity_percent: float,
) -> float:
    """Vapour pressure of a day's air in kPa (FAO-56 equation 17).

    The highest humidity goes with the lowest temperature. Errors: ValueError on impossible
    temperatures, humidity outside 0 to 100 %, or lowest humidity above highest.
    """
    _require_humidity("lowest_humidity_percent", lowest_humidity_percent)
    _require_humidity("highest_humidity_percent", highest_humidity_percent)
    if lowest_humidity_percent > highest_humidity_percent:
        raise ValueError("lowest_humidity_percent must not be above highest_humidity_percent")
    _require_day(lowest_c, highest_c)
    at_night = saturation_vapour_pressure_kpa(lowest_c) * highest_humidity_percent
    by_day = saturation_vapour_pressure_kpa(highest_c) * lowest_humidity_percent
    return (at_night + by_day) / 200


def daily_vapour_pressure_deficit_kpa(
    lowest_c: float,
    highest_c: float,
    *,
    lowest_humidity_percent: float,
    highest_humidity_percent: float,
) -> float:
    """Mean vapour pressure deficit of a day in kPa: saturation less actual (FAO-56, example 6).

    Errors: ValueError as `actual_vapour_pressure_kpa`.
    """
    return mean_saturation_vapour_pressure_kpa(lowest_c, highest_c) - actual_vapour_pressure_kpa(
        lowest_c,
        highest_c,
        lowest_humidity_percent=lowest_humidity_percent,
        highest_humidity_percent=highest_humidity_percent,
    )


def vapour_pressure_deficit_kpa(temperature_c: float, humidity_percent: float) -> float:
    """Vapour pressure deficit at one moment in kPa, from °C and relative humidity in % (FAO-56 eq. 11).

    Errors: ValueError when the temperature or the humidity is impossible.
    """
    _require_humidity("humidity_percent", humidity_percent)
    return saturation_vapour_pressure_kpa(temperature_c) * (1 - humidity_percent / 100)


def daily_light_integral_mol_m2(light_umol_m2_s: float, hours: float) -> float:
    """Daily light integral in mol/m²/d from photosynthetic light in µmol/m²/s held for some hours.

    light x 3,600 x hours / 1,000,000 (definition). Errors: ValueError on negative light or on hours
    outside 0 to 24.
    """
    not_negative_number(light_umol_m2_s, "light_umol_m2_s")
    if not 0 <= finite_number(hours, "hours") <= 24:
        raise ValueError(f"hours must be between 0 and 24, got {hours}")
    return light_umol_m2_s * 3600 * hours / 1_000_000


def light_integral_of_readings_mol_m2(readings: Sequence[tuple[float, float]]) -> float:
    """Daily light integral in mol/m²/d from readings (hours since midnight, photosynthetic light in µmol/m²/s).

    Trapezoidal rule: light runs straight from reading to reading, and stays as it was before the first and
    after the last one of the day (the readings of a logger reach over the whole day; it is dark then).
    Errors: ValueError on fewer than two readings, negative light, hours outside 0 to 24 or out of order.
    """
    if len(readings) < 2:
        raise ValueError(f"readings must be two at least, got {len(readings)}")
    for hours, light in readings:
        not_negative_number(light, "light")
        if not 0 <= finite_number(hours, "hours") <= 24:
            raise ValueError(f"hours must be between 0 and 24, got {hours}")
    if any(later <= earlier for (earlier, _before), (later, _after) in pairwise(readings)):
        raise ValueError("readings must be in order of their hours, no two at once")
    (first, at_first), (last, at_last) = readings[0], readings[-1]
    between = math.fsum(
        (later - earlier) * (before + after) / 2 for (earlier, before), (later, after) in pairwise(readings)
    )
    return (first * at_first + between + (24 - last) * at_last) * 3600 / 1_000_000
