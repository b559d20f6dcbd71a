"""Figures of the stand: area, density, age, days since the last visit."""

from __future__ import annotations

from datetime import date

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.facts.farm import Bay, Planting
from bayround.figures.figure import Figure, Why
from bayround.words import _

NO_CROP = "No crop stands in this bay."


def figures(past: BayPast, as_of: date) -> dict[str, Figure]:
    """Return area (m²), density (plants/m², stems/m²), age (days, weeks) and days since the last visit."""
    found = density(past.bay, past.planting, past.stand_counts[-1].counted_on if past.stand_counts else None)
    found |= age(past.planting, as_of)
    latest = past.latest
    since = Figure(
        "days_since_visit",
        _("Days since visit"),
        (as_of - latest.day).days if latest else None,
        _("days"),
        0,
        Why(
            _("Days from the last finished visit to the day of looking."),
            _dates(latest.day if latest else None, as_of),
        ),
        missing="" if latest else _("Never visited."),
    )
    found[since.id] = since
    return found


def density(bay: Bay, planting: Planting | None, counted_on: date | None = None) -> dict[str, Figure]:
    """Return area, plants/m² and stems/m² on the gross area of the bay (length × width).

    *counted_on*: the day on which the standing plants were counted, where they were.
    """
    area = bay.area_m2
    sizes = (
        (_("Length"), f"{words.number(bay.length_m, 1)} m"),
        (_("Width"), f"{words.number(bay.width_m, 1)} m"),
    )
    basis = _("gross area of the bay")
    plants = float(planting.plants) if planting else None
    stems = plants * planting.stems_per_plant if planting and plants is not None else None
    counts: tuple[tuple[str, str], ...] = (
        ((_("Plants"), str(planting.plants)), (_("Stems per plant"), str(planting.stems_per_plant)))
        if planting
        else ()
    )
    if counted_on is not None:
        counts += ((_("Standing plants counted on"), words.day(counted_on)),)
    missing = "" if planting else _(NO_CROP)
    return {
        "area_m2": Figure("area_m2", _("Area"), area, "m²", 0, Why(_("Length × width of the bay."), sizes)),
        "plants_per_m2": Figure(
            "plants_per_m2",
            _("Plants per m²"),
            None if plants is None else plants / area,
            _("plants/m²"),
            2,
            Why(_("Plants ÷ {basis}.").format(basis=basis), sizes + counts),
            missing=missing,
        ),
        "stems_per_m2": Figure(
            "stems_per_m2",
            _("Stems per m²"),
            None if stems is None else stems / area,
            _("stems/m²"),
            2,
            Why(_("Plants × stems per plant ÷ {basis}.").format(basis=basis), sizes + counts),
            missing=missing,
        ),
    }


def age(planting: Planting | None, as_of: date) -> dict[str, Figure]:
    """Return the crop's age in days and in weeks after transplanting."""
    days = planting.age_days(as_of) if planting else None
    why = Why(_("Days after transplanting."), _dates(planting.transplanted_on if planting else None, as_of))
    missing = "" if planting else _(NO_CROP)
    return {
        "age_days": Figure("age_days", _("Age"), days, _("days"), 0, why, missing=missing),
        "age_weeks": Figure(
            "age_weeks", _("Age"), None if days is None else days / 7, _("weeks"), 1, why, missing=missing
        ),
    }


def _dates(first: date | None, last: date) -> tuple[tuple[str, str], ...]:
    return ((_("From"), words.day(first)), (_("To"), words.day(last)))
