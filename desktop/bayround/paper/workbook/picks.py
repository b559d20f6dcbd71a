"""Sheet “Picks and forecast”: what was picked, and the picks coming with their interval."""

from __future__ import annotations

from bayround.paper.workbook import charts, family, tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Table
from bayround.week.columns import PICKS
from bayround.words import _

TITLE = "Picks and forecast"


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet, with a chart of next week's picks under the table."""
    pen.title(
        contents.title(_(TITLE)),
        _("Coming picks are forecasts from fruit counted by stage, with their 80 % interval (low, high)."),
    )
    table = table_of(contents)
    last = tables.write(pen, table, contents.farm_and_week, contents.watch)
    if table.rows:
        place = family.place_of(contents, PICKS, "picks_kg_next")
        charts.under(pen, contents, table, last, place, _("Picks next week by bay, 80 % interval"), _("kg"))


def table_of(contents: Contents) -> Table:
    """Return the table: a row a bay."""
    empty = _("No pick is written down and none can be foreseen.")
    return family.table(contents, "picks", PICKS, empty, charted=True)
