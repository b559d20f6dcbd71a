"""What can be typed into a number cell and when it is complete. Expected results worked out by hand."""

from __future__ import annotations

import pytest

from bayround.window.parts.number_entry import (
    NumberRule,
    Settled,
    can_stand,
    parse,
    plain_digits,
    refusal,
    settled,
    shown,
)


def rule(
    decimals: int = 0, *, low: float = 0.0, high: float = 150.0, likely: tuple[float, float] = (0.0, 15.0)
) -> NumberRule:
    return NumberRule("Green of plant 3", "cm" if decimals else "", decimals, low, high, *likely)


@pytest.mark.parametrize("text", ["", "0", "7", "12", "150", "999999"])
def test_whole_numbers_can_be_typed(text: str) -> None:
    assert can_stand(text, rule())


@pytest.mark.parametrize("text", ["a", "-1", "1.", "1,5", "1 2", "1e3", "+4", "1234567", "٣x"])
def test_nothing_else_gets_into_a_whole_number(text: str) -> None:
    assert not can_stand(text, rule())


@pytest.mark.parametrize(
    ("text", "fits"),
    [
        ("87.5", True),
        ("87,5", True),
        (",5", True),
        ("87.55", False),
        ("8.7.5", False),
        ("1.234", False),
        ("1,234.5", False),
    ],
)
def test_one_decimal_mark_and_no_more_decimals_than_the_field_has(text: str, fits: bool) -> None:
    assert can_stand(text, rule(1)) is fits


def test_point_and_comma_mean_the_same_and_a_lone_mark_is_no_number() -> None:
    assert parse("87,5") == parse("87.5") == 87.5
    assert parse(",") is None
    assert parse("") is None
    assert parse("87.") == 87.0


def test_digits_of_other_scripts_become_plain_ones() -> None:
    # Unicode 15, DerivedNumericType: Arabic-Indic U+0664, extended Arabic-Indic U+06F7, fullwidth U+FF12.
    assert plain_digits("٤۷２") == "472"
    assert plain_digits("x½") == "x½"


def test_a_number_outside_the_hard_limits_is_refused_in_words() -> None:
    assert refusal(151, rule()) == "Green of plant 3: 151 can't be right, 150 is the most."
    assert refusal(0, rule(low=1)) == "Green of plant 3: 0 can't be right, 1 is the least."
    assert refusal(150, rule()) == ""
    assert refusal(float("inf"), rule())
    assert refusal(float("nan"), rule())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0", Settled.FULL),  # no whole number goes on after a nought
        ("1", Settled.OPEN),  # 10 to 15 are likely
        ("2", Settled.FULL),  # 20 is not
        ("9", Settled.FULL),
        ("15", Settled.FULL),
        ("16", Settled.OPEN),  # unlikely: waits for Enter
        ("", Settled.OPEN),
    ],
)
def test_a_count_moves_on_when_no_further_digit_is_likely(text: str, expected: Settled) -> None:
    assert settled(text, rule()) is expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("8", Settled.OPEN),  # 8 is below last week's 87
        ("9", Settled.OPEN),
        ("87", Settled.FULL),
        ("95", Settled.FULL),
        ("1", Settled.OPEN),
        ("10", Settled.OPEN),  # 100 to 107 are likely
        ("107", Settled.FULL),
        ("125", Settled.OPEN),  # grew too much: waits for Enter, whole
        ("12", Settled.OPEN),
        ("86", Settled.OPEN),  # fell
    ],
)
def test_a_height_last_read_as_87_that_can_grow_20(text: str, expected: Settled) -> None:
    assert settled(text, rule(high=500, low=1, likely=(87, 107))) is expected


def test_a_decimal_field_waits_for_its_mark_and_then_fills() -> None:
    height = rule(1, low=1, high=500, likely=(87, 107))
    assert settled("95", height) is Settled.HELD
    assert settled("95.", height) is Settled.OPEN
    assert settled("95.5", height) is Settled.FULL
    assert settled("10", height) is Settled.OPEN


def test_numbers_stand_in_cells_without_idle_noughts() -> None:
    assert shown(87.0, 1) == "87"
    assert shown(87.5, 1) == "87.5"
    assert shown(100.0, 0) == "100"
    assert shown(0.0, 1) == "0"
    assert shown(None, 1) == ""
