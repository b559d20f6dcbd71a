"""Sheet “Heights”."""

from __future__ import annotations

from bayround.paper.workbook import charts, family, tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Table
from bayround.week.columns import HEIGHTS
from bayround.words import _

TITLE = "Heights"


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet, with a chart of growth under the table."""
    pen.title(
        contents.title(_(TITLE)),
        _(
            "Mean of the marked plants with its 95 % interval (low, high). Unfold the columns (+) for the plants it rests on (n)."
        ),
    )
    table = table_of(contents)
    last = tables.write(pen, table, contents.farm_and_week, contents.watch)
    if table.rows:
        place = family.place_of(contents, HEIGHTS, "growth_cm_week")
        charts.under(
            pen, contents, table, last, place, _("Growth since the visit before, by bay"), _("cm/week")
        )


def table_of(contents: Contents) -> Table:
    """Return the table: a row a bay."""
    return family.table(contents, "heights", HEIGHTS, _("No height was measured this week."), charted=True)
