"""The one rounding: halves away from zero on the shortest decimal form, as office programs show them."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayround import words
from bayround.figures.figure import Figure, Why


@pytest.mark.parametrize(
    ("value", "decimals", "shown"),
    [
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),
        (3.5, 0, "4"),
        (-0.5, 0, "-1"),
        (-2.5, 0, "-3"),
        (0.125, 2, "0.13"),
        (0.375, 2, "0.38"),
        (2.675, 2, "2.68"),
        (1.005, 2, "1.01"),
    ],
)
def test_rounds_as_an_office_program_shows(value: float, decimals: int, shown: str) -> None:
    """Source: these ten values, printed by LibreOffice 7.4 from cells with a number format."""
    assert Figure("x", "X", value, "", decimals, Why("")).text == shown


@given(st.floats(-1e9, 1e9, allow_nan=False), st.integers(0, 3))
def test_text_and_cell_are_the_same_number(value: float, decimals: int) -> None:
    figure = Figure("x", "X", value, "", decimals, Why(""))
    assert figure.cell is not None
    assert Decimal(figure.text) == figure.shown
    assert f"{figure.cell:.{decimals}f}" == figure.text
    assert abs(Decimal(repr(value)) - Decimal(figure.text)) <= Decimal(5).scaleb(-decimals - 1)


def test_no_negative_zero() -> None:
    assert Figure("x", "X", -0.04, "", 1, Why("")).text == "0.0"


def test_missing_says_why_and_has_no_number() -> None:
    figure = Figure("x", "X", 3.0, "cm", 1, Why("rule"), low=1.0, high=5.0, n=4).without("not visited")
    assert (figure.text, figure.cell, figure.interval_text) == (words.MISSING, None, "")
    assert ("X", "not visited") in figure.explained()


def test_explained_gives_rule_sample_interval_and_source() -> None:
    why = Why("Mean of the plants.", (("Days", "7"),), "Student 1908", "published")
    figure = Figure("x", "Growth", 5.0, "cm", 1, why, low=4.0, high=6.0, n=10, n_of="plants")
    told = dict(figure.explained())
    assert list(told) == ["Growth", "95 % interval", "Days", "Rests on", "Rule", "Source"]
    assert told["Growth"] == "5.0 cm"
    assert told["95 % interval"] == "4.0 to 6.0 cm"
    assert told["Rests on"] == "10 plants"
    assert told["Days"] == "7"
    assert told["Source"] == "Student 1908 (published)"


def test_the_kind_of_source_is_said_once() -> None:
    why = Why("Rule.", (), "common practice, no source", "common practice")
    assert ("Source", "common practice, no source") in Figure("x", "X", 1.0, "", 0, why).explained()
