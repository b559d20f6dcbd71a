"""Vapour pressure deficit and light of days and of the week before, against the worked examples of FAO-56."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.agronomy.heat import saturation_vapour_pressure_kpa
from bayround.facts.bay_past import BayPast
from bayround.facts.work import ClimateDay
from bayround.figures import climate
from bayround.week import bay_figures

TODAY = date(2026, 10, 27)
EXAMPLE = ClimateDay("d", "h", date(2026, 10, 26), 18.0, 25.0, 54.0, 82.0)
"""Allen et al. 1998, FAO-56, examples 5 and 6: 18 and 25 °C with 82 and 54 % humidity."""


def bay_with(*days: ClimateDay) -> BayPast:
    return replace(factory.past(2), climate_days=days)


def days_before(count: int, **values: float | None) -> tuple[ClimateDay, ...]:
    backs = range(count, 0, -1)
    return tuple(
        replace(EXAMPLE, id=str(back), day=TODAY - timedelta(days=back), **values)  # type: ignore[arg-type]
        for back in backs
    )


def test_the_deficit_of_a_day_is_that_of_example_6() -> None:
    """FAO-56 example 6: 2.616 - 1.702 = 0.91 kPa (printed to two places)."""
    figure = climate.of_day(EXAMPLE)["vapour_pressure_deficit_kpa"]
    assert figure.value == pytest.approx(0.91, abs=0.005)
    assert (figure.text_with_unit, figure.why.basis) == ("0.91 kPa", "published")
    assert "FAO" in figure.why.source
    # Trap: saturation at the mean temperature is too low (FAO-56, equation 12).
    too_low = saturation_vapour_pressure_kpa(21.5) - 1.702
    assert too_low != pytest.approx(figure.value, abs=0.03)


def test_a_loggers_own_mean_comes_before_that_of_the_extremes() -> None:
    figure = climate.of_day(replace(EXAMPLE, vapour_pressure_deficit_kpa=0.777))[
        "vapour_pressure_deficit_kpa"
    ]
    assert figure.value == 0.777
    assert "logger" in figure.why.rule


@pytest.mark.parametrize(
    "day",
    [
        replace(EXAMPLE, humidity_low_percent=None),
        replace(EXAMPLE, humidity_high_percent=None),
        replace(EXAMPLE, low_c=-80.0),
    ],
)
def test_without_humidity_there_is_none_and_it_says_so(day: ClimateDay) -> None:
    figure = climate.of_day(day)["vapour_pressure_deficit_kpa"]
    assert figure.value is None
    assert figure.missing == "Humidity is not kept for these days."


def test_the_week_before_is_a_mean_of_its_days_and_nothing_else() -> None:
    old = replace(EXAMPLE, id="old", day=TODAY - timedelta(days=8), vapour_pressure_deficit_kpa=9.0)
    today = replace(old, id="today", day=TODAY)
    found = climate.figures(bay_with(old, *days_before(7, light_mol_m2=12.0), today), TODAY)
    deficit, light = found["vapour_pressure_deficit_kpa"], found["light_mol_m2_day"]
    assert (deficit.text, deficit.n, deficit.n_of) == ("0.91", 7, "days")
    assert (light.value, light.n, light.unit) == (12.0, 7, "mol/m²")


@pytest.mark.parametrize(("kept", "known"), [(4, False), (5, True)])
def test_too_few_days_make_no_week(kept: int, known: bool) -> None:
    found = climate.figures(bay_with(*days_before(kept)), TODAY)
    assert (found["vapour_pressure_deficit_kpa"].value is not None) is known
    assert found["light_mol_m2_day"].missing == "Light is not kept for these days."


def test_they_stand_in_a_week_without_a_visit() -> None:
    found = climate.figures(bay_with(*days_before(7, light_mol_m2=12.0)), TODAY)
    assert bay_figures.of_week(found, False, "No visit.") == found
