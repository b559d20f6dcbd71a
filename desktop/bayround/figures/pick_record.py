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
def _week_text(day: date, weeks_on: int = 0) -> str:
    return str(Week.of(day).plus(weeks_on))


def lines_of(past: BayPast, before: date, weeks_ahead: int) -> list[tuple[str, float, float]]:
    """Return (week, kg foreseen without correction, kg picked) of weeks over by *before*, oldest first."""
    picked, running = picked_by_week(past), _week_text(before)
    found = []
    for said in past.forecasts:
        came = picked.get(said.for_week, 0.0)
        if (
            said.for_week < running
            and said.for_week == _week_text(said.made_on, weeks_ahead)
            and came > 0
            and said.kg > 0
        ):
            found.append((said.for_week, said.kg / said.bias_factor, came))
    return sorted(found)


def record_of(past: BayPast, on: date, profile: CropProfile, weeks_ahead: int) -> ForecastRecord:
    """Return what the newest weeks over by *on* say about forecasts made *weeks_ahead* weeks ahead."""
    prior = profile.number("forecast_factor_deviation").value
    weight = profile.number("forecast_model_weeks").value
    lines = lines_of(past, on, weeks_ahead)[-int(profile.number("forecast_record_weeks").value) :]
    if not lines:
        return ForecastRecord(1.0, prior, (), weight)
    ratios = tuple(math.log(came / said) for _week, said, came in lines)
    bias = forecast_score.ratio_bias(
        [came for _week, _said, came in lines],
        [said for _week, said, _came in lines],
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
