"""Columns of the tables below the plants: shares of the width, with room for the longest text where there is any."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics

from bayround.window import theme
from bayround.window.visit.screen import VisitScreen
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


def test_the_name_of_the_row_in_hand_is_bold_and_stands_whole(screen: VisitScreen) -> None:
    down = screen.page.grid.verticalHeader()
    bold = QFontMetrics(theme.scaled(down.font(), 1.0, bold=True))
    names = [screen.page.readings.headerData(row, Qt.Orientation.Vertical) for row in range(10)]
    padding = 12  # 6 on either side, as the style sheet gives it to headings
    assert down.width() >= down.minimumWidth() > max(map(bold.horizontalAdvance, names)) + padding
