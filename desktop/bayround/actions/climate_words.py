"""A day of climate in words, and what of it a new record would change."""

from __future__ import annotations

from collections.abc import Mapping

from bayround import words
from bayround.facts.work import ClimateDay
from bayround.words import _

MEASURED = ("low_c", "high_c", "humidity_low_percent", "humidity_high_percent")
"""What the vapour pressure deficit of a day rests on."""


def told(values: Mapping[str, float | None]) -> str:
    """Return what is known of a day, ``12.5 to 27.0 °C · 55 to 90 % · 14.2 mol/m²``."""
    parts = []
    for low_name, high_name, decimals, unit in (
        ("low_c", "high_c", 1, "°C"),
        ("humidity_low_percent", "humidity_high_percent", 0, "%"),
    ):
        low, high = values.get(low_name), values.get(high_name)
        if low is not None and high is not None:
            both = _("{low} to {high}").format(
                low=words.number(low, decimals), high=words.number(high, decimals)
            )
            parts.append(f"{both} {unit}")
    if (light := values.get("light_mol_m2")) is not None:
        parts.append(f"{words.number(light, 1)} mol/m²")
    return " · ".join(parts) or words.MISSING


def changed(there: ClimateDay, values: Mapping[str, float | None]) -> dict[str, float | None]:
    """Return what new values change of a day that is kept: field → value.

    A mean vapour pressure deficit kept from a logger goes when what it rests on changes and no new one comes.
    """
    found = {name: value for name, value in values.items() if getattr(there, name) != value}
    deficit = "vapour_pressure_deficit_kpa"
    if (
        deficit not in values
        and there.vapour_pressure_deficit_kpa is not None
        and found.keys() & set(MEASURED)
    ):
        found[deficit] = None
    return found
