"""Totals of the farm's week, summed from exact values; 'Check the sums' recomputes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bayround import words
from bayround.facts.farm import Person
from bayround.facts.rounds import FRUIT_FIELDS, PlantState, Reading
from bayround.facts.work import JobKind
from bayround.figures.figure import Figure, Why
from bayround.jobs import hours
from bayround.jobs.job import Job, JobState
from bayround.week.snapshot import BayWeek
from bayround.words import _

SUMS = (
    ("flowers_sum", "Flowers counted", ("flowers",)),
    ("fruit_set_sum", "Set fruit counted", ("fruit_set",)),
    ("fruit_green_sum", "Green fruit counted", ("fruit_green",)),
    ("fruit_turning_sum", "Turning fruit counted", ("fruit_turning",)),
    ("fruit_coloured_sum", "Coloured fruit counted", ("fruit_coloured",)),
    ("fruit_counted", "Fruit counted, all stages", FRUIT_FIELDS),
)


def totals(bays: Sequence[BayWeek]) -> dict[str, Figure]:
    """Return the totals over this week's visits and the work that is due."""
    visited = [seen for seen in bays if seen.visit is not None]
    planted = [seen for seen in bays if seen.planting is not None]
    readings = [
        reading
        for seen in visited
        if seen.visit is not None
        for plant_id, reading in seen.visit.readings.items()
        if reading.state is PlantState.STANDING and plant_id not in seen.visit.aside
    ]
    heights = [reading.height_cm for reading in readings if reading.height_cm is not None]
    jobs = [job for seen in bays for job in seen.jobs]
    due = [job for job in jobs if job.is_due]
    checks = [check for seen in visited if seen.visit is not None for check in seen.visit.checks]
    found = [
        _count("bays_planted", _("Bays with a crop"), len(planted)),
        _count("bays_visited", _("Bays visited"), len(visited)),
        _count("readings_count", _("Plants read"), len(readings)),
        _count("plants_measured", _("Plants measured for height"), len(heights)),
        _sum("height_sum_cm", _("Sum of heights"), heights, "cm", 1),
        _mean("height_mean_cm", _("Mean height of all plants measured"), heights),
        *(_sum(key, _(label), _values(readings, fields), "", 0) for key, label, fields in SUMS),
        _count(
            "units_inspected",
            _("Units inspected for pests and disease"),
            sum(check.inspected for check in checks),
        ),
        _count("units_infested", _("Units found infested"), sum(check.infested for check in checks)),
        hours.total([job.hours for job in due]),
        *_hours_by_kind(due),
        _count("jobs_due", _("Jobs due"), len(due)),
        _count(
            "jobs_to_confirm",
            _("Jobs done, to be confirmed"),
            sum(job.state is JobState.DONE for job in jobs),
        ),
        _picks_next(visited),
    ]
    return {figure.id: figure for figure in found}


def workload(bays: Sequence[BayWeek], people: Sequence[Person]) -> dict[str, Figure]:
    """Return the hours people have in a week, the open work, and its share of those hours (%)."""
    here = [person for person in people if person.active]
    known = [person.hours_per_week for person in here if person.hours_per_week is not None]
    still_open = [
        job.hours.value for seen in bays for job in seen.jobs if job.is_due and job.hours.value is not None
    ]
    available, work = sum(known), sum(still_open)
    missing = "" if known else _("Nobody's hours a week are given; enter them under Farm.")
    people_in = (
        (_("People with hours given"), str(len(known))),
        (_("People without"), str(len(here) - len(known))),
    )
    found = (
        _hours(
            "hours_available",
            _("Hours available a week"),
            available if known else None,
            Why(_("Sum of the hours a week of everybody who works here."), people_in),
            len(known),
            missing,
        ),
        _hours(
            "hours_open",
            _("Hours of open work"),
            work,
            Why(_("Sum of the estimated hours of jobs that are not done or skipped.")),
            len(still_open),
            "",
        ),
        _share(work, available, missing),
    )
    return {figure.id: figure for figure in found}


def _picks_next(visited: Sequence[BayWeek]) -> Figure:
    """Return the picks foreseen for next week over the bays that were visited; the ends of the intervals added."""
    known = [
        found
        for seen in visited
        if (found := seen.figures.get("picks_kg_next")) is not None and found.value is not None
    ]
    low = [found.low for found in known if found.low is not None]
    high = [found.high for found in known if found.high is not None]
    with_ends = len(low) == len(high) == len(known) > 0
    why = Why(
        _(
            "Sum of the bays' forecasts; the ends of their intervals added, as if all bays were off the same way."
        ),
        ((_("Bays with a forecast"), str(len(known))),),
    )
    return Figure(
        "picks_kg_next_all", _("Picks next week, all bays"),
        sum(found.value or 0.0 for found in known) if known else None, "kg", 0, why,
        low=sum(low) if with_ends else None, high=sum(high) if with_ends else None, level=0.8,
        n=len(known) or None, n_of="bays" if known else "",
        missing="" if known else _("No picks can be foreseen from this week's counts."),
    )  # fmt: skip


def _hours(figure_id: str, label: str, value: float | None, why: Why, n: int, missing: str) -> Figure:
    return Figure(figure_id, label, value, _("h"), 1, why, n=n or None, missing=missing)


def _share(work: float, available: float, missing: str) -> Figure:
    share = work / available * 100 if available > 0 else None
    inputs = (
        (_("Open work"), f"{words.number(work, 1)} h"),
        (_("Hours available"), f"{words.number(available, 1)} h"),
    )
    why = Why(_("Hours of open work ÷ hours available a week."), inputs)
    label = _("Open work of the hours available")
    if share is None:
        return Figure(
            "workload_percent", label, None, "%", 0, why, missing=missing or _("No hours are available.")
        )
    says = _("more than there are hours") if share > 100 else _("it fits")
    return Figure("workload_percent", label, share, "%", 0, why, says=says)


def _hours_by_kind(jobs: Sequence[Job]) -> list[Figure]:
    """Return the hours due of each kind of job that is due."""
    found = []
    for kind in JobKind:
        of_kind = [job.hours for job in jobs if job.kind is kind]
        if of_kind:
            total = hours.total(of_kind)
            label = _("Hours due: {kind}").format(kind=_(kind.value))
            found.append(replace(total, id=f"hours_due_{kind.name.lower()}", label=label))
    return found


def _values(readings: Sequence[Reading], fields: tuple[str, ...]) -> list[float]:
    return [value for reading in readings for field in fields if (value := reading.value(field)) is not None]


def _count(figure_id: str, label: str, count: int) -> Figure:
    return Figure(
        figure_id, label, count, "", 0, Why(_("Counted over this week's finished visits.")), n=count
    )


def _sum(figure_id: str, label: str, values: Sequence[float], unit: str, decimals: int) -> Figure:
    why = Why(_("Sum over this week's readings of standing marked plants, from the exact values."))
    return Figure(figure_id, label, sum(values), unit, decimals, why, n=len(values))


def _mean(figure_id: str, label: str, values: Sequence[float]) -> Figure:
    why = Why(
        _(
            "Sum of heights ÷ plants measured, over all bays and crops together; for checking sums, not for comparing bays."
        )
    )
    mean = sum(values) / len(values) if values else None
    missing = "" if values else _("No height was measured this week.")
    return Figure(figure_id, label, mean, "cm", 1, why, n=len(values), missing=missing)
