"""What a planting's own record of forecasts and picks says about the next forecast: its factor and its width."""

from __future__ import annotations

import math
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

    *factor_error*: how uncertain the factor still is (log scale); *log_ratios*: of picked to foreseen.
    """

    factor: float
    factor_error: float
    log_ratios: tuple[float, ...]
    model_weight: float

    def relative_deviation(self, model_deviation: float) -> float:
        """Return how far the next week may lie off its corrected forecast, as a share of it.

        *model_deviation* is what the forecast itself says; the record's own scatter is drawn into it.
        """
        swing = forecast_width.pooled_deviation(
            self.log_ratios, prior_deviation=model_deviation, prior_weight=self.model_weight
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


Line = tuple[str, float, float]
"""Week, kg foreseen without correction, kg picked."""


def lines_of(past: BayPast, before: date) -> dict[int, list[Line]]:
    """Return weeks ahead → the lines of weeks over by *before*, oldest first."""
    picked, running = picked_by_week(past), _week_text(before)
    found: dict[int, list[Line]] = {}
    for said in past.forecasts:
        came = picked.get(said.for_week, 0.0)
        if said.for_week < running and came > 0 and said.kg > 0:
            line = (said.for_week, said.kg / said.bias_factor, came)
            found.setdefault(weeks_ahead(said), []).append(line)
    return {ahead: sorted(lines) for ahead, lines in found.items()}


def weeks_ahead(said: Forecast) -> int:
    """Return how many weeks before its week a forecast was made."""
    return _weeks_ahead(said.made_on, said.for_week)


@lru_cache(maxsize=4096)
def _weeks_ahead(made_on: date, for_week: str) -> int:
    return (Week.parse(for_week).monday - Week.of(made_on).monday).days // 7


def records_of(past: BayPast, on: date, profile: CropProfile, furthest: int) -> tuple[ForecastRecord, ...]:
    """Return what the newest weeks over by *on* say about forecasts made 1, 2, … *furthest* weeks ahead."""
    lines = lines_of(past, on)
    return tuple(_record(lines.get(ahead, []), profile) for ahead in range(1, furthest + 1))


def _record(lines: list[Line], profile: CropProfile) -> ForecastRecord:
    prior = profile.number("forecast_factor_deviation").value
    weight = profile.number("forecast_model_weeks").value
    newest = lines[-int(profile.number("forecast_record_weeks").value) :]
    if not newest:
        return ForecastRecord(1.0, prior, (), weight)
    ratios = tuple(math.log(came / said) for _week, said, came in newest)
    bias = forecast_score.ratio_bias(
        [came for _week, _said, came in newest],
        [said for _week, said, _came in newest],
        week_deviation=forecast_width.pooled_deviation(
            ratios, prior_deviation=profile.number("forecast_week_deviation").value, prior_weight=weight
        ),
        factor_deviation=prior,
    )
    return ForecastRecord(bias.factor, bias.factor_error, ratios, weight)


def widened(window: PickWindow, record: ForecastRecord, multiplier: float) -> PickWindow:
    """Return a corrected window whose interval knows the record too.

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
    return multiplier * record.relative_deviation(said) * value
