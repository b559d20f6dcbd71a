"""Conditional formats: the same meaning as on the screens, told by word and shape as well as by colour.

They look at the word in the cell, so they stay right when somebody sorts, filters or copies the table.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from bayround.paper.workbook import styles
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

VERDICTS = (
    ("too much", styles.OVER, styles.OVER_MARK),
    ("too little", styles.UNDER, styles.UNDER_MARK),
    ("uneven", styles.UNEVEN, styles.UNEVEN_MARK),
    ("perhaps too much", "", styles.OVER_MARK),
    ("perhaps too little", "", styles.UNDER_MARK),
)
"""Words of the load against its band (figure `load_over_band`) with ground and shape; doubtful ones stay white."""

_FIRST_OWN_FORMAT = 180


def verdicts(sheet: Worksheet, cells: str) -> None:
    """Mark loads outside their band."""
    for place, (word, ground, mark) in enumerate(VERDICTS):
        _word(sheet, cells, _(word), ground, mark, _FIRST_OWN_FORMAT + place)


def priorities(sheet: Worksheet, cells: str, texts: Iterable[tuple[int, str]]) -> None:
    """Mark the words of priority; *texts* are pairs of priority and its word."""
    for number, word in texts:
        ground, mark = styles.PRIORITY_GROUND[number], styles.PRIORITY_MARK[number]
        _word(sheet, cells, word, ground, mark, _FIRST_OWN_FORMAT + 10 + number, bold=number == 1)


def found(sheet: Worksheet, cells: str) -> None:
    """Mark numbers above 0: something was found."""
    from openpyxl.formatting.rule import Rule

    rule = Rule(
        type="cellIs", operator="greaterThan", formula=["0"], dxf=styles.when(styles.YELLOW, bold=True)
    )
    sheet.conditional_formatting.add(cells, rule)


def words_of_sums(sheet: Worksheet, cells: str, good: str, bad: str) -> None:
    """Mark whether sums agree."""
    _word(sheet, cells, bad, styles.URGENT, "✗", _FIRST_OWN_FORMAT + 20, bold=True)
    _word(sheet, cells, good, "", "✓", _FIRST_OWN_FORMAT + 21)


def _word(
    sheet: Worksheet, cells: str, word: str, ground: str, mark: str, format_id: int, *, bold: bool = False
) -> None:
    from openpyxl.formatting.rule import Rule
    from openpyxl.styles.numbers import NumberFormat

    style = styles.when(ground, bold=bold)
    style.numFmt = NumberFormat(numFmtId=format_id, formatCode=f'"{mark} "@')
    quoted = word.replace('"', '""')
    rule = Rule(type="cellIs", operator="equal", formula=[f'"{quoted}"'], dxf=style)
    sheet.conditional_formatting.add(cells, rule)
