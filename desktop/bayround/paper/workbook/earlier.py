"""Sheet “Earlier weeks”: the bays' figures week by week, tidy, to draw a season from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bayround.paper.workbook import family, tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Head, Row, Table
from bayround.week.columns import COLUMNS, FRUIT, HEIGHTS, PESTS, WEEDS, Column
from bayround.week.snapshot import BayWeek
from bayround.words import _

TITLE = "Earlier weeks"
_GROUPS = {HEIGHTS, FRUIT, PESTS, WEEDS}


def write(pen: Pen, contents: Contents) -> None:
    """Write a row for every bay and week with a visit, this week included."""
    pen.title(
        contents.title(_(TITLE)),
        _("One row a bay and visited week, with corrections made since; filter a bay and draw its line."),
    )
    columns = _columns(contents)
    heads = [
        Head(_("Week"), 12),
        *(family.head_of(column) for column in columns),
    ]
    rows: list[Row] = [
        (str(seen.week), *(family.value_of(column, seen) for column in columns)) for seen in _weeks(contents)
    ]
    table = Table("earlier_weeks", heads, rows, 3, _("No bay was visited yet."), fold=True)
    tables.write(pen, table, contents.farm_and_week, contents.watch)


def _columns(contents: Contents) -> list[Column]:
    """Return house, bay and crop, then the columns that show figures of a visit."""
    bays = contents.snapshot.bays
    keys = [column for column in COLUMNS if column.id in family.KEYS]
    return keys + [
        column for column in COLUMNS if _GROUPS & set(column.groups) and family.is_figure(column, bays)
    ]


def _weeks(contents: Contents) -> Iterator[BayWeek]:
    snapshot = contents.snapshot
    for seen in snapshot.bays:
        for week, figures in (snapshot.earlier or {}).get(seen.bay.id, ()):
            yield replace(seen, week=week, figures=figures)
        if seen.visit is not None:
            yield seen
