"""The picks of the coming weeks as figures, week by week, for the page that shows them with their record."""

from __future__ import annotations

from dataclasses import dataclass

from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.weeks import Week
from bayround.figures import picks, sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _


@dataclass(frozen=True, slots=True)
class ForecastLine:
    """One week to come: fruit and kg of the whole planting, each with its 80 % interval."""

    week: Week
    weeks_ahead: int
    fruit: Figure
    kg: Figure


def lines(past: BayPast, profile: CropProfile) -> tuple[ForecastLine, ...]:
    """Return the rest of the newest visit's week and the four weeks after it; empty where nothing is counted."""
    record = past.latest
    if record is None:
        return ()
    plants = len(sampled.fruit_of(record))
    foreseen = picks.forecast(past, record, profile)
    return tuple(_line(one, step, record, plants) for step, one in enumerate(foreseen))


def _line(one: picks.WeekForecast, step: int, record: VisitRecord, plants: int) -> ForecastLine:
    window = one.window
    why = Why(picks.rule(), picks.inputs_of(one, record), picks.FORECAST_SOURCE, "published")
    when = _("the rest of {week}") if step == 0 else "{week}"
    when = when.format(week=one.week)
    fruit = Figure(
        f"picks_fruit_{step}",
        _("Fruit to pick in {when}").format(when=when),
        window.fruit,
        _("fruit"),
        0,
        why,
        window.fruit_low,
        window.fruit_high,
        picks.LEVEL,
        plants,
    )
    kg = Figure(
        f"picks_kg_{step}",
        _("Picks in {when}").format(when=when),
        window.kg,
        "kg",
        0,
        why,
        window.kg_low,
        window.kg_high,
        picks.LEVEL,
        plants,
    )
    return ForecastLine(one.week, step, fruit, kg)
