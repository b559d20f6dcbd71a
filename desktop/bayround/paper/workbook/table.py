"""What a table is: its columns, its rows, what is said when there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bayround.paper.workbook.cells import Value

HEAD_ROW = 4
"""Row of the headings on every sheet with a table; title and note stand above it."""

FIRST_ROW = HEAD_ROW + 1


@dataclass(frozen=True, slots=True)
class Head:
    """One column of a table. *at_most* is its greatest width in characters; *wrap* lets long text run on.

    A *folded* column is there for who unfolds it (the outline's plus sign). A column that is not *printed*
    stands last and serves a chart.
    """

    title: str
    at_most: float = 30
    wrap: bool = False
    right: bool = False
    number_format: str = "General"
    at_least: float = 6
    folded: bool = False
    printed: bool = True


@dataclass(frozen=True, slots=True)
class Styled:
    """A value with a number format of its own."""

    value: Value
    number_format: str


Row = Sequence[Value | Styled]


@dataclass(frozen=True, slots=True)
class Table:
    """A table. *keys* columns stay in sight when the sheet scrolls sideways; *name* is that of the named table.

    Columns without a single value are folded away when *fold* is set (the outline's plus sign shows them).
    *empty* is said instead of the table when there is no row; *notes* stand under it.
    """

    name: str
    heads: Sequence[Head]
    rows: Sequence[Row]
    keys: int
    empty: str
    notes: tuple[str, ...] = ()
    fold: bool = False
    head_row: int = HEAD_ROW

    @property
    def printed(self) -> int:
        """How many columns are printed."""
        return sum(head.printed for head in self.heads)

    @property
    def last_row(self) -> int:
        """Last row of the sheet that the table takes."""
        return self.head_row + len(self.rows)


def bare(value: Value | Styled) -> Value:
    """Return a value without its number format."""
    return value.value if isinstance(value, Styled) else value
