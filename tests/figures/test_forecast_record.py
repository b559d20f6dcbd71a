"""The record of kept forecasts, against a textbook set and by hand; what it makes of the next forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.ids import new_id
from bayround.facts.kept import Forecast
from bayround.facts.weeks import Week
from bayround.facts.work import Pick
from bayround.figures import forecast_record, pick_record, picks

PEPPER = load_crops().profile("sweet_pepper")
ACTUAL = [420.0, 390, 410, 488, 415, 398, 419, 488, 414, 374]
FORESEEN = [421.0, 379, 398, 491] * 2 + [421.0, 379]
FIRST = Week(2026, 30)


def with_record(
    actual: list[float],
    foreseen: list[float],
    *,
    ahead: int = 1,
    width: float = 30.0,
    factor: float = 1.0,
    rounds: int = 2,
) -> BayPast:
    """Return a bay that picked *actual* kg week by week from W30 on, each foreseen so many weeks ahead."""
    past = factory.past(rounds)
    assert past.planting is not None
    kept, picked = [], []
    for step, (came, said) in enumerate(zip(actual, foreseen, strict=True)):
        week = FIRST.plus(step)
        made_on = week.monday - timedelta(weeks=ahead) + timedelta(days=2)
        kept.append(
            Forecast(
                new_id(), past.planting.id, made_on, str(week), said * 5, 0, said * 9,
                said, said - width, said + width, bias_factor=factor,
            )
        )  # fmt: skip
        if came:
            picked.append(Pick(new_id(), past.bay.id, past.planting.id, week.monday, came))
    return replace(past, forecasts=tuple(kept), picks=tuple(picked))


def record_1(past: BayPast, on: date) -> pick_record.ForecastRecord:
    return pick_record.records_of(past, on, PEPPER, [100.0] * 4)[0]


LATER = FIRST.plus(20).monday


def test_errors_are_those_of_the_textbook() -> None:
    """Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 3rd ed., 5.8: Australian beer 2008 to 2010 Q2,
    seasonal naive forecasts: MAE 13.4 (sum of errors over sum of actuals is then 134 / 4216)."""
    scores = forecast_record.scores_of(with_record(ACTUAL, FORESEEN), LATER)
    assert [one.picked_kg for one in scores.scored] == ACTUAL
    found = forecast_record.figures([scores])
    errors = np.abs(np.array(ACTUAL) - np.array(FORESEEN))
    assert found["forecast_wape_percent"].value == pytest.approx(100 * errors.sum() / sum(ACTUAL))
    bias = 100 * (np.array(ACTUAL) - np.array(FORESEEN)).sum() / sum(ACTUAL)
    assert found["forecast_bias_percent"].value == pytest.approx(bias)
    assert found["forecast_mase"].value == pytest.approx(errors.mean() / scores.usual_change_kg)  # type: ignore[operator]
    inside = int((errors <= 30).sum())
    assert found["forecast_coverage_percent"].value == pytest.approx(100 * inside / 10)
    assert found["forecast_coverage_percent"].low is not None


def test_the_yardstick_is_the_mean_change_from_week_to_week() -> None:
    past = with_record(ACTUAL, FORESEEN)
    scores = forecast_record.scores_of(past, FIRST.plus(10).monday)
    assert scores.usual_change_kg == pytest.approx(np.abs(np.diff(ACTUAL)).mean())


def test_a_running_week_is_not_scored_and_a_week_without_picks_counts_as_none() -> None:
    past = with_record([0.0, 100, 0.0, 80, 60], [50.0, 90, 70, 85, 60])
    running = FIRST.plus(4).monday + timedelta(days=3)
    scores = forecast_record.scores_of(past, running)
    assert [(one.week, one.picked_kg) for one in scores.scored] == [
        (FIRST.plus(1), 100),
        (FIRST.plus(2), 0.0),
        (FIRST.plus(3), 80),
    ]


def test_forecasts_are_told_apart_by_weeks_ahead() -> None:
    past = with_record(ACTUAL, FORESEEN, ahead=3)
    scores = forecast_record.scores_of(past, LATER)
    assert forecast_record.figures([scores], 1)["forecast_wape_percent"].value is None
    assert forecast_record.figures([scores], 3)["forecast_wape_percent"].n == 10


def test_without_a_record_it_says_so() -> None:
    found = forecast_record.figures([forecast_record.scores_of(factory.past(2), LATER)])
    assert all(figure.missing for figure in found.values())
    assert forecast_record.sentence(found) == "No forecast whose week is over is kept yet."


def test_the_sentence_says_all_of_it() -> None:
    scores = forecast_record.scores_of(with_record([100.0] * 8 + [85.0], [120.0] * 9), LATER)
    said = forecast_record.sentence(forecast_record.figures([scores]))
    assert said.startswith("Of 9 forecasts one week ahead, 89 % held what was picked")
    assert said.endswith("they were 22 % too high.")


def test_the_factor_is_that_of_the_newest_weeks_drawn_to_one() -> None:
    """By hand: six even weeks of 100 kg foreseen, 404 kg picked; gamma with prior mean 1, the swing pooled."""
    past = with_record([80.0] * 4 + [60.0, 70, 66, 75, 62, 71], [100.0] * 10)
    record = record_1(past, LATER)
    came = np.array([60.0, 70, 66, 75, 62, 71])
    raw = came.sum() / 600
    apart = (came - 100 * raw) / np.sqrt((came + 100 * raw) / 2 * 100 * raw)
    sigma0, tau = (PEPPER.number(f"forecast_{name}_deviation").value for name in ("week", "factor"))
    sigma2 = (4 * sigma0**2 + ((apart - apart.mean()) ** 2).sum()) / (4 + 5)
    factor = (1 / tau**2 + 6 / sigma2 * raw) / (1 / tau**2 + 6 / sigma2)
    assert record.factor == pytest.approx(factor)
    assert record.weeks == len(record.residuals) == 6


def test_weeks_without_a_pick_and_second_visits_count_in_the_factor_as_in_the_record() -> None:
    """One story: the page scores six weeks, one of them empty and one foreseen twice, and so does the correction."""
    past = with_record([80.0, 90, 0, 70, 85, 75], [100.0] * 6)
    again = replace(
        past.forecasts[3], id=new_id(), made_on=past.forecasts[3].made_on + timedelta(days=2), kg=60.0
    )
    past = replace(past, forecasts=(*past.forecasts, again))
    scores = forecast_record.scores_of(past, LATER)
    record = record_1(past, LATER)
    assert len(scores.scored) == record.weeks == 6
    assert [one.said.kg for one in scores.scored] == [100.0] * 3 + [60.0] + [100.0] * 2
    found = forecast_record.figures([scores])
    assert found["forecast_bias_percent"].value == pytest.approx(100 * (400 - 560) / 400)
    assert min(record.residuals) == record.residuals[2] < -1


def test_the_correction_said_at_the_time_is_taken_out_before_learning() -> None:
    plain = record_1(with_record([80.0] * 5, [100.0] * 5), LATER)
    corrected = record_1(with_record([80.0] * 5, [90.0] * 5, factor=0.9), LATER)
    assert corrected.factor == pytest.approx(plain.factor)


def test_intervals_that_all_held_make_the_next_one_narrower_and_say_so() -> None:
    """All 10 weeks inside: (4 x 0.8 + 10) / 14 = 0.942857 where 4 weeks are what the file's promise is worth."""
    weight = PEPPER.number("forecast_model_weeks").value
    assert weight == 4
    wide, narrow = with_record(ACTUAL, FORESEEN, width=400.0), with_record(ACTUAL, FORESEEN, width=0.5)
    found = record_1(wide, LATER)
    assert (found.inside, found.judged) == (10, 10)
    assert found.width_factor == pytest.approx(1.2815515655 / 1.9023, rel=1e-3)
    assert "10 of 10 held, 80 % promised" in picks.width_text(found)
    assert record_1(narrow, LATER).width_factor > 2
    assert record_1(wide, FIRST.monday).width_factor == 1.0
    unscaled = replace(wide, forecasts=tuple(replace(one, width_factor=100.0) for one in wide.forecasts))
    assert record_1(unscaled, LATER).inside == 3  # judged at the width they had without the factor: ± 4 kg
    assert wide.latest is not None
    window = picks.forecast(wide, wide.latest, PEPPER)[1].window
    whole, half = (
        pick_record.widened(window, replace(found, width_factor=factor), 1.4).kg_high - window.kg
        for factor in (1.0, 0.5)
    )
    assert half == pytest.approx(whole / 2)


def test_only_weeks_over_by_the_day_teach() -> None:
    past = with_record([80.0] * 5, [100.0] * 5)
    during = FIRST.plus(3).monday + timedelta(days=1)
    assert record_1(past, during).weeks == 3
    assert record_1(past, FIRST.monday).factor == 1.0


def test_a_wild_record_gives_a_wider_interval_than_a_steady_one() -> None:
    halves = []
    for came in ([20.0, 300, 40, 250, 30, 280] * 2, [150.0] * 12, [100.0, 103, 98, 101, 99, 102] * 2):
        past = with_record(came, [100.0] * 12, rounds=14)
        assert past.latest is not None
        window = picks.forecast(past, past.latest, PEPPER)[1].window
        halves.append((window.kg_high - window.kg) / window.kg)
    assert halves[0] > 1.2 * halves[1]
    assert halves[0] > 1.2 * halves[2]
