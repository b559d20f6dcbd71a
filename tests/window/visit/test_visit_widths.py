"""Columns of the tables below the plants: shares of the width, with room for the longest text where there is any."""

from __future__ import annotations

from bayround.window.visit.table_looks import balanced


def test_every_column_has_its_share_where_nothing_is_cut() -> None:
    assert balanced(200, (1, 1, 2), (50, 50, 100)) == [50, 50, 100]
    assert balanced(200, (1, 1, 2), (60, 60, 120)) == [50, 50, 100]


def test_who_has_more_than_enough_gives_to_who_has_less() -> None:
    assert balanced(200, (1, 1, 2), (80, 20, 60)) == [80, 37, 82]
    assert balanced(200, (1, 1, 2), (120, 20, 100)) == [80, 20, 100]
    widths = balanced(263, (14, 31, 19, 17, 19), (44, 95, 40, 38, 64))
    assert sum(widths) <= 263
    assert all(width >= 38 for width in widths)
