"""Sheet “Changes since last week”: figures whose interval lies wholly above or below last week's."""

from __future__ import annotations

from bayround import words
from bayround.figures.figure import Figure
from bayround.paper.workbook import corrections, tables
from bayround.paper.workbook.cells import Pen, limits
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Head, Row, Styled, Table
from bayround.week import changed
from bayround.words import _

TITLE = "Changes since last week"


def write(pen: Pen, contents: Contents) -> None:
    """Write a row for every change beyond uncertainty."""
    last_week = contents.snapshot.week.plus(-1)
    pen.title(
        contents.title(_(TITLE)),
        _("Only differences whose 95 % intervals do not overlap; smaller ones may be chance."),
    )
    found, compared = changed.changes(contents.snapshot)
    heads = (
        Head(_("House"), 20, wrap=True),
        Head(_("Bay"), 16, wrap=True),
        Head(_("Figure"), 36, wrap=True),
        Head(_("Unit"), 16),
        Head(_("Change"), 10),
        *(Head(f"{last_week}{part}", 12, right=True, at_least=10) for part in ("", _(", low"), _(", high"))),
        *(
            Head(f"{contents.snapshot.week}{part}", 12, right=True, at_least=10)
            for part in ("", _(", low"), _(", high"))
        ),
    )
    rows: list[Row] = [
        (
            change.seen.house.name,
            change.seen.bay.name,
            change.now.label,
            change.now.unit,
            _("rose") if change.rose else _("fell"),
            *_with_limits(change.before),
            *_with_limits(change.now),
        )
        for change in found
    ]
    told = words.counted("{n} figure was compared", "{n} figures were compared", compared)
    note = _("{count}: incidence of each organism, fruit load and growth in bays visited in both weeks.")
    empty = _("Nothing changed by more than its uncertainty, or nothing could be compared.")
    table = Table("changes", heads, rows, 2, empty, (note.format(count=told),))
    last = tables.write(pen, table, contents.farm_and_week, contents.watch)
    corrections.write_under(pen, contents, last + 2)


def _with_limits(figure: Figure) -> tuple[Styled, Styled, Styled]:
    low, high = limits(figure)
    shown = figure.number_format
    return Styled(figure.cell, shown), Styled(low, shown), Styled(high, shown)
