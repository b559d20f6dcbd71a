"""Degree-days whatever the day."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayround.agronomy.heat import DegreeDayMethod, degree_days, vapour_pressure_deficit_kpa

TEMPERATURE = st.floats(-20, 50)
DAY = st.tuples(TEMPERATURE, TEMPERATURE).map(lambda pair: (min(pair), max(pair)))
METHOD = st.sampled_from(DegreeDayMethod)


@given(DAY, METHOD, st.floats(0, 15))
def test_never_below_nothing_and_less_above_a_higher_base(
    day: tuple[float, float], method: DegreeDayMethod, base: float
) -> None:
    lower = degree_days(*day, base_c=base, method=method)
    assert lower >= -1e-12
    assert degree_days(*day, base_c=base + 2, method=method) <= lower + 1e-9


@given(DAY, METHOD, st.floats(0, 15), st.floats(1, 25))
def test_a_ceiling_takes_heat_away_and_caps_it(
    day: tuple[float, float], method: DegreeDayMethod, base: float, above: float
) -> None:
    capped = degree_days(*day, base_c=base, ceiling_c=base + above, method=method)
    assert -1e-9 <= capped <= min(above, degree_days(*day, base_c=base, method=method)) + 1e-9


@given(DAY, st.floats(-5, 15))
def test_the_simple_average_never_counts_more_than_the_others(day: tuple[float, float], base: float) -> None:
    """McMaster & Wilhelm 1997: the first method is never larger than the second; nor than sine and triangle."""
    simple = degree_days(*day, base_c=base, method=DegreeDayMethod.SIMPLE)
    for method in DegreeDayMethod:
        assert simple <= degree_days(*day, base_c=base, method=method) + 1e-9


@given(DAY, METHOD)
def test_all_methods_agree_on_a_day_wholly_above_the_base(
    day: tuple[float, float], method: DegreeDayMethod
) -> None:
    base = day[0] - 1
    assert degree_days(*day, base_c=base, method=method) == pytest.approx(sum(day) / 2 - base, abs=1e-9)


@given(TEMPERATURE, st.floats(0, 99))
def test_drier_air_has_more_deficit(temperature: float, humidity: float) -> None:
    assert vapour_pressure_deficit_kpa(temperature, humidity) > vapour_pressure_deficit_kpa(
        temperature, humidity + 1
    )
