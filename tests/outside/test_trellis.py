"""Pull of a loaded crop wire against handbook formulas, a textbook problem and numerical integration."""

import math

import pytest

from bayround.agronomy.trellis import (
    CAUTION,
    crop_on_wire,
    tension_at_mid_span_n,
    tension_at_supports_n,
    wire_length_m,
    wire_load,
)


def test_handbook_formulas() -> None:
    """Civil Engineering Formulas, chapter 10, eq. 10.57 and 10.58: w 1, L 10, d 1 gives H 12.5, T 13.463."""
    load = wire_load(1, 10, 1)
    assert load.tension_at_mid_span_n == 12.5
    assert round(load.tension_at_supports_n, 3) == 13.463
    assert load.upright_pull_on_support_n == 5


def test_formula_without_the_square_would_not_pass() -> None:
    """A widely copied engineering page leaves out the square on (w L / 2) and gets 12.698."""
    without_square = math.sqrt(12.5**2 + 5)
    assert round(without_square, 3) == 12.698
    assert abs(tension_at_supports_n(1, 10, 1) - without_square) > 0.7


def test_textbook_load_for_a_tension() -> None:
    """Open statics text (adaptivebooks.org, Statics 6.14, problem 1): span 50 ft, sag 10 ft, 10,000 lb -> 12,494 lb."""
    assert tension_at_supports_n(12_494 / 50, 50, 10) == pytest.approx(10_000, abs=0.5)


def test_length_is_the_arc_and_the_handbook_series_its_start() -> None:
    """Eq. 10.59, S = L + 8 d² / (3 L), is 10.267 for L 10, d 1; its next term is -32 d⁴ / (5 L³)."""
    from scipy.integrate import quad

    arc, _ = quad(lambda x: math.hypot(1, 8 * 1 * x / 10**2), -5, 5)
    assert wire_length_m(10, 1) == pytest.approx(arc, rel=1e-12)
    series = 10 + 8 / 30
    assert round(series, 3) == 10.267
    assert series - 32 / 5000 < wire_length_m(10, 1) < series
    assert wire_length_m(10, 0.1) == pytest.approx(10 + 8 * 0.01 / 30, abs=1e-6)


def test_tension_follows_from_the_slope_of_the_curve() -> None:
    """Second way: T = H sqrt(1 + slope²) with the slope 4 d / L of the parabola at its end."""
    level = tension_at_mid_span_n(37, 25, 0.6)
    assert tension_at_supports_n(37, 25, 0.6) == pytest.approx(level * math.hypot(1, 4 * 0.6 / 25), rel=1e-12)


def test_halving_the_sag_doubles_the_tension() -> None:
    """Common practice, no source: the reason never to tighten a loaded wire straight."""
    assert tension_at_mid_span_n(40, 20, 0.2) == pytest.approx(2 * tension_at_mid_span_n(40, 20, 0.4))


def test_crop_on_wire_by_hand() -> None:
    """Plain arithmetic: 2.5 plants/m of 1.2 kg with 8 fruit of 0.2 kg, wire 0.05 kg/m; standard gravity 9.80665."""
    crop = crop_on_wire(plants_per_m=2.5, plant_kg=1.2, fruit_per_plant=8, fruit_kg=0.2, wire_kg_per_m=0.05)
    assert (crop.plant_kg_per_m, crop.fruit_kg_per_m) == (3.0, pytest.approx(4.0))
    assert crop.total_kg_per_m == pytest.approx(7.05)
    assert crop.load_n_per_m == pytest.approx(69.1368825)


def test_every_result_carries_the_caution() -> None:
    crop = crop_on_wire(plants_per_m=2, plant_kg=1, fruit_per_plant=5, fruit_kg=0.2)
    assert crop.caution == wire_load(crop.load_n_per_m, 10, 0.2).caution == CAUTION
    assert "engineer" in CAUTION


@pytest.mark.parametrize(
    "call",
    [
        lambda: wire_load(0, 10, 1),
        lambda: wire_load(1, 10, 0),
        lambda: wire_load(1, -10, 1),
        lambda: wire_load(math.inf, 10, 1),
        lambda: crop_on_wire(plants_per_m=2, plant_kg=-1, fruit_per_plant=5, fruit_kg=0.2),
        lambda: crop_on_wire(plants_per_m=2, plant_kg=0, fruit_per_plant=0, fruit_kg=0.2),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
