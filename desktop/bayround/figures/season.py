"""The season by bay, variety, kind of house and year: kilograms, fruit, grades, first pick, late jobs, treatments.

Areas are gross (length × width of the bays). Groups are sums over their bays; an interval says how much bays of
the group differ, and needs at least two. It is no test: varieties were not drawn by lot over the bays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from bayround import words
from bayround.agronomy import sampling
from bayround.figures.figure import Figure, Why
from bayround.figures.season_facts import PlantingSeason
from bayround.words import _

AREA_BASIS = "Per m² of gross area: length × width of the bays."


class GroupBy(StrEnum):
    """What the bays are put together by."""

    BAY = "bay"
    VARIETY = "variety"
    HOUSE_KIND = "kind of house"
    YEAR = "year"


@dataclass(frozen=True, slots=True)
class SeasonLine:
    """One group of plantings of one crop, with its figures by id."""

    key: str
    crop: str
    label: str
    plantings: tuple[PlantingSeason, ...]
    figures: dict[str, Figure]


def group(found: Sequence[PlantingSeason], by: GroupBy) -> tuple[SeasonLine, ...]:
    """Return one line a group, crops apart, in the order in which the plantings stand."""
    groups: dict[tuple[str, str], list[PlantingSeason]] = {}
    for one in found:
        groups.setdefault((one.planting.crop, label_of(one, by)), []).append(one)
    return tuple(
        SeasonLine(f"{by.value}/{crop}/{label}", crop, label, tuple(members), figures(members))
        for (crop, label), members in groups.items()
    )


def label_of(one: PlantingSeason, by: GroupBy) -> str:
    """Return the name of the group that a planting belongs to."""
    if by is GroupBy.BAY:
        return f"{one.house.name} · {one.bay.name}"
    if by is GroupBy.VARIETY:
        return one.planting.variety or _("no variety named")
    if by is GroupBy.YEAR:
        return str(one.planting.transplanted_on.year)
    return _(one.house.kind.value)


def figures(members: Sequence[PlantingSeason]) -> dict[str, Figure]:
    """Return the figures of a group of plantings."""
    area = sum(one.bay.area_m2 for one in members)
    plants = sum(one.planting.plants for one in members)
    inputs = (
        (_("Bays"), str(len(members))),
        (_("Area"), f"{words.number(area, 0)} m² ({_('gross')})"),
        (_("Plants"), str(plants)),
    )
    made = [
        *_yields(members, area, plants, inputs),
        *_grades(members, inputs),
        _first_pick(members, inputs),
        *_work(members, area, inputs),
    ]
    return {figure.id: figure for figure in made}


def _yields(
    members: Sequence[PlantingSeason], area: float, plants: int, inputs: tuple[tuple[str, str], ...]
) -> list[Figure]:
    kg = sum(one.kg for one in members)
    rule = _("Kilograms written down ÷ gross area. The interval says how bays of the group differ.")
    low, high = _between_bays([one.kg for one in members], [one.bay.area_m2 for one in members])
    nothing = "" if kg else _("No pick is written down.")
    return [
        Figure(
            "season_area_m2", _("Area"), area, "m²", 0, Why(_("Sum of the bays."), inputs), n=len(members)
        ),
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
        *_fruit(members, area, kg, inputs),
    ]


def _fruit(
    members: Sequence[PlantingSeason], area: float, kg: float, inputs: tuple[tuple[str, str], ...]
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
            "season_fruit_g",
            _("Weight of a fruit"),
            kg / fruit * 1000 if fruit else None,
            "g",
            0,
            Why(_("Kilograms ÷ fruit written down."), inputs),
            missing="" if fruit else uncounted,
        ),
    ]


def _between_bays(kg: Sequence[float], areas: Sequence[float]) -> tuple[float | None, float | None]:
    """Return the 95 % interval of kg per m² over bays; nothing with fewer than two that were picked."""
    if len(kg) < 2 or not any(kg):
        return None, None
    found = sampling.ratio_estimate(kg, areas)
    return max(found.low, 0.0), found.high


def _grades(members: Sequence[PlantingSeason], inputs: tuple[tuple[str, str], ...]) -> list[Figure]:
    kg: dict[str, float] = {}
    for one in members:
        for grade, amount in one.kg_by_grade.items():
            kg[grade] = kg.get(grade, 0.0) + amount
    whole = sum(kg.values())
    first = kg.get("first", 0.0)
    ungraded = kg.get("", 0.0)
    told = ", ".join(
        f"{grade or _('no grade')} {words.number(amount, 0)} kg" for grade, amount in sorted(kg.items())
    )
    why = Why(_("Kilograms of first grade ÷ kilograms with a grade."), (*inputs, (_("By grade"), told)))
    graded = whole - ungraded
    return [
        Figure(
            "season_first_grade_percent",
            _("First grade"),
            first / graded * 100 if graded else None,
            "%",
            0,
            why,
            missing="" if graded else _("No pick has a grade."),
        )
    ]


def _first_pick(members: Sequence[PlantingSeason], inputs: tuple[tuple[str, str], ...]) -> Figure:
    days = [day for one in members if (day := one.days_to_first_pick) is not None]
    low = high = None
    if len(days) >= 2:
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
        missing="" if days else _("No pick is written down."),
    )


def _work(
    members: Sequence[PlantingSeason], area: float, inputs: tuple[tuple[str, str], ...]
) -> list[Figure]:
    jobs, late = sum(one.jobs for one in members), sum(one.late for one in members)
    hours = sum(number for one in members for _day, number in one.hours)
    treated = sum(one.treatments for one in members)
    return [
        Figure(
            "season_jobs_late",
            _("Jobs late"),
            float(late) if jobs else None,
            _("jobs"),
            0,
            Why(
                _("Done after the day they were due, or open past it."),
                (*inputs, (_("Jobs in all"), str(jobs))),
            ),
            n=jobs or None,
            missing="" if jobs else _("No job was handed out."),
        ),
        Figure(
            "season_treatments",
            _("Treatments per bay"),
            treated / len(members),
            "",
            1,
            Why(_("Treatments that covered a bay ÷ bays."), inputs),
        ),
        Figure(
            "season_hours_100_m2",
            _("Hours written down per 100 m²"),
            hours / area * 100 if hours else None,
            "h",
            1,
            Why(_("Hours of jobs ticked off ÷ gross area; work without a job is not in it."), inputs),
            missing="" if hours else _("No job was ticked off with its hours."),
        ),
    ]


COLUMNS = (
    "season_area_m2", "season_kg", "season_kg_m2", "season_kg_plant", "season_fruit_m2", "season_fruit_g",
    "season_first_grade_percent", "season_first_pick_days", "season_jobs_late", "season_treatments",
    "season_hours_100_m2",
)  # fmt: skip
"""The figures of a line in the order in which every face shows them."""


def equal_age(found: Sequence[PlantingSeason]) -> tuple[tuple[PlantingSeason, ...], dict[str, int]]:
    """Return the plantings with only the picks up to an age that every year of a crop reached, and that age.

    So a year that still runs is set beside the same stretch of earlier years. Ages are days after transplanting.
    """
    reached: dict[str, dict[int, int]] = {}
    for one in found:
        age = one.planting.age_days(one.last_day)
        years = reached.setdefault(one.planting.crop, {})
        year = one.planting.transplanted_on.year
        years[year] = max(age, years.get(year, 0))
    ages = {crop: min(years.values()) for crop, years in reached.items()}
    trimmed = tuple(
        replace(
            one,
            picks=tuple(
                pick for pick in one.picks if one.planting.age_days(pick.picked_on) <= ages[one.planting.crop]
            ),
        )
        for one in found
    )
    return trimmed, ages
