"""What a planting's own record of forecasts and picks says about the next forecast: its factor and its width.

Every week that is over counts once, from the week of the first pick on; of two visits in a week the later one's
forecast counts, and a week in which nothing was written down counts as nothing picked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from bayround.agronomy import forecast_score, forecast_width
from bayround.agronomy.ripening import PickWindow
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Forecast
from bayround.facts.weeks import Week


@dataclass(frozen=True, slots=True)
class ForecastRecord:
    """The factor on forecasts made so many weeks ahead (1: no record yet) and what it rests on.

    *factor_error*: how uncertain the factor still is, as a share of it; *residuals*: how far each week was out
    of its corrected forecast, as a share. *width_factor*: what the width of the interval is multiplied by, as
    *inside* of *judged* earlier ones held what came, taken at the width they had without a factor.
    """

    factor: float
    factor_error: float
    residuals: tuple[float, ...]
    weeks: int
    model_weight: float
    width_factor: float = 1.0
    inside: int = 0
    judged: int = 0

    def relative_deviation(self, model_deviation: float) -> float:
        """Return how far the next week may lie off its corrected forecast, as a share of it.

        *model_deviation* is what the forecast itself says; the record's own scatter is drawn into it.
        """
        swing = forecast_width.pooled_deviation(
            self.residuals, prior_deviation=model_deviation, prior_weight=self.model_weight
        )
        return forecast_width.relative_deviation_of_next(swing, self.factor_error)


def picked_by_week(past: BayPast) -> dict[str, float]:
    """Return week, written as 2026-W47, → kg picked."""
    found: dict[str, float] = {}
    for pick in past.picks:
        week = _week_text(pick.picked_on)
        found[week] = found.get(week, 0.0) + pick.kg
    return found


@lru_cache(maxsize=4096)
def _week_text(day: date) -> str:
    return str(Week.of(day))


@dataclass(frozen=True, slots=True)
class WeekOver:
    """A kept forecast whose week is over, and what was picked in that week (kg)."""

    said: Forecast
    weeks_ahead: int
    picked_kg: float


def weeks_over(past: BayPast, on: date) -> list[WeekOver]:
    """Return the kept forecasts that can be judged on *on*, oldest week first; one for a week and weeks ahead."""
    picked = picked_by_week(past)
    if not picked:
        return []
    running, first = _week_text(on), min(picked)
    found: dict[tuple[str, int], Forecast] = {}
    for said in past.forecasts:
        if first <= said.for_week < running:
            key = (said.for_week, weeks_ahead(said))
            if key not in found or found[key].made_on <= said.made_on:
                found[key] = said
    return [
        WeekOver(said, ahead, picked.get(week, 0.0))
        for (week, ahead), said in sorted(found.items(), key=_key)
    ]


def _key(item: tuple[tuple[str, int], Forecast]) -> tuple[str, int]:
    return item[0]


def weeks_ahead(said: Forecast) -> int:
    """Return how many weeks before its week a forecast was made."""
    return _weeks_ahead(said.made_on, said.for_week)


@lru_cache(maxsize=4096)
def _weeks_ahead(made_on: date, for_week: str) -> int:
    return (Week.parse(for_week).monday - Week.of(made_on).monday).days // 7


def records_of(
    past: BayPast, on: date, profile: CropProfile, expected_kg: Sequence[float]
) -> tuple[ForecastRecord, ...]:
    """Return what the newest weeks over by *on* say about forecasts made 1, 2, … weeks ahead.

    *expected_kg*: what is foreseen now, without correction, so many weeks ahead: weeks in which far less was
    foreseen teach little about it.
    """
    by_ahead: dict[int, list[WeekOver]] = {}
    for one in weeks_over(past, on):
        if one.said.kg > 0:
            by_ahead.setdefault(one.weeks_ahead, []).append(one)
    return tuple(
        _record(by_ahead.get(ahead, []), ahead, profile, kg) for ahead, kg in enumerate(expected_kg, start=1)
    )


def _record(over: list[WeekOver], ahead: int, profile: CropProfile, expected_kg: float) -> ForecastRecord:
    prior = profile.number("forecast_factor_deviation").value
    weight = profile.number("forecast_model_weeks").value
    newest = over[-int(profile.number("forecast_record_weeks").value) :]
    if not newest:
        return ForecastRecord(1.0, prior, (), 0, weight)
    came = [one.picked_kg for one in newest]
    said = [one.said.kg / one.said.bias_factor for one in newest]
    raw = sum(came) / sum(said)
    swing = forecast_width.pooled_deviation(
        forecast_width.scaled_residuals(came, [raw * each for each in said]) if raw > 0 else (),
        prior_deviation=profile.number("forecast_week_deviation").value,
        prior_weight=weight,
    )
    bias = forecast_score.amount_bias(
        came, said, week_deviation=swing, factor_deviation=prior, usual=expected_kg, weeks_ahead=ahead
    )
    residuals = forecast_width.scaled_residuals(came, [bias.factor * each for each in said])
    inside, level = sum([_held_unscaled(one) for one in over]), over[-1].said.level
    width = forecast_width.width_factor(inside, len(over), level=level, prior_weight=weight)
    return ForecastRecord(
        bias.factor, bias.factor_error, tuple(residuals), len(newest), weight, width, inside, len(over)
    )


def _held_unscaled(one: WeekOver) -> bool:
    """Tell whether a kept interval held what came, had its width not been multiplied by the record's factor."""
    half = (one.said.kg_high - one.said.kg) / one.said.width_factor
    return abs(one.picked_kg - one.said.kg) <= half


def widened(window: PickWindow, record: ForecastRecord, multiplier: float) -> PickWindow:
    """Return a corrected window whose interval knows the record too: the scatter of its weeks, and which ones held.

    *multiplier* is Student's t that its limits were made with; a window without fruit stays as it is.
    """
    if window.fruit <= 0 or window.kg <= 0:
        return window
    kg_half = _half(window.kg, window.kg_high, multiplier, record)
    fruit_half = _half(window.fruit, window.fruit_high, multiplier, record)
    return replace(
        window,
        fruit_low=max(0.0, window.fruit - fruit_half),
        fruit_high=window.fruit + fruit_half,
        kg_low=max(0.0, window.kg - kg_half),
        kg_high=window.kg + kg_half,
    )


def _half(value: float, high: float, multiplier: float, record: ForecastRecord) -> float:
    said = (high - value) / multiplier / value
    return multiplier * record.relative_deviation(said) * record.width_factor * value
