"""From rounds, picks and typed values to the plots of a trial: a plot is one replicate, a plant never is.

Where a treatment covers whole bays or whole houses, those are the replicates, however many plots were drawn in
them (Hurlbert 1984, Ecological Monographs 54:187-211): such plots are averaged before anything is tested.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.figures import sampled
from bayround.words import _

TYPED = "typed"
KG_M2 = "kg_m2"
FRUIT_M2 = "fruit_m2"


@dataclass(frozen=True, slots=True)
class Measure:
    """What a trial can be judged by; *of_plants* reads marked plant → number from a visit."""

    label: str
    unit: str
    counts: bool = False
    of_plants: Callable[[VisitRecord], Mapping[str, float]] | None = None


MEASURES: Mapping[str, Measure] = {
    KG_M2: Measure("Picked per m²", "kg/m²"),
    FRUIT_M2: Measure("Fruit picked per m²", "fruit/m²"),
    "height_cm": Measure("Height", "cm", of_plants=lambda seen: sampled.values_of(seen, "height_cm")),
    "fruit_plant": Measure("Fruit carried per plant", "fruit", True, sampled.fruit_of),
    "fruit_set": Measure(
        "Fruit set per plant", "fruit", True, lambda seen: sampled.values_of(seen, "fruit_set")
    ),
    TYPED: Measure("Typed values", ""),
}
"""What the plots can be filled with; typed values go before all others."""


@dataclass(frozen=True, slots=True)
class PlotValue:
    """A plot with its value, the marked plants behind it, and where the value came from."""

    plot: TrialPlot
    house_id: str
    value: float | None
    plants: tuple[float, ...] = ()
    origin: str = ""
    days: frozenset[date] = frozenset()


@dataclass(frozen=True, slots=True)
class Unit:
    """One replicate: a plot, or the mean of the plots that got their treatment together."""

    name: str
    main_level: str
    sub_level: str
    block: str
    value: float | None
    plants: tuple[float, ...]
    plots: int


def values(
    trial: Trial, plots: Sequence[TrialPlot], pasts: Mapping[str, BayPast], until: date
) -> tuple[PlotValue, ...]:
    """Return every plot with its value from *until* or before; *pasts* maps bay ids to bays."""
    return tuple(_value(trial, plot, pasts.get(plot.bay_id or ""), until) for plot in plots)


def _value(trial: Trial, plot: TrialPlot, past: BayPast | None, until: date) -> PlotValue:
    house_id = past.house.id if past else ""
    if plot.value is not None:
        return PlotValue(plot, house_id, plot.value, origin=_("typed"))
    measure = MEASURES.get(trial.measure, MEASURES[TYPED])
    if trial.measure in {KG_M2, FRUIT_M2} and past is not None:
        return _picked(trial, plot, past, until)
    if past is None or measure.of_plants is None:
        return PlotValue(plot, house_id, None, origin=_("no value typed"))
    return _measured(trial, plot, past, measure.of_plants, until)


def _picked(trial: Trial, plot: TrialPlot, past: BayPast, until: date) -> PlotValue:
    if plot.first_row is not None and (plot.first_row, plot.last_row or plot.first_row) != (1, past.bay.rows):
        return PlotValue(
            plot, past.house.id, None, origin=_("picks are kept by bay: weigh these rows by themselves")
        )
    picks = [pick for pick in past.picks if trial.started_on <= pick.picked_on <= until]
    days = frozenset(pick.picked_on for pick in picks)
    if not picks:
        return PlotValue(plot, past.house.id, None, origin=_("nothing picked yet"))
    if trial.measure == KG_M2:
        amount: float | None = math.fsum(pick.kg for pick in picks)
    else:
        counted = [pick.fruit for pick in picks if pick.fruit is not None]
        amount = float(sum(counted)) if len(counted) == len(picks) else None
    if amount is None:
        return PlotValue(plot, past.house.id, None, origin=_("fruit was not counted at every pick"))
    origin = words.counted("{n} pick", "{n} picks", len(picks))
    return PlotValue(plot, past.house.id, amount / past.bay.area_m2, origin=origin, days=days)


def _measured(
    trial: Trial,
    plot: TrialPlot,
    past: BayPast,
    of_plants: Callable[[VisitRecord], Mapping[str, float]],
    until: date,
) -> PlotValue:
    inside = {
        plant.id
        for plant in past.plants
        if plot.first_row is None or plot.first_row <= plant.row <= (plot.last_row or plot.first_row)
    }
    seen = [visit for visit in past.visits if trial.started_on <= visit.day <= until]
    days = frozenset(visit.day for visit in seen)
    if not seen:
        return PlotValue(plot, past.house.id, None, origin=_("not visited since the trial began"))
    found = tuple(number for plant, number in of_plants(seen[-1]).items() if plant in inside)
    if not found:
        return PlotValue(
            plot, past.house.id, None, origin=_("no marked plant measured in these rows"), days=days
        )
    origin = _("{plants} at the visit of {day}").format(
        plants=words.counted("mean of {n} marked plant", "mean of {n} marked plants", len(found)),
        day=words.day(seen[-1].day),
    )
    return PlotValue(plot, past.house.id, math.fsum(found) / len(found), found, origin, days)


def units(trial: Trial, found: Sequence[PlotValue]) -> tuple[Unit, ...]:
    """Return the replicates of a trial as it was laid out.

    Plots of a bay, or of a house, that hold one treatment only are one replicate together. Where nothing
    was replicated, every treatment is one.
    """
    made = [_unit(one) for one in found]
    places = [(one.plot.bay_id or "", one.house_id) for one in found]
    if trial.design is TrialDesign.SPLIT_PLOT:
        return tuple(made)
    if trial.design is TrialDesign.NO_REPLICATION:
        return _merged(made, [each.main_level for each in made])
    for level in (0, 1):
        keys = [place[level] for place in places]
        if not all(keys) or len(set(keys)) < 2:
            continue
        held = defaultdict(set)
        for key, one in zip(keys, made, strict=True):
            held[key].add(one.main_level)
        if all(len(levels) == 1 for levels in held.values()) and len(held) < len(made):
            merged = _merged(made, keys)
            houses = {key: place[1] for key, place in zip(keys, places, strict=True)}
            places = [(key, houses[key]) for key in dict.fromkeys(keys)]
            made = list(merged)
    return tuple(made)


def one_house_each(found: Sequence[PlotValue]) -> bool:
    """Tell whether a split plot's main treatments stand in one house each, so that they have no replicate."""
    houses = defaultdict(set)
    for one in found:
        if not one.house_id:
            return False
        houses[one.house_id].add(one.plot.main_level)
    mains = {one.plot.main_level for one in found}
    whole_plots = {(one.plot.block, one.plot.main_level) for one in found}
    nested = all(len(levels) == 1 for levels in houses.values())
    return nested and len(mains) > 1 and len(houses) < len(whole_plots)


def _unit(one: PlotValue) -> Unit:
    plot = one.plot
    return Unit(plot.name, plot.main_level, plot.sub_level, plot.block, one.value, one.plants, 1)


def _merged(made: Sequence[Unit], keys: Sequence[str]) -> tuple[Unit, ...]:
    groups: dict[str, list[Unit]] = defaultdict(list)
    for key, one in zip(keys, made, strict=True):
        groups[key].append(one)
    result = []
    for group in groups.values():
        known = [one.value for one in group if one.value is not None]
        blocks = {one.block for one in group}
        first = group[0]
        result.append(
            Unit(
                name=first.name if len(group) == 1 else f"{first.name} … {group[-1].name}",
                main_level=first.main_level,
                sub_level=first.sub_level,
                block=blocks.pop() if len(blocks) == 1 else "",
                value=math.fsum(known) / len(known) if known else None,
                plants=tuple(plant for one in group for plant in one.plants),
                plots=sum(one.plots for one in group),
            )
        )
    return tuple(result)
