"""A pasted block is taken whole or not at all."""

from __future__ import annotations

import pytest

from bayround.window.parts.number_entry import NumberRule
from bayround.window.visit.pasted_block import BadBlock, numbers_of, read_block


def rule_of(row: int, column: int) -> NumberRule:
    decimals = 1 if column == 0 else 0
    return NumberRule(f"cell {row},{column}", "", decimals, 0.0, 500.0, 0.0, 500.0)


def taken(
    text: str, start: tuple[int, int] = (0, 0), shut: tuple[int, ...] = ()
) -> list[tuple[tuple[int, int], float]]:
    return numbers_of(text, start, (4, 3), rule_of, lambda row: "shut." if row in shut else "")


def test_tabs_and_lines_make_cells_whatever_the_line_ends() -> None:
    assert read_block("1\t2\r\n3\t4\r\n") == [["1", "2"], ["3", "4"]]
    assert read_block("1\t2\r3\t4") == [["1", "2"], ["3", "4"]]


def test_decimal_comma_and_point_are_both_taken_and_blanks_are_passed_over() -> None:
    block = "87,5\t\t3\n88.5\t4\t-\n"
    assert taken(block) == [((0, 0), 87.5), ((0, 2), 3.0), ((1, 0), 88.5), ((1, 1), 4.0)]


def test_a_block_starts_where_the_cursor_is() -> None:
    assert taken("5\n6", (2, 1)) == [((2, 1), 5.0), ((3, 1), 6.0)]


@pytest.mark.parametrize(
    ("block", "why"),
    [
        ("1\tabc\n2\txyz", "cell 0,1: “abc” is not a whole number."),
        ("1.234\t2", "cell 0,0: “1.234” is not a number with at most 1 decimals."),
        ("1\t2.5", "cell 0,1: “2.5” is not a whole number."),
        ("1\t501", "cell 0,1: 501 can't be right, 500 is the most."),
        ("=1+1\t2", "cell 0,0: “=1+1” is not a number with at most 1 decimals."),
        ("1\t2\t3\t4", "The block has 1 lines of 4 cells and runs past the edge of the sheet."),
        ("\t\n", "The clipboard holds no numbers."),
        ("", "The clipboard holds no numbers."),
    ],
)
def test_a_bad_block_is_refused_naming_its_first_bad_cell(block: str, why: str) -> None:
    with pytest.raises(BadBlock) as refused:
        taken(block)
    assert str(refused.value) == why


def test_a_number_for_a_shut_row_is_refused_but_a_blank_is_not() -> None:
    assert taken("1\n\n3", shut=(1,)) == [((0, 0), 1.0), ((2, 0), 3.0)]
    with pytest.raises(BadBlock, match=r"cell 1,0: shut\."):
        taken("1\n2\n3", shut=(1,))
