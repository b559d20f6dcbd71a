"""Figures of picks: what was picked, and the picks coming with their 80 % interval.

The forecast counts fruit by stage on the marked plants and asks when each leaves its last stage. It is
corrected by the bay's own record (earlier forecasts against what was picked), drawn towards no
correction while that record is short.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.agronomy import forecast_score, ripening
from bayround.agronomy.ripening_time import FruitStage
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Planting
from bayround.facts.weeks import Week
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.figures.fruit import pick_stage
from bayround.words import _

LEVEL = 0.8
FORECAST_SOURCE = (
    "Wulfsohn et al. 2012, Precision Agriculture (counting by stage); Cochran 1977 ch. 2 (survey sums)"
)
STAGES = ("flower", "set", "green", "turning", "coloured")
FIELD_OF = {
    "flower": "flowers",
    "set": "fruit_set",
    "green": "fruit_green",
    "turning": "fruit_turning",
    "coloured": "fruit_coloured",
}
DURATION_OF = {
    "flower": "days_flower_to_set",
    "set": "days_set_to_green",
    "green": "days_green_to_turning",
    "turning": "days_turning_to_coloured",
}


@dataclass(frozen=True, slots=True)
class WeekForecast:
    """Picks foreseen in one ISO week for the whole planting, corrected by the bay's own record."""

    week: Week
    window: ripening.PickWindow
    bias_factor: float


def picked(past: BayPast, as_of: date) -> dict[str, Figure]:
    """Return kg picked this week and to date, also per m² of gross area."""
    week = Week.of(as_of)
    area = past.bay.area_m2
    this_week = [pick for pick in past.picks if Week.of(pick.picked_on) == week]
    counted = _("Kilograms written down for this planting")
    of_area = ((_("Area"), f"{words.number(area, 0)} m² ({_('gross')})"),)
    no_pick = "" if past.picks else _("No pick is written down.")
    found = [
        _sum(
            "picked_kg_week", _("Picked this week"), [pick.kg for pick in this_week], "kg", 0, counted + "."
        ),
        _sum("picked_kg", _("Picked to date"), [pick.kg for pick in past.picks], "kg", 0, counted + "."),
        Figure(
            "picked_kg_m2",
            _("Picked to date"),
            sum(pick.kg for pick in past.picks) / area if past.picks else None,
            "kg/m²",
            2,
            Why(counted + _(" ÷ gross area of the bay."), of_area),
            n=len(past.picks) or None,
            missing=no_pick,
        ),
    ]
    return {figure.id: figure for figure in found}


def _sum(figure_id: str, label: str, values: list[float], unit: str, decimals: int, rule: str) -> Figure:
    return Figure(figure_id, label, sum(values), unit, decimals, Why(rule), n=len(values))


def coming(past: BayPast, profile: CropProfile | None) -> dict[str, Figure]:
    """Return the picks of the next three weeks (kg) with their 80 % interval."""
    rule = _(
        "Fruit by stage on the marked plants × the chance that it is picked in that week × plants; corrected by the bay's own record."
    )
    latest = past.latest
    foreseen = forecast(past, latest, profile) if latest is not None and profile is not None else ()
    found = {}
    for step, figure_id, label in (
        (1, "picks_kg_next", _("Picks next week")),
        (2, "picks_kg_in_2", _("Picks in 2 weeks")),
        (3, "picks_kg_in_3", _("Picks in 3 weeks")),
    ):
        one = foreseen[step] if len(foreseen) > step else None
        if one is None or latest is None:
            why = Why(rule, (), FORECAST_SOURCE, "published")
            missing = _("Needs fruit counted by stage on at least two marked plants.")
            found[figure_id] = Figure(figure_id, label, None, "kg", 0, why, level=LEVEL, missing=missing)
            continue
        window = one.window
        inputs = (
            (_("Week"), str(one.week)),
            (_("Counted on"), words.day(latest.day)),
            (_("Fruit foreseen"), words.number(window.fruit, 0)),
            (
                _("Uncertain by the choice of plants"),
                f"± {words.number(window.error_plants, 0)} {_('fruit')}",
            ),
            (_("By luck of single fruit"), f"± {words.number(window.error_luck, 0)} {_('fruit')}"),
            (_("By the weather"), f"± {words.number(window.error_clock, 0)} {_('fruit')}"),
            (_("Correction from the bay's own record"), f"× {words.number(one.bias_factor, 2)}"),
        )
        found[figure_id] = Figure(
            figure_id,
            label,
            window.kg,
            "kg",
            0,
            Why(rule, inputs, FORECAST_SOURCE, "published"),
            low=window.kg_low,
            high=window.kg_high,
            level=LEVEL,
            n=len(sampled.fruit_of(latest)),
        )
    return found


def stages_of(profile: CropProfile, planting: Planting) -> tuple[FruitStage, ...]:
    """Return the stages up to the one at which the planting is picked, with days and chances."""
    last = pick_stage(profile, planting)
    names = STAGES[: STAGES.index(last) + 1]
    wait = profile.number("days_between_picks").value
    chances = {name: profile.number(f"chance_{name}_picked").value for name in STAGES[:-1]}
    chances["coloured"] = 1.0
    return tuple(
        FruitStage(
            name,
            wait if name == last else profile.number(DURATION_OF[name]).value,
            min(1.0, chances[name]),
        )
        for name in names
    )


def counts_of(record: VisitRecord, stages: tuple[FruitStage, ...]) -> list[list[float]]:
    """Return marked plants × stages; fruit beyond the last stage count as ready. Only whole rows count."""
    columns = {name: sampled.values_of(record, FIELD_OF[name]) for name in STAGES}
    names = [stage.name for stage in stages]
    beyond = STAGES[len(names) :]
    kept = []
    for plant in sorted(sampled.fruit_of(record)):
        if all(plant in columns[name] or name == "flower" for name in names):
            row = [columns[name].get(plant, 0.0) for name in names]
            row[-1] += sum(columns[name].get(plant, 0.0) for name in beyond)
            kept.append(row)
    return kept


def forecast(past: BayPast, record: VisitRecord, profile: CropProfile) -> tuple[WeekForecast, ...]:
    """Return the picks foreseen at a visit for the rest of its week and the three weeks after.

    Empty where fewer than two marked plants were counted by stage.
    """
    if past.planting is None:
        return ()
    stages = stages_of(profile, past.planting)
    counts = counts_of(record, stages)
    if len(counts) < 2:
        return ()
    to_sunday = (Week.of(record.day).sunday - record.day).days + 1
    flowers = sampled.values_of(record, "flowers")
    rate = sum(flowers.values()) / len(flowers) / stages[0].duration if flowers else 0.0
    found = ripening.forecast_picks(
        counts,
        stages,
        week_ends=[float(to_sunday + 7 * step) for step in range(4)],
        plants_standing=max(past.planting.plants, len(counts)),
        weight=_weight(profile),
        duration_variation=profile.number("duration_variation").value,
        clock_deviation=profile.number("clock_deviation_days").value,
        new_flowers=ripening.NewFlowers(rate),
        level=LEVEL,
    )
    factor = bias_factor(past, record.day, profile)
    first = Week.of(record.day)
    return tuple(
        WeekForecast(first.plus(step), ripening.corrected_window(window, factor), factor)
        for step, window in enumerate(found.weeks)
    )


def _weight(profile: CropProfile) -> ripening.FruitWeight:
    deviation = profile.number("fruit_weight_sd_g").value / 1000
    return ripening.FruitWeight(profile.number("fruit_weight_g").value / 1000, deviation)


def record_of(past: BayPast, before: date) -> list[tuple[Week, float, float]]:
    """Return (week, kg foreseen one week ahead without correction, kg picked) of weeks over by *before*."""
    picked: dict[Week, float] = {}
    for pick in past.picks:
        picked[Week.of(pick.picked_on)] = picked.get(Week.of(pick.picked_on), 0.0) + pick.kg
    found = []
    for said in past.forecasts:
        week = Week.parse(said.for_week)
        one_ahead = Week.of(said.made_on).plus(1) == week
        if one_ahead and week.sunday < before and picked.get(week, 0.0) > 0 and said.kg > 0:
            found.append((week, said.kg / said.bias_factor, picked[week]))
    return sorted(found, key=lambda line: line[0])


def bias_factor(past: BayPast, on: date, profile: CropProfile) -> float:
    """Return the shrunk factor by which the bay's picks ran above or below its forecasts; 1 without a record."""
    lines = record_of(past, on)
    if not lines:
        return 1.0
    bias = forecast_score.ratio_bias(
        [came for _week, _said, came in lines],
        [said for _week, said, _came in lines],
        week_deviation=profile.number("forecast_week_deviation").value,
        factor_deviation=profile.number("forecast_factor_deviation").value,
    )
    return bias.factor
