"""Sheets of one family of figures: the bays' columns of that group, each with low, high and n beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bayround.figures.figure import Figure
from bayround.paper.workbook import unknown
from bayround.paper.workbook.cells import limits
from bayround.paper.workbook.contents import Contents, bay_name
from bayround.paper.workbook.table import Head, Styled, Table
from bayround.week.columns import COLUMNS, Column
from bayround.week.snapshot import BayWeek
from bayround.words import _

KEYS = ("house", "bay", "crop")
More = Sequence[tuple[Head, Callable[[BayWeek], str]]]


def table(
    contents: Contents, name: str, group: str, empty: str, more: More = (), *, charted: bool = False
) -> Table:
    """Return the table of one group: a row a bay; no row at all, and *empty* said, when no bay has a figure.

    *more* are further columns of text. A *charted* table ends with the bay's full name, for the chart's axis.
    """
    bays = contents.snapshot.bays
    columns = columns_of(group)
    wide = [is_figure(column, bays) for column in columns]
    heads: list[Head] = []
    for column, with_limits in zip(columns, wide):
        heads += heads_of(column, with_limits)
    heads += [head for head, _get in more]
    if charted:
        heads.append(Head(_("Bay in full"), printed=False))
    rows = []
    for seen in bays:
        row: list[Styled] = []
        for column, with_limits in zip(columns, wide):
            row.append(value_of(column, seen))
            row += limits_of(column, seen) if with_limits else []
        row += [Styled(get(seen) or None, "General") for _head, get in more]
        rows.append([*row, Styled(bay_name(seen), "General")] if charted else row)
    if not any(_has_figure(column, seen) for seen in bays for column in columns):
        rows = []
    return Table(name, heads, rows, len(KEYS), empty, unknown.lines(bays, columns), fold=True)


def _has_figure(column: Column, seen: BayWeek) -> bool:
    figure = column.get(seen)
    return isinstance(figure, Figure) and figure.value is not None


def columns_of(group: str) -> tuple[Column, ...]:
    """Return house, bay and crop, then the columns of the group."""
    keys = tuple(column for column in COLUMNS if column.id in KEYS)
    return keys + tuple(column for column in COLUMNS if group in column.groups)


def is_figure(column: Column, bays: Sequence[BayWeek]) -> bool:
    """Tell whether a column shows figures."""
    return any(isinstance(column.get(seen), Figure) for seen in bays)


def heads_of(column: Column, with_limits: bool) -> list[Head]:
    """Return the heading of a column, and those of low, high and n where it shows figures (n folded away)."""
    found = [head_of(column)]
    if with_limits:
        unit = f" ({column.unit})" if column.unit else ""
        found += [
            Head(f"{_(column.heading)}, {word}{tail}", 9, right=True, folded=word == "n")
            for word, tail in ((_("low"), unit), (_("high"), unit), ("n", ""))
        ]
    return found


def head_of(column: Column, at_most: int = 18) -> Head:
    """Return the heading of one column of the column list, not wider than *at_most* unless its words need it."""
    return Head(column.title, min(column.width, at_most), wrap=not column.right, right=column.right)


def value_of(column: Column, seen: BayWeek) -> Styled:
    """Return a bay's value of a column as a cell shows it."""
    return Styled(column.cell(seen), column.number_format(seen) or "General")


def limits_of(column: Column, seen: BayWeek) -> list[Styled]:
    """Return low, high and n of a bay's figure."""
    figure = column.get(seen)
    if not isinstance(figure, Figure):
        return [Styled(None, "General")] * 3
    low, high = limits(figure)
    return [Styled(low, figure.number_format), Styled(high, figure.number_format), Styled(figure.n, "0")]


def place_of(contents: Contents, group: str, column_id: str) -> int:
    """Return the number of the sheet's column (1 = A) on which a column of the list stands.

    Raises:
        KeyError: when the group has no such column.
    """
    place = 1
    for column in columns_of(group):
        if column.id == column_id:
            return place
        place += 4 if is_figure(column, contents.snapshot.bays) else 1
    raise KeyError(column_id)
