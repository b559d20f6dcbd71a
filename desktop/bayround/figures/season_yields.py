"""What a season brought: kilograms, fruit and grades per m² and plant, when picking began, how it went on."""

from __future__ import annotations

from collections.abc import Sequence

from bayround import words
from bayround.agronomy import sampling
from bayround.figures.figure import Figure, Why
from bayround.figures.season_facts import PlantingSeason
from bayround.words import _

Inputs = tuple[tuple[str, str], ...]


def figures(members: Sequence[PlantingSeason], area: float, plants: int, inputs: Inputs) -> list[Figure]:
    """Return what a group of plantings brought; *area* in m² (gross), *inputs* go into every “why”."""
    return [
        *_yields(members, area, plants, inputs),
        *_grades(members, area, inputs),
        _first_pick(members, inputs),
        _half_picked(members, inputs),
    ]


def _yields(members: Sequence[PlantingSeason], area: float, plants: int, inputs: Inputs) -> list[Figure]:
    kg = sum(one.kg for one in members)
    rule = _("Kilograms written down ÷ gross area. The interval says how bays of the group differ.")
    low, high = _between_bays(members)
    nothing = "" if kg else _("No pick is written down.")
    return [
        _area(area, len(members), inputs),
        Figure("season_kg", _("Picked"), kg, "kg", 0, Why(_("Kilograms written down."), inputs)),
        Figure(
            "season_kg_m2",
            _("Picked per m²"),
            kg / area if kg else None,
            "kg/m²",
            2,
            Why(rule, inputs, "Cochran 1977, Sampling Techniques, 3rd ed., ch. 6 (ratio)", "memory"),
            low,
            high,
            n=len(members),
            n_of="plantings",
            missing=nothing,
        ),
        Figure(
            "season_kg_plant",
            _("Picked per plant"),
            kg / plants if kg and plants else None,
            "kg/plant",
            2,
            Why(_("Kilograms written down ÷ plants planted."), inputs),
            missing=nothing,
        ),
        *_fruit(members, area, plants, kg, inputs),
    ]


def _area(area: float, plantings: int, inputs: Inputs) -> Figure:
    why = Why(_("Sum of the bays, once for each planting: a bay planted twice counts twice."), inputs)
    return Figure("season_area_m2", _("Area"), area, "m²", 0, why, n=plantings, n_of="plantings")


def _fruit(
    members: Sequence[PlantingSeason],
    area: float,
    plants: int,
    kg: float,
    inputs: Inputs,
) -> list[Figure]:
    counted = [one.fruit for one in members]
    fruit = sum(number for number in counted if number is not None) if None not in counted else None
    uncounted = _("Fruit was not counted at every pick.")
    return [
        Figure(
            "season_fruit_m2",
            _("Fruit per m²"),
            None if fruit is None else fruit / area,
            "fruit/m²",
            1,
            Why(_("Fruit written down ÷ gross area."), inputs),
            missing=uncounted if fruit is None else "",
        ),
        Figure(
            "season_fruit_plant",
            _("Fruit per plant"),
            fruit / plants if fruit is not None and plants else None,
            _("fruit/plant"),
            1,
            Why(_("Fruit written down ÷ plants planted."), inputs),
            missing=uncounted if fruit is None else "",
        ),
        Figure(
            "season_fruit_g",
            _("Weight of a fruit"),
            kg / fruit * 1000 if fruit else None,
            "g",
            0,
            Why(_("Kilograms ÷ fruit written down."), inputs),
            missing="" if fruit else uncounted,
        ),
    ]


def _between_bays(members: Sequence[PlantingSeason]) -> tuple[float | None, float | None]:
    """Return the 95 % interval of kg per m² over bays; nothing with fewer than two, or where nothing was picked."""
    kg = [one.kg for one in members]
    if not _in_several_bays(members) or not any(kg):
        return None, None
    found = sampling.ratio_estimate(kg, [one.bay.area_m2 for one in members])
    return max(found.low, 0.0), found.high


def _in_several_bays(members: Sequence[PlantingSeason]) -> bool:
    """Tell whether plantings say how bays differ: those of one bay, one after the other, do not."""
    return len({one.bay.id for one in members}) > 1


def _grades(members: Sequence[PlantingSeason], area: float, inputs: Inputs) -> list[Figure]:
    kg: dict[str, float] = {}
    for one in members:
        for grade, amount in one.kg_by_grade.items():
            kg[grade] = kg.get(grade, 0.0) + amount
    graded = sum(kg.values()) - kg.get("", 0.0)
    first = kg.get("first", 0.0)
    told = ", ".join(
        f"{grade or _('no grade')} {words.number(amount, 0)} kg" for grade, amount in sorted(kg.items())
    )
    shown = (*inputs, (_("By grade"), told or words.MISSING))
    missing = "" if graded else _("No pick has a grade.")
    return [
        Figure(
            "season_first_kg_m2",
            _("First grade per m²"),
            first / area if graded else None,
            "kg/m²",
            2,
            Why(_("Kilograms of first grade ÷ gross area."), shown),
            missing=missing,
        ),
        Figure(
            "season_first_grade_percent",
            _("First grade"),
            first / graded * 100 if graded else None,
            "%",
            0,
            Why(_("Kilograms of first grade ÷ kilograms with a grade."), shown),
            missing=missing,
        ),
    ]


def _first_pick(members: Sequence[PlantingSeason], inputs: Inputs) -> Figure:
    days = [day for one in members if (day := one.days_to_first_pick) is not None]
    low = high = None
    if len(days) >= 2 and _in_several_bays(members):
        estimate = sampling.mean_interval([float(day) for day in days])
        low, high = estimate.low, estimate.high
    return Figure(
        "season_first_pick_days",
        _("Days to first pick"),
        sum(days) / len(days) if days else None,
        _("days"),
        0,
        Why(_("From transplanting to the first pick; mean of the bays."), inputs),
        low,
        high,
        n=len(days) or None,
        n_of="plantings",
        missing="" if days else _("No pick is written down."),
    )


def _half_picked(members: Sequence[PlantingSeason], inputs: Inputs) -> Figure:
    """Return the mean age at which half of what a bay brought was picked: early and late pickers differ here."""
    days = [day for one in members if (day := one.days_to_half) is not None]
    low = high = None
    if len(days) >= 2 and _in_several_bays(members):
        estimate = sampling.mean_interval([float(day) for day in days])
        low, high = estimate.low, estimate.high
    pattern = ", ".join(
        f"{one.bay.name} {words.counted('{n} day of picking', '{n} days of picking', one.pick_days)}"
        for one in members
    )
    return Figure(
        "season_half_picked_days",
        _("Days to half of the kg"),
        sum(days) / len(days) if days else None,
        _("days"),
        0,
        Why(
            _("From transplanting until half of the kilograms so far were picked; mean of the bays."),
            (*inputs, (_("Picking pattern"), pattern)),
        ),
        low,
        high,
        n=len(days) or None,
        n_of="plantings",
        missing="" if days else _("No pick is written down."),
    )
