"""From readings to the mean of a bay: which plants count, and the interval of their mean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import attrgetter

from bayround import words
from bayround.agronomy import sampling
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.rounds import FRUIT_FIELDS, READING_FIELDS, PlantState
from bayround.figures.figure import Figure, Why
from bayround.words import _

_stages = attrgetter(*FRUIT_FIELDS)
FEWEST_ALIKE = 5
"""From so many equal readings on, a width of nought is taken for what it says (own rule)."""
FEWEST_WALKED = 5
"""With fewer stops their differences say next to nothing of the scatter (own rule)."""
MEAN_SOURCE = "Cochran 1977, Sampling Techniques, 3rd ed., ch. 2 (t interval, finite population)"


def values_of(record: VisitRecord | None, field: str) -> dict[str, float]:
    """Return marked plant → number for the plants on which *field* was taken at this visit."""
    if field not in READING_FIELDS:
        raise KeyError(field)
    if record is None:
        return {}
    aside = record.aside
    return {
        plant_id: value
        for plant_id, reading in record.readings.items()
        if reading.state is PlantState.STANDING
        and plant_id not in aside
        and (value := getattr(reading, field)) is not None
    }


def fruit_of(record: VisitRecord | None) -> dict[str, float]:
    """Return marked plant → fruit carried. A plant counts only if every stage counted at this visit was counted on it."""
    if record is None:
        return {}
    rows = {
        plant_id: _stages(reading)
        for plant_id, reading in record.readings.items()
        if reading.state is PlantState.STANDING and plant_id not in record.aside
    }
    whole = {plant_id: sum(row) for plant_id, row in rows.items() if None not in row}
    if len(whole) == len(rows):
        return whole  # as nearly always: every stage on every plant
    counted = [
        place for place in range(len(FRUIT_FIELDS)) if any(row[place] is not None for row in rows.values())
    ]
    if not counted:
        return {}
    return {
        plant_id: sum(row[place] for place in counted)
        for plant_id, row in rows.items()
        if all(row[place] is not None for place in counted)
    }


def state_text(record: VisitRecord, plant_id: str) -> str:
    """Return the state of a plant read at a visit; where it is part of no mean and no sum, that stands with it."""
    state = _(record.readings[plant_id].state.value)
    return _("{state}, in no mean").format(state=state) if plant_id in record.aside else state


def scatter_unknown(standard_error: float | None, n: int) -> bool:
    """Tell whether a few plants that read all alike hide how much plants differ: then no interval is given."""
    return standard_error == 0.0 and n < FEWEST_ALIKE


def mean_figure(
    figure_id: str,
    label: str,
    values: Sequence[float] | Mapping[str, float],
    unit: str,
    decimals: int,
    population: int | None,
    rule: str,
    inputs: tuple[tuple[str, str], ...] = (),
    scale: float = 1.0,
    floor: float | None = None,
) -> Figure:
    """Return the mean of *values* × *scale* with its 95 % interval, which never goes below *floor*.

    One value gives a mean without an interval; none gives a missing figure that says so.
    """
    numbers = list(values.values()) if isinstance(values, Mapping) else list(values)
    why = Why(rule, (*inputs, (_("Plants measured"), str(len(numbers)))), MEAN_SOURCE, "published")
    if not numbers:
        return Figure(figure_id, label, None, unit, decimals, why, missing=_("Not measured at this visit."))
    if len(numbers) == 1:
        return Figure(figure_id, label, numbers[0] * scale, unit, decimals, why, n=1, n_of="plants")
    among = None if population is None else max(population, len(numbers))
    mean = sampling.mean_interval(numbers, population=among)
    low, high = mean.low, mean.high
    if scatter_unknown(mean.standard_error, len(numbers)):
        low = high = None
    if low is not None and floor is not None:
        low = max(low, floor / scale)
    return Figure(
        figure_id,
        label,
        mean.mean * scale,
        unit,
        decimals,
        why,
        low=None if low is None else low * scale,
        high=None if high is None else high * scale,
        n=len(numbers),
        n_of="plants",
    )


def along_the_walk(
    past: BayPast, values: Mapping[str, float], decimals: int, unit: str
) -> tuple[tuple[str, str], ...]:
    """Return the interval from neighbours on the walk, where one draw spread the plants over the bay; else nothing.

    An even grid averages a slow trend along the walk out; such a trend does not widen this interval.
    """
    seeds = {one.marked_plant_id: one.seed for one in past.choices if not one.targeted}
    order = [plant.id for plant in sorted(past.plants, key=lambda one: one.number) if plant.id in values]
    drawn = {seeds.get(plant) for plant in order}
    if len(order) < FEWEST_WALKED or len(drawn) != 1 or None in drawn:
        return ()
    population = None if past.planting is None else max(past.planting.plants, len(order))
    found = sampling.walked_mean_interval([values[plant] for plant in order], population)
    if found.low is None or found.high is None or scatter_unknown(found.standard_error, found.n):
        return ()
    between = _("{low} to {high}").format(
        low=words.number(found.low, decimals), high=words.number(found.high, decimals)
    )
    return ((_("Interval from neighbours along the walk"), f"{between} {unit}"),)


def shown(value: float, decimals: int, unit: str) -> str:
    """Return an input of a rule as text."""
    return f"{words.number(value, decimals)} {unit}".strip()
