"""Degree-days, vapour pressure and light against published output and handbook examples."""

import math

import pytest

from bayround.agronomy.heat import (
    DegreeDayMethod,
    actual_vapour_pressure_kpa,
    daily_light_integral_mol_m2,
    daily_vapour_pressure_deficit_kpa,
    degree_days,
    is_air,
    light_integral_of_readings_mol_m2,
    mean_saturation_vapour_pressure_kpa,
    saturation_vapour_pressure_kpa,
    vapour_pressure_deficit_kpa,
)

SIMPLE, MODIFIED = DegreeDayMethod.SIMPLE, DegreeDayMethod.MODIFIED
TRIANGLE, SINE = DegreeDayMethod.TRIANGLE, DegreeDayMethod.SINE

# University of California IPM output for Ojai 2016, base 12 °C, ceiling 33 °C, level cut-off, as shipped with the
# TrEnCh R package's tests (sine commit 2223fba, triangle commit 1fe7c34). The two averages follow from the
# definitions of McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300.
# lowest, highest, sine, triangle, simple, modified
OJAI = [
    (7.8, 19.4, 2.72, 2.36, 1.60, 3.70),
    (4.4, 22.2, 3.51, 2.92, 1.30, 5.10),
    (3.3, 18.9, 2.05, 1.53, 0.0, 3.45),
    (6.1, 15.0, 0.77, 0.51, 0.0, 1.50),
    (4.4, 14.4, 0.51, 0.29, 0.0, 1.20),
    (1.1, 16.1, 0.94, 0.56, 0.0, 2.05),
    (15.0, 23.9, 7.45, 7.45, 7.45, 7.45),
    (18.3, 28.9, 11.60, 11.60, 11.60, 11.60),
    (17.8, 32.2, 13.00, 13.00, 13.00, 13.00),
    (10.6, 34.4, 10.50, 10.50, 10.50, 10.50),
    (14.4, 39.4, 13.49, 14.08, 14.90, 11.70),
    (15.0, 37.2, 13.31, 13.70, 14.10, 12.00),
    (12.8, 35.6, 11.82, 12.05, 12.20, 10.90),
]


@pytest.mark.parametrize("day", OJAI)
def test_university_of_california_output(day: tuple[float, ...]) -> None:
    lowest, highest, *expected = day
    for method, published in zip((SINE, TRIANGLE, SIMPLE, MODIFIED), expected, strict=True):
        heat = degree_days(lowest, highest, base_c=12, ceiling_c=33, method=method)
        assert heat == pytest.approx(published, abs=0.00501), method


def test_documented_single_values() -> None:
    """TrEnCh R documentation, degree_days: 0.47 sine and 0.29 triangle; exact values by hand."""
    assert degree_days(7, 14, base_c=12, ceiling_c=33) == pytest.approx(0.4681, abs=5e-5)
    assert degree_days(7, 14, base_c=12, ceiling_c=33, method=TRIANGLE) == pytest.approx(2 / 7, abs=1e-12)


def test_arcsine_in_degrees_would_not_pass() -> None:
    """An early open implementation took the arcsine in degrees and printed 0.34 for this day."""
    assert abs(degree_days(7, 14, base_c=12, ceiling_c=33) - 0.34) > 0.1


@pytest.mark.parametrize(
    ("lowest", "highest", "base", "simple", "modified"),
    [
        (8, 24, 10, 6.0, 7.0),
        (2, 20, 10, 1.0, 5.0),
        (5, 15, 10, 0, 2.5),
        (-5, 12, 0, 3.5, 6.0),
        (4, 9, 10, 0, 0),
    ],
)
def test_two_averages(lowest: float, highest: float, base: float, simple: float, modified: float) -> None:
    """McMaster & Wilhelm 1997, methods 1 and 2, worked by hand from the definitions."""
    assert degree_days(lowest, highest, base_c=base, method=SIMPLE) == pytest.approx(simple, abs=1e-12)
    assert degree_days(lowest, highest, base_c=base, method=MODIFIED) == pytest.approx(modified, abs=1e-12)


@pytest.mark.parametrize(
    ("lowest", "highest", "base"), [(5.0, 25.0, 12.0), (11.0, 13.0, 12.0), (-3.0, 30.0, 10.0)]
)
def test_sine_and_triangle_are_the_areas_under_their_curves(
    lowest: float, highest: float, base: float
) -> None:
    """Second implementation: numerical integration (scipy.integrate.quad) of the curve itself."""
    from scipy.integrate import quad

    mean, half = (lowest + highest) / 2, (highest - lowest) / 2
    crossing = math.asin((base - mean) / half)
    wave, _ = quad(lambda x: mean + half * math.sin(x) - base, crossing, math.pi - crossing)
    assert degree_days(lowest, highest, base_c=base) == pytest.approx(wave / (2 * math.pi), rel=1e-9)
    start = (base - lowest) / (highest - lowest)
    slope, _ = quad(lambda x: lowest + (highest - lowest) * x - base, start, 1)
    assert degree_days(lowest, highest, base_c=base, method=TRIANGLE) == pytest.approx(slope, rel=1e-9)


@pytest.mark.parametrize(
    ("temperature", "published", "digits"),
    [
        (15, 1.705, 3),
        (18, 2.064, 3),
        (24.5, 3.075, 3),
        (25, 3.168, 3),
        (10, 1.228, 3),
        (20, 2.338, 3),
        (30, 4.243, 3),
    ],
)
def test_saturation_vapour_pressure(temperature: float, published: float, digits: int) -> None:
    """FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), equation 11, examples 3 and 5 and table 2.3."""
    assert round(saturation_vapour_pressure_kpa(temperature), digits) == published


def test_fao_example_3_mean_saturation_pressure() -> None:
    """FAO-56 example 3, p. 69: 2.39 kPa. At the mean temperature it would be 2.30: that must not pass."""
    assert round(mean_saturation_vapour_pressure_kpa(15, 24.5), 2) == 2.39
    assert round(saturation_vapour_pressure_kpa((15 + 24.5) / 2), 2) == 2.30


def test_fao_examples_5_and_6_deficit() -> None:
    """FAO-56 examples 5 (actual pressure 1.70) and 6 (deficit 0.91 kPa), p. 72."""
    humidity = {"lowest_humidity_percent": 54.0, "highest_humidity_percent": 82.0}
    assert round(actual_vapour_pressure_kpa(18, 25, **humidity), 2) == 1.70
    assert round(daily_vapour_pressure_deficit_kpa(18, 25, **humidity), 2) == 0.91


def test_deficit_at_one_moment() -> None:
    """FAO-56 equation 11 at 25 °C and 70 %, 20 °C and 80 %."""
    assert round(vapour_pressure_deficit_kpa(25, 70), 2) == 0.95
    assert round(vapour_pressure_deficit_kpa(20, 80), 2) == 0.47
    assert vapour_pressure_deficit_kpa(20, 100) == 0


def test_daily_light_integral() -> None:
    """Definition: 300 and 500 µmol/m²/s for 12 h are 12.96 and 21.60 mol/m²/d."""
    assert daily_light_integral_mol_m2(300, 12) == pytest.approx(12.96, abs=1e-12)
    assert daily_light_integral_mol_m2(500, 12) == pytest.approx(21.60, abs=1e-12)


@pytest.mark.parametrize(("steps_an_hour", "readings_of"), [(1, 24), (4, 96), (60, 1440)])
def test_light_of_readings_is_scipys_trapezoidal_sum(steps_an_hour: int, readings_of: int) -> None:
    """scipy.integrate.trapezoid over a sunny day: light follows half a sine from six to eighteen o'clock.

    The area under that sine is 2/π of its top, twelve hours long (calculus): 1,000 µmol/m²/s makes 27.502 mol/m².
    """
    from scipy.integrate import trapezoid

    hours = [step / steps_an_hour for step in range(readings_of)]
    light = [max(0.0, 1000 * math.sin(math.pi * (hour - 6) / 12)) for hour in hours]
    found = light_integral_of_readings_mol_m2(list(zip(hours, light)))
    assert found == pytest.approx(float(trapezoid(light, hours)) * 3600 / 1e6, rel=1e-12)
    exact = 1000 * 2 / math.pi * 12 * 3600 / 1e6
    assert exact == pytest.approx(27.502, abs=5e-4)
    assert found == pytest.approx(exact, rel=0.006 / steps_an_hour**2)


def test_steady_light_of_readings_is_the_definition() -> None:
    """Definition: 300 µmol/m²/s all day is 25.92 mol/m², however unevenly the readings lie."""
    readings = [(hour, 300.0) for hour in (0.5, 1.0, 7.25, 13.0, 23.75)]
    assert light_integral_of_readings_mol_m2(readings) == pytest.approx(
        daily_light_integral_mol_m2(300, 24), rel=1e-12
    )


def test_what_can_be_air() -> None:
    """The limits beyond which the functions here refuse a temperature; common practice, no source."""
    assert [is_air(one) for one in (-50.1, -50, 80, 80.1)] == [False, True, True, False]


@pytest.mark.parametrize(
    "call",
    [
        lambda: degree_days(20, 10, base_c=5),
        lambda: degree_days(10, 200, base_c=5),
        lambda: degree_days(float("nan"), 20, base_c=5),
        lambda: degree_days(10, 20, base_c=15, ceiling_c=15),
        lambda: light_integral_of_readings_mol_m2([(1, 10)]),
        lambda: light_integral_of_readings_mol_m2([(1, 10), (1, 20)]),
        lambda: light_integral_of_readings_mol_m2([(1, 10), (25, 20)]),
        lambda: light_integral_of_readings_mol_m2([(1, -1), (2, 20)]),
        lambda: vapour_pressure_deficit_kpa(20, 101),
        lambda: actual_vapour_pressure_kpa(10, 20, lowest_humidity_percent=80, highest_humidity_percent=60),
        lambda: daily_light_integral_mol_m2(-1, 12),
        lambda: daily_light_integral_mol_m2(100, 25),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
