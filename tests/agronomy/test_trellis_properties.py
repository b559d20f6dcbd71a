"""Crop wires whatever the span."""

from hypothesis import given
from hypothesis import strategies as st

from bayround.agronomy.trellis import wire_length_m, wire_load

LOAD, SPAN, SAG = st.floats(1, 500), st.floats(1, 60), st.floats(0.01, 5)


@given(LOAD, SPAN, SAG)
def test_supports_pull_harder_than_the_middle_and_than_the_upright(
    load: float, span: float, sag: float
) -> None:
    found = wire_load(load, span, sag)
    assert found.tension_at_supports_n > found.tension_at_mid_span_n
    assert found.tension_at_supports_n > found.upright_pull_on_support_n
    assert found.caution


@given(SPAN, SAG)
def test_wire_is_longer_than_the_span_and_shorter_than_two_straight_lines_round_its_corner(
    span: float, sag: float
) -> None:
    """The parabola lies inside the triangle of its end tangents, which meet 2 sags below the supports."""
    straight = 2 * ((span / 2) ** 2 + sag**2) ** 0.5
    tangents = 2 * ((span / 2) ** 2 + (2 * sag) ** 2) ** 0.5
    assert straight <= wire_length_m(span, sag) * (1 + 1e-12)
    assert wire_length_m(span, sag) <= tangents * (1 + 1e-12)
