"""Figures of picks: what was picked, and the picks coming with their 80 % interval.

The forecast counts fruit by stage on the marked plants and asks when each leaves its last stage. It is
corrected by the bay's own record (earlier forecasts against what was picked), drawn towards no
correction while that record is short.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from bayround import words
from bayround.agronomy import forecast_width, ripening
from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.pick_windows import RipeningFruit, pick_windows
from bayround.agronomy.ripening_time import FruitStage
from bayround.agronomy.stage_ages import StageAges
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.weeks import Week
from bayround.figures import pick_chances, pick_rounds, sampled
from bayround.figures.figure import Figure, Why
from bayround.figures.pick_clock import PickClock, clock_of, stages_of
from bayround.figures.pick_days import pick_days_of
from bayround.figures.pick_record import ForecastRecord, records_of, widened
from bayround.words import _

LEVEL = 0.8
WEEKS_AHEAD = 4
FLOWER_ROUNDS = 6
"""Flowers to come are as many as at the mean of so many rounds (own rule)."""
RIPE_DAYS = 1.0
"""Where the days of the picks are known, ripe fruit are picked on the next of them: in this many days."""
FORECAST_SOURCE = (
    "Wulfsohn et al. 2012, Precision Agriculture (counting by stage); Cochran 1977 ch. 2 (survey sums)"
)


@dataclass(frozen=True, slots=True)
class WeekForecast:
    """Picks foreseen in one ISO week for the whole planting, corrected by the bay's own record."""

    week: Week
    window: ripening.PickWindow
    record: ForecastRecord
    clock: PickClock
    ages_known: bool
    chances: tuple[pick_chances.StageChance, ...]

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
        (_("By how old the fruit of a stage are"), f"± {words.number(window.error_ages, 0)} {_('fruit')}"),
        (
            _("Age of the fruit in a stage"),
            _("from the rounds before") if one.ages_known else _("not known; spread evenly"),
        ),
        (_("By the chances to be picked"), f"± {words.number(window.error_chances, 0)} {_('fruit')}"),
        (_("Chance to be picked, by stage"), chances_text(one.chances)),
        (_("Correction from the bay's own record"), f"× {words.number(one.bias_factor, 2)}"),
        (_("Weeks in that record"), str(one.record.weeks)),
        (_("Width of the interval, from how many of the bay's earlier ones held"), width_text(one.record)),
    )


def width_text(record: ForecastRecord) -> str:
    """Return what the record multiplied the interval by, and why."""
    if not record.judged:
        return _("× 1.00; no week to judge it by yet")
    return _("× {factor}; {inside} of {judged} held, {percent} % promised").format(
        factor=words.number(record.width_factor, 2),
        inside=record.inside,
        judged=record.judged,
        percent=words.number(100 * LEVEL, 0),
    )


@lru_cache(maxsize=512)
def chances_text(chances: tuple[pick_chances.StageChance, ...]) -> str:
    """Return the chance of every stage, with how many of the planting's own fruit it was learned from."""
    return ", ".join(
        f"{_(one.stage)} {words.number(100 * one.chance, 0)} %"
        + (" " + _("({n} fruit followed)").format(n=one.followed) if one.followed else "")
        for one in chances
    )


def forecast(past: BayPast, record: VisitRecord, profile: CropProfile) -> tuple[WeekForecast, ...]:
    """Return the picks foreseen at a visit for the rest of its week and the four weeks after.

    Empty where fewer than two marked plants were counted by stage.
    """
    planting = past.planting
    if planting is None:
        return ()
    past = _as_known_at(past, record)
    clock = clock_of(past, profile, record.day)
    days = pick_days_of(past, record.day)
    stages = stages_of(profile, planting, clock, RIPE_DAYS if days.known else None)
    seen = pick_rounds.pick_past(past, profile, len(stages), clock)
    if not seen.rounds or seen.rounds[0].day != record.day or len(seen.rounds[0].rows) < 2:
        return ()
    chances = pick_chances.learned(seen, profile, stages)
    basis = _Basis(clock, pick_chances.with_chances(stages, chances), pick_rounds.ages_of(seen, stages))
    found = _windows(past, profile, seen.rounds[0], basis, days.week_ends(record.day, WEEKS_AHEAD))
    first, multiplier = Week.of(record.day), two_sided_t(LEVEL, len(seen.rounds[0].rows) - 1)
    records = records_of(past, record.day, profile, [window.kg for window in found[1:]])
    foreseen = []
    for step, window in enumerate(found):
        known = records[max(0, step - 1)]
        corrected = widened(ripening.corrected_window(window, known.factor), known, multiplier)
        week = first.plus(step)
        foreseen.append(WeekForecast(week, corrected, known, clock, basis.ages is not None, chances))
    return tuple(foreseen)


def _as_known_at(past: BayPast, record: VisitRecord) -> BayPast:
    """Return the past as it was at a visit, with that visit the newest; the visit may still be unfinished."""
    if past.latest is record:
        return past
    past = past.up_to(record.day)
    before = tuple(one for one in past.visits if one.visit.id != record.visit.id)
    return replace(past, visits=(*before, replace(record, aside=past.aside)))


@dataclass(frozen=True, slots=True)
class _Basis:
    """What a planting's fruit ripen by: clock, stages with learned chances, ages where they are known."""

    clock: PickClock
    stages: tuple[FruitStage, ...]
    ages: tuple[StageAges, ...] | None


def _windows(
    past: BayPast, profile: CropProfile, newest: pick_rounds.CountedRound, basis: _Basis, ends: list[float]
) -> tuple[ripening.PickWindow, ...]:
    """Return what is picked up to each of the *ends* (days from the round), not yet corrected by a record."""
    per_day = basis.clock.per_day
    counts = [newest.rows[plant] for plant in sorted(newest.rows)]
    planted = past.planting.plants if past.planting is not None else 0
    return pick_windows(
        counts,
        RipeningFruit(
            basis.stages,
            profile.number("duration_variation").value,
            profile.number("clock_deviation_days").value * per_day,
        ),
        week_ends=[end * per_day for end in ends],
        plants_standing=max(planted, len(counts)),
        weight=_weight(profile),
        new_flowers=_new_flowers(past, basis.stages[0].duration, profile),
        ages=basis.ages,
        set_variation=set_variation_of(profile),
        week=7 * per_day,
        level=LEVEL,
    )


def set_variation_of(profile: CropProfile) -> float:
    """Return how much the fruit set in single weeks differs (standard deviation over mean)."""
    return profile.number("set_variation").value


def _new_flowers(past: BayPast, duration: float, profile: CropProfile) -> ripening.NewFlowers:
    """Return flowers that will open: as many in a unit of the clock as were open at the rounds of late.

    Weeks differ by the profile's variation of set, drawn to what the rounds of a quarter of a year say beyond the
    luck of counting; the mean of late has that luck too.
    """
    counts, plants = _flowers_counted(past)
    late = [count / on / duration for count, on in zip(counts, plants, strict=True)][:FLOWER_ROUNDS]
    rate = sum(late) / len(late) if late else 0.0
    if not rate:
        return ripening.NewFlowers(0.0)
    of_weeks = forecast_width.pooled_variation_of_counts(
        counts,
        plants,
        prior_variation=set_variation_of(profile),
        prior_weight=profile.number("forecast_model_weeks").value,
    )
    of_mean = (of_weeks + forecast_width.counting_variation(counts, plants)) / len(late)
    return ripening.NewFlowers(rate, rate * math.sqrt(of_weeks + of_mean))


def _flowers_counted(past: BayPast) -> tuple[list[float], list[int]]:
    """Return flowers counted at the newest rounds, newest first, and on how many plants; none before the first flower."""
    counts: list[float] = []
    plants: list[int] = []
    for record in reversed(past.visits):
        flowers = sampled.values_of(record, "flowers")
        if flowers:
            counts.append(sum(flowers.values()))
            plants.append(len(flowers))
        if len(counts) == pick_rounds.ROUNDS_LOOKED_BACK:
            break
    while counts and not counts[-1]:
        counts.pop()
        plants.pop()
    return counts, plants


def _weight(profile: CropProfile) -> ripening.FruitWeight:
    deviation = profile.number("fruit_weight_sd_g").value / 1000
    return ripening.FruitWeight(profile.number("fruit_weight_g").value / 1000, deviation)
