"""The season by bay, variety, kind of house and year: kilograms, fruit, grades, first pick, late jobs, treatments.

Areas are gross (length × width of the bays). Groups are sums over their bays; an interval says how much bays of
the group differ, and needs at least two. It is no test: varieties were not drawn by lot over the bays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from bayround import words
from bayround.figures import season_yields
from bayround.figures.figure import Figure, Why
from bayround.figures.season_facts import PlantingSeason
from bayround.words import _

AREA_BASIS = "Per m² of gross area: length × width of the bays, once for each planting: a bay planted twice counts twice."


class GroupBy(StrEnum):
    """What the bays are put together by."""

    BAY = "bay"
    VARIETY = "variety"
    HOUSE_KIND = "kind of house"
    AIM = "picked green or coloured"
    TRAINING = "training"
    YEAR = "year"


@dataclass(frozen=True, slots=True)
class SeasonLine:
    """One group of plantings of one crop, with its figures by id."""

    key: str
    crop: str
    label: str
    plantings: tuple[PlantingSeason, ...]
    figures: dict[str, Figure]

    @property
    def bays(self) -> int:
        """How many bays it rests on; a bay planted twice is one."""
        return len({one.bay.id for one in self.plantings})


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
    if by is GroupBy.AIM:
        return _("picked {colour}").format(colour=_(one.planting.colour_aim.value))
    if by is GroupBy.TRAINING:
        stems = words.counted("{n} stem a plant", "{n} stems a plant", one.planting.stems_per_plant)
        return f"{one.planting.training}, {stems}" if one.planting.training else stems
    if by is GroupBy.YEAR:
        return str(one.planting.transplanted_on.year)
    return _(one.house.kind.value)


def figures(members: Sequence[PlantingSeason]) -> dict[str, Figure]:
    """Return the figures of a group of plantings."""
    area = sum(one.bay.area_m2 for one in members)
    plants = sum(one.planting.plants for one in members)
    inputs = (
        (_("Bays"), str(len({one.bay.id for one in members}))),
        (_("Plantings"), str(len(members))),
        (_("Area"), f"{words.number(area, 0)} m² ({_('gross')})"),
        (_("Plants"), str(plants)),
    )
    made = [
        *season_yields.figures(members, area, plants, inputs),
        *_work(members, area, inputs),
    ]
    return {figure.id: figure for figure in made}


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
            n_of="jobs",
            missing="" if jobs else _("No job was handed out."),
            says=_("of {n}").format(n=jobs) if jobs else "",
        ),
        Figure(
            "season_treatments",
            _("Treatments per bay"),
            treated / len(members),
            "",
            1,
            Why(_("Treatments that covered a bay while the crop stood ÷ plantings."), inputs),
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
    "season_area_m2", "season_kg", "season_kg_m2", "season_kg_plant", "season_fruit_m2",
    "season_fruit_plant", "season_fruit_g", "season_first_kg_m2", "season_first_grade_percent",
    "season_first_pick_days", "season_half_picked_days", "season_jobs_late", "season_treatments",
    "season_hours_100_m2",
)  # fmt: skip
"""The figures of a line in the order in which every face shows them."""


def common_ages(found: Sequence[PlantingSeason]) -> dict[str, int]:
    """Return for each crop the age (days after transplanting) that every one of its years reached.

    A year that still runs is set beside the same stretch of earlier years: `season_facts.plantings` with these ages.
    """
    reached: dict[str, dict[int, int]] = {}
    for one in found:
        years = reached.setdefault(one.planting.crop, {})
        year = one.planting.transplanted_on.year
        years[year] = max(one.planting.age_days(one.last_day), years.get(year, 0))
    return {crop: min(years.values()) for crop, years in reached.items()}
