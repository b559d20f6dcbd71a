"""Degree-days of a bay against a university's published output, gaps filled, and the clock of the pick forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.crops import apply_overrides, load_crops
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.work import ClimateDay
from bayround.figures import heat, picks
from bayround.figures.pick_clock import clock_of, stages_of

OJAI = (
    ((7.8, 19.4), 2.72),
    ((4.4, 22.2), 3.51),
    ((3.3, 18.9), 2.05),
    ((6.1, 15.0), 0.77),
    ((4.4, 14.4), 0.51),
    ((1.1, 16.1), 0.94),
    ((15.0, 23.9), 7.45),
    ((18.3, 28.9), 11.60),
    ((17.8, 32.2), 13.00),
    ((10.6, 34.4), 10.50),
    ((14.4, 39.4), 13.49),
    ((15.0, 37.2), 13.31),
    ((12.8, 35.6), 11.82),
)
"""(lowest, highest) °C and degree-days, single sine, base 12 and level cut-off 33 °C: University of California
IPM output for Ojai 2016, as printed in the test files of the TrEnCh R package (commit 2223fba)."""


def profile(**changes: float) -> CropProfile:
    values = [("sweet_pepper", name, value) for name, value in changes.items()]
    return apply_overrides(load_crops(), values).profile("sweet_pepper")


OF_OJAI = profile(base_temperature_c=12, upper_temperature_c=33)
PEPPER = profile()


def with_days(days: list[tuple[float, float] | None], first: date = factory.TRANSPLANTED) -> BayPast:
    """Return a bay whose house kept these days from *first* on; none where a day is missing."""
    past = factory.past(2)
    kept = tuple(
        ClimateDay(f"day {step}", past.house.id, first + timedelta(days=step), *pair)
        for step, pair in enumerate(days)
        if pair is not None
    )
    return replace(past, climate_days=kept)


def test_heat_since_transplanting_is_the_universitys_sum() -> None:
    past = with_days([pair for pair, _cd in OJAI])
    figure = heat.figures(past, OF_OJAI, factory.TRANSPLANTED + timedelta(days=len(OJAI)))["heat_cd"]
    assert figure.value == pytest.approx(sum(cd for _pair, cd in OJAI), abs=0.005 * len(OJAI))
    assert figure.n == len(OJAI)
    assert ("Method", "single sine") in figure.why.inputs


def test_only_days_before_the_day_of_looking_count() -> None:
    past = with_days([pair for pair, _cd in OJAI])
    figure = heat.figures(past, OF_OJAI, factory.TRANSPLANTED + timedelta(days=3))["heat_cd"]
    assert figure.value == pytest.approx(2.72 + 3.51 + 2.05, abs=0.015)


def test_a_missing_day_counts_as_the_mean_of_the_days_beside_it() -> None:
    days: list[tuple[float, float] | None] = [pair for pair, _cd in OJAI]
    days[1] = None
    figure = heat.figures(with_days(days), OF_OJAI, factory.TRANSPLANTED + timedelta(days=len(OJAI)))[
        "heat_cd"
    ]
    expected = sum(cd for _pair, cd in OJAI) - 3.51 + (2.72 + 2.05) / 2
    assert figure.value == pytest.approx(expected, abs=0.06)
    assert ("Days without temperatures, filled from the days beside them", "1") in figure.why.inputs


def test_too_few_days_give_no_sum() -> None:
    days: list[tuple[float, float] | None] = [
        pair if step % 2 else None for step, (pair, _cd) in enumerate(OJAI)
    ]
    figure = heat.figures(with_days(days), OF_OJAI, factory.TRANSPLANTED + timedelta(days=len(OJAI)))[
        "heat_cd"
    ]
    assert figure.value is None
    assert "6 of 13 days" in figure.missing


def even_days(past: BayPast, low: float, high: float, days: int, until: date) -> BayPast:
    kept = tuple(
        ClimateDay(f"d{step}", past.house.id, until - timedelta(days=step), low, high)
        for step in range(1, days + 1)
    )
    return replace(past, climate_days=tuple(reversed(kept)))


def test_picks_are_reckoned_in_degree_days_where_fourteen_days_are_kept() -> None:
    past = even_days(factory.past(2), 15.0, 25.0, 14, factory.FIRST_ROUND + timedelta(days=7))
    assert past.latest is not None
    assert past.planting is not None
    clock = clock_of(past, PEPPER, past.latest.day)
    assert clock.in_heat
    assert clock.per_day == pytest.approx(10.0)  # always between base and upper: mean 20 less base 10
    stages = stages_of(PEPPER, past.planting, clock)
    assert sum(stage.duration for stage in stages[:-1]) == pytest.approx(
        700
    )  # flower to pick of the crop file
    assert stages[-1].duration == pytest.approx(7 / 2 * 10.0)  # half the days between two picks
    figure = picks.coming(past, PEPPER)["picks_kg_next"]
    assert any(text.startswith("degree-days") for _name, text in figure.why.inputs)


def test_without_temperatures_days_count_and_the_figure_says_so() -> None:
    day = factory.FIRST_ROUND + timedelta(days=7)
    for past in (factory.past(2), even_days(factory.past(2), 15.0, 25.0, 11, day)):
        assert past.latest is not None
        clock = clock_of(past, PEPPER, past.latest.day)
        assert not clock.in_heat
        figure = picks.coming(past, PEPPER)["picks_kg_next"]
        assert any(text.startswith("days;") for _name, text in figure.why.inputs)


def test_a_warmer_house_brings_the_picks_forward() -> None:
    day = factory.FIRST_ROUND + timedelta(days=7)
    cool, warm = (even_days(factory.past(2), low, low + 10, 14, day) for low in (11.0, 17.0))
    early = [picks.coming(past, PEPPER)["picks_kg_next"].value for past in (cool, warm)]
    assert early[0] is not None
    assert early[1] is not None
    assert early[1] > early[0] * 1.3
