"""All figures of one bay, family after family."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.figures import families, picks, picks_done
from bayround.figures.figure import Figure

ALWAYS = frozenset(
    {
        "area_m2",
        "plants_per_m2",
        "stems_per_m2",
        "age_days",
        "age_weeks",
        "days_since_visit",
        "picked_kg_week",
        "picked_kg",
        "picked_kg_m2",
        "heat_cd",
        "heat_per_day_cd",
        "vapour_pressure_deficit_kpa",
        "light_mol_m2_day",
        *picks_done.ALWAYS,
    }
)
"""Figures that need no visit in the week."""


def all_figures(past: BayPast, crops: Crops, as_of: date, *, coming: bool = True) -> dict[str, Figure]:
    """Return every figure of a bay from its newest visit; missing ones say why.

    Without *coming* heat, pests over time and the picks ahead are left out (they cost most, and earlier
    weeks need none).
    """
    found = families.of_visit(past, crops, as_of)
    found |= picks.picked(past, as_of)
    found |= picks_done.done(past, as_of)
    if coming:
        found |= families.over_time(past, crops, as_of, lately=True)
        found |= picks.coming(past, crops.profile(past.planting.crop) if past.planting else None)
    return found


def of_week(found: dict[str, Figure], visited: bool, reason: str) -> dict[str, Figure]:
    """Return the figures of a week: those that need a visit are missing when there was none."""
    if visited:
        return found
    return {
        figure_id: figure if figure_id in ALWAYS or figure.value is None else figure.without(reason)
        for figure_id, figure in found.items()
    }


def of_visit_on(found: dict[str, Figure], day: date) -> dict[str, Figure]:
    """Return figures that come from an older visit with its day; those that need no visit stay."""
    return {
        figure_id: figure if figure_id in ALWAYS or figure.value is None else replace(figure, visited_on=day)
        for figure_id, figure in found.items()
    }
