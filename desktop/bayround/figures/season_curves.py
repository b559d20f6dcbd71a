"""Height, fruit, set, pests and picks over weeks after transplanting, by variety, kind of house or year.

A bay's mean is one value; intervals are across bays (t), so one bay alone has none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from bayround.agronomy import sampling
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.figures import pests, sampled
from bayround.figures.figure import Figure, Why
from bayround.figures.season import GroupBy, label_of
from bayround.figures.season_facts import PlantingSeason
from bayround.words import _

PICKED = "picked"
PEST = "pest:"


@dataclass(frozen=True, slots=True)
class CurveMeasure:
    """What is drawn over the weeks."""

    label: str
    unit: str
    decimals: int


MEASURES: Mapping[str, CurveMeasure] = {
    "height_cm": CurveMeasure("Height", "cm", 0),
    "fruit": CurveMeasure("Fruit carried per plant", "fruit", 1),
    "fruit_set": CurveMeasure("Fruit set per plant", "fruit", 1),
    PICKED: CurveMeasure("Picked in the week", "kg/m²", 2),
}


@dataclass(frozen=True, slots=True)
class Curve:
    """One group's course: (weeks after transplanting, figure across bays), oldest first."""

    crop: str
    label: str
    points: tuple[tuple[int, Figure], ...]


def curves(
    found: Sequence[PlantingSeason],
    pasts: Mapping[str, BayPast],
    measure: str,
    by: GroupBy,
    pest_name: str = "",
) -> tuple[Curve, ...]:
    """Return a curve a group; *pasts* maps planting ids to bays, *measure* is one of `MEASURES` or a pest.

    Raises:
        KeyError: for a measure that is none.
    """
    shown = (
        CurveMeasure(_("Infested: {name}").format(name=pest_name or measure.removeprefix(PEST)), "%", 0)
        if measure.startswith(PEST)
        else MEASURES[measure]
    )
    groups: dict[tuple[str, str], dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for one in found:
        group = groups[one.planting.crop, label_of(one, by)]
        for week, value in _weekly(one, pasts.get(one.planting.id), measure).items():
            group[week].append(value)
    return tuple(
        Curve(
            crop,
            label,
            tuple((week, _point(measure, shown, weeks[week])) for week in sorted(weeks)),
        )
        for (crop, label), weeks in groups.items()
        if weeks
    )


def pests_seen(pasts: Sequence[BayPast]) -> tuple[str, ...]:
    """Return the organisms found at least once, the most often found first."""
    times: dict[str, int] = defaultdict(int)
    for past in pasts:
        for record in past.visits:
            for check in record.checks:
                times[check.organism] += check.infested > 0
    return tuple(
        sorted((name for name, seen in times.items() if seen), key=lambda name: (-times[name], name))
    )


def _point(measure: str, shown: CurveMeasure, values: Sequence[float]) -> Figure:
    low = high = None
    if len(values) > 1:
        estimate = sampling.mean_interval(values)
        low, high = estimate.low, estimate.high
        if low is not None:
            low = max(low, 0.0)
    rule = _("Mean of the bays of the group; a bay's own mean is one value.")
    return Figure(
        f"curve_{measure}",
        _(shown.label),
        fmean(values),
        _(shown.unit),
        shown.decimals,
        Why(rule, ((_("Bays"), str(len(values))),), sampled.MEAN_SOURCE, "published"),
        low,
        high,
        n=len(values),
        n_of="bays",
    )


def _weekly(one: PlantingSeason, past: BayPast | None, measure: str) -> dict[int, float]:
    """Return weeks after transplanting → this bay's value (the newest visit of a week)."""
    start = one.planting.transplanted_on
    if measure == PICKED:
        weeks: dict[int, float] = defaultdict(float)
        for pick in one.picks:
            weeks[(pick.picked_on - start).days // 7] += pick.kg / one.bay.area_m2
        if weeks:
            for week in range(min(weeks), (one.last_day - start).days // 7):
                weeks[week] += 0.0
        return dict(weeks)
    found: dict[int, float] = {}
    for record in past.visits if past else ():
        value = _of_visit(record, measure)
        if value is not None:
            found[(record.day - start).days // 7] = value
    return found


def _of_visit(record: VisitRecord, measure: str) -> float | None:
    if measure.startswith(PEST):
        checks = pests.checks_by_organism(record).get(measure.removeprefix(PEST), [])
        looked = sum(check.inspected for check in checks)
        return sum(check.infested for check in checks) / looked * 100 if looked else None
    values = sampled.fruit_of(record) if measure == "fruit" else sampled.values_of(record, measure)
    return fmean(values.values()) if values else None
