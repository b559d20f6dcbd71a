"""How good the forecasts of picks were: what was said at the time against what was picked.

Only weeks that are over count, from the week of the first pick on; a week in which nothing was written
down counts as nothing picked. Of two visits in a week the later one's forecast counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from bayround import words
from bayround.agronomy import forecast_score
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Forecast
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure, Why
from bayround.figures.pick_record import picked_by_week, weeks_over
from bayround.figures.picks import FORECAST_SOURCE, LEVEL
from bayround.words import _

SOURCE = (
    "Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 3rd ed., ch. 5.8; "
    "Hyndman & Koehler 2006, Int. J. Forecast. 22:679–688 (MASE); Wilson 1927 (coverage)"
)
WEEKS_AHEAD = (1, 2, 3, 4)


@dataclass(frozen=True, slots=True)
class ScoredForecast:
    """One kept forecast whose week is over: what was said, and what came (kg)."""

    said: Forecast
    weeks_ahead: int
    week: Week
    picked_kg: float

    @property
    def inside(self) -> bool:
        """Tell whether what was picked lay in the interval."""
        return self.said.kg_low <= self.picked_kg <= self.said.kg_high


@dataclass(frozen=True, slots=True)
class BayScores:
    """The scored forecasts of one planting and its yardstick: mean change of picks from week to week (kg)."""

    scored: tuple[ScoredForecast, ...]
    usual_change_kg: float | None

    def ahead(self, weeks: int) -> tuple[ScoredForecast, ...]:
        """Return those made so many weeks ahead."""
        return tuple(one for one in self.scored if one.weeks_ahead == weeks)


def scores_of(past: BayPast, on: date) -> BayScores:
    """Return every kept forecast of a planting that can be scored on *on*, oldest first."""
    picked = picked_by_week(past)
    if not picked:
        return BayScores((), None)
    scored = [
        ScoredForecast(one.said, one.weeks_ahead, Week.parse(one.said.for_week), one.picked_kg)
        for one in weeks_over(past, on)
    ]
    return BayScores(tuple(scored), _usual_change(picked, on))


def said_figure(one: ScoredForecast) -> Figure:
    """Return what was foreseen for the week, as it was kept then, with the interval that was said (kg)."""
    said = one.said
    rule = _("What was foreseen, as it was kept on the day it was said.")
    inputs = ((_("Said on"), words.day(said.made_on)), (_("Weeks ahead"), str(one.weeks_ahead)))
    label = _("Foreseen for {week}").format(week=one.week)
    why = Why(rule, inputs, FORECAST_SOURCE, "published")
    return Figure(
        "forecast_said_kg", label, said.kg, "kg", 0, why, said.kg_low, said.kg_high, level=said.level
    )


def picked_figure(one: ScoredForecast) -> Figure:
    """Return what was picked in the week of a kept forecast; *says* whether it lay in the interval (kg)."""
    rule = _("Sum of all picks written down in that week; a week without any counts as nothing picked.")
    said = said_figure(one)
    inputs = ((_("Foreseen"), said.text_with_unit), (_("Interval"), f"{said.interval_text} kg"))
    label = _("Picked in {week}").format(week=one.week)
    says = _("inside the interval") if one.inside else _("outside the interval")
    return Figure("forecast_picked_kg", label, one.picked_kg, "kg", 0, Why(rule, inputs), says=says)


def _usual_change(picked: dict[str, float], on: date) -> float | None:
    """Mean absolute change of the weekly picks from one week to the next; nothing with fewer than two weeks."""
    week, last = Week.parse(min(picked)), Week.of(on)
    history = []
    while week < last:
        history.append(picked.get(str(week), 0.0))
        week = week.plus(1)
    changed = any(later != earlier for earlier, later in pairwise(history))
    return forecast_score.naive_scale(history) if changed else None


def figures(scores: Sequence[BayScores], ahead: int = 1) -> dict[str, Figure]:
    """Return bias (%), mean error (WAPE %), error against “as last week” (MASE) and coverage (%).

    One planting or several; forecasts made *ahead* weeks ahead only.
    """
    chosen = [one for of_bay in scores for one in of_bay.ahead(ahead)]
    inputs = (
        (_("Weeks ahead"), str(ahead)),
        (_("Forecasts whose week is over"), str(len(chosen))),
        (_("Foreseen"), f"{words.number(sum(one.said.kg for one in chosen), 0)} kg"),
        (_("Picked"), f"{words.number(sum(one.picked_kg for one in chosen), 0)} kg"),
    )
    rows = (
        ("forecast_bias_percent", _("Forecasts too low (+) or too high (−)"), "%", 0),
        ("forecast_wape_percent", _("Usual error of a forecast"), "%", 0),
        ("forecast_mase", _("Error against “as last week”"), "×", 2),
        ("forecast_coverage_percent", _("Picks inside the interval"), "%", 0),
    )
    values = _values(chosen, scores, ahead)
    found = {}
    for figure_id, label, unit, decimals in rows:
        value, low, high = values[figure_id]
        why = Why(_(RULES[figure_id]), inputs, SOURCE, "published")
        missing = "" if value is not None else _missing(len(chosen))
        n = len(chosen) or None
        found[figure_id] = Figure(
            figure_id, label, value, unit, decimals, why, low, high, n=n, missing=missing, n_of="forecasts"
        )
    return found


RULES = {
    "forecast_bias_percent": "Sum of (picked − foreseen) ÷ sum picked.",
    "forecast_wape_percent": "Sum of the errors, whichever way, ÷ sum picked.",
    "forecast_mase": "Error ÷ what “the same as last week” would have been wrong by; below 1 the forecast is the better one.",
    "forecast_coverage_percent": "Share of weeks in which the picks lay inside the interval that was said; it promises 80 %.",
}

Triple = tuple[float | None, float | None, float | None]


def _values(chosen: Sequence[ScoredForecast], scores: Sequence[BayScores], ahead: int) -> dict[str, Triple]:
    nothing: Triple = (None, None, None)
    if not chosen:
        return dict.fromkeys(RULES, nothing)
    errors = forecast_score.forecast_errors(
        [one.picked_kg for one in chosen], [one.said.kg for one in chosen]
    )
    held = forecast_score.interval_record(
        [one.picked_kg for one in chosen],
        [one.said.kg_low for one in chosen],
        [one.said.kg_high for one in chosen],
        level=LEVEL,
    )
    return {
        "forecast_bias_percent": (errors.bias_percent, None, None),
        "forecast_wape_percent": (errors.wape_percent, None, None),
        "forecast_mase": (_scaled(scores, ahead), None, None),
        "forecast_coverage_percent": (
            held.coverage * 100,
            held.coverage_low * 100,
            held.coverage_high * 100,
        ),
    }


def _scaled(scores: Sequence[BayScores], ahead: int) -> float | None:
    """Mean over all forecasts of error ÷ the planting's own yardstick; nothing where no planting has one."""
    scaled = [
        abs(one.picked_kg - one.said.kg) / of_bay.usual_change_kg
        for of_bay in scores
        if of_bay.usual_change_kg
        for one in of_bay.ahead(ahead)
    ]
    return sum(scaled) / len(scaled) if scaled else None


def _missing(forecasts: int) -> str:
    if not forecasts:
        return _("No forecast whose week is over is kept yet.")
    return _("Too little was picked to tell.")


def sentence(found: dict[str, Figure]) -> str:
    """Return the record in one sentence, for the page that shows the forecast."""
    wape, bias, held = (
        found[key] for key in ("forecast_wape_percent", "forecast_bias_percent", "forecast_coverage_percent")
    )
    if wape.value is None or bias.value is None or held.value is None:
        return held.missing or wape.missing
    tilt = _("too low") if bias.value > 0 else _("too high")
    return _(
        "Of {n} forecasts one week ahead, {held} % held what was picked (80 % promised); the usual error was "
        "{wape} %, and over all they were {bias} % {tilt}."
    ).format(
        n=held.n,
        held=held.text,
        wape=wape.text,
        bias=words.number(abs(bias.value), bias.decimals),
        tilt=tilt,
    )
