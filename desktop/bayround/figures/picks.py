"""Figures of picks: what was picked, and the picks coming with their 80 % interval.

The forecast counts fruit by stage on the marked plants and asks when each leaves its last stage. It is
corrected by the bay's own record (earlier forecasts against what was picked), drawn towards no
correction while that record is short.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.agronomy import ripening
from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.pick_windows import EvenFruit, pick_windows
from bayround.agronomy.ripening_time import FruitStage
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.weeks import Week
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.figures.pick_clock import STAGES, PickClock, clock_of, stages_of
from bayround.figures.pick_record import ForecastRecord, records_of, widened
from bayround.words import _

LEVEL = 0.8
WEEKS_AHEAD = 4
FORECAST_SOURCE = (
    "Wulfsohn et al. 2012, Precision Agriculture (counting by stage); Cochran 1977 ch. 2 (survey sums)"
)
FIELD_OF = {
    "flower": "flowers",
    "set": "fruit_set",
    "green": "fruit_green",
    "turning": "fruit_turning",
    "coloured": "fruit_coloured",
}


@dataclass(frozen=True, slots=True)
class WeekForecast:
    """Picks foreseen in one ISO week for the whole planting, corrected by the bay's own record."""

    week: Week
    window: ripening.PickWindow
    record: ForecastRecord
    clock: PickClock

    @property
    def bias_factor(self) -> float:
        """What the forecast was multiplied by."""
        return self.record.factor


def picked(past: BayPast, as_of: date) -> dict[str, Figure]:
    """Return kg picked this week and to date, also per m² of gross area."""
    week = Week.of(as_of)
    area = past.bay.area_m2
    monday, sunday = week.monday, week.sunday
    this_week = [pick for pick in past.picks if monday <= pick.picked_on <= sunday]
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
            n_of="picks",
            missing=no_pick,
        ),
    ]
    return {figure.id: figure for figure in found}


def _sum(figure_id: str, label: str, values: list[float], unit: str, decimals: int, rule: str) -> Figure:
    return Figure(figure_id, label, sum(values), unit, decimals, Why(rule), n=len(values), n_of="picks")


def coming(past: BayPast, profile: CropProfile | None) -> dict[str, Figure]:
    """Return the picks of the next three weeks (kg) with their 80 % interval."""
    latest = past.latest
    foreseen = forecast(past, latest, profile) if latest is not None and profile is not None else ()
    found = {}
    for step, figure_id, label in (
        (1, "picks_kg_next", _("Picks next week")),
        (2, "picks_kg_in_2", _("Picks in 2 weeks")),
        (3, "picks_kg_in_3", _("Picks in 3 weeks")),
    ):
        if len(foreseen) <= step or latest is None:
            why = Why(rule(), (), FORECAST_SOURCE, "published")
            missing = _("Needs fruit counted by stage on at least two marked plants.")
            found[figure_id] = Figure(figure_id, label, None, "kg", 0, why, level=LEVEL, missing=missing)
            continue
        window = foreseen[step].window
        found[figure_id] = Figure(
            figure_id,
            label,
            window.kg,
            "kg",
            0,
            Why(rule(), inputs_of(foreseen[step], latest), FORECAST_SOURCE, "published"),
            low=window.kg_low,
            high=window.kg_high,
            level=LEVEL,
            n=len(sampled.fruit_of(latest)),
            n_of="plants",
        )
    return found


def rule() -> str:
    """Return the rule of the forecast in words."""
    return _(
        "Fruit by stage on the marked plants × the chance that it is picked in that week × plants; corrected by the bay's own record."
    )


def inputs_of(one: WeekForecast, record: VisitRecord) -> tuple[tuple[str, str], ...]:
    """Return what a week's forecast rests on, and where its uncertainty comes from."""
    window = one.window
    return (
        (_("Week"), str(one.week)),
        (_("Counted on"), words.day(record.day)),
        (_("Ripening reckoned in"), one.clock.says),
        (_("Fruit foreseen"), words.number(window.fruit, 0)),
        (_("Uncertain by the choice of plants"), f"± {words.number(window.error_plants, 0)} {_('fruit')}"),
        (_("By luck of single fruit"), f"± {words.number(window.error_luck, 0)} {_('fruit')}"),
        (_("By the weather"), f"± {words.number(window.error_clock, 0)} {_('fruit')}"),
        (_("Correction from the bay's own record"), f"× {words.number(one.bias_factor, 2)}"),
        (_("Weeks in that record"), str(len(one.record.log_ratios))),
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
    """Return the picks foreseen at a visit for the rest of its week and the four weeks after.

    Empty where fewer than two marked plants were counted by stage.
    """
    if past.planting is None:
        return ()
    clock = clock_of(past, profile, record.day)
    stages = stages_of(profile, past.planting, clock)
    counts = counts_of(record, stages)
    if len(counts) < 2:
        return ()
    to_sunday = (Week.of(record.day).sunday - record.day).days + 1
    flowers = sampled.values_of(record, "flowers")
    rate = sum(flowers.values()) / len(flowers) / stages[0].duration if flowers else 0.0
    found = pick_windows(
        counts,
        EvenFruit(
            stages,
            profile.number("duration_variation").value,
            profile.number("clock_deviation_days").value * clock.per_day,
        ),
        week_ends=[(to_sunday + 7 * step) * clock.per_day for step in range(WEEKS_AHEAD + 1)],
        plants_standing=max(past.planting.plants, len(counts)),
        weight=_weight(profile),
        flowers_per_plant=rate,
        level=LEVEL,
    )
    first, multiplier = Week.of(record.day), two_sided_t(LEVEL, len(counts) - 1)
    records = records_of(past, record.day, profile, WEEKS_AHEAD)
    foreseen = []
    for step, window in enumerate(found):
        known = records[max(0, step - 1)]
        corrected = widened(ripening.corrected_window(window, known.factor), known, multiplier)
        foreseen.append(WeekForecast(first.plus(step), corrected, known, clock))
    return tuple(foreseen)


def _weight(profile: CropProfile) -> ripening.FruitWeight:
    deviation = profile.number("fruit_weight_sd_g").value / 1000
    return ripening.FruitWeight(profile.number("fruit_weight_g").value / 1000, deviation)
