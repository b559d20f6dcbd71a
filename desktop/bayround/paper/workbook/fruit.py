"""Sheet “Fruit”."""

from __future__ import annotations

from bayround.paper.workbook import charts, family, marks, tables
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import FIRST_ROW, Table
from bayround.week.columns import FRUIT
from bayround.words import _

TITLE = "Fruit"


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet, with a chart of the load under the table."""
    pen.title(
        contents.title(_(TITLE)),
        _(
            "Set, green, turning and coloured fruit of the marked plants; 95 % interval (low, high). Unfold (+) for plants (n)."
        ),
    )
    table = table_of(contents)
    last = tables.write(pen, table, contents.farm_and_week, contents.watch)
    if table.rows:
        column = letter(family.place_of(contents, FRUIT, "load_verdict"))
        marks.verdicts(pen.sheet, f"{column}{FIRST_ROW}:{column}{table.last_row}")
        place = family.place_of(contents, FRUIT, "fruit_per_m2")
        charts.under(pen, contents, table, last, place, _("Fruit load by bay"), _("fruit/m²"))


def table_of(contents: Contents) -> Table:
    """Return the table: a row a bay."""
    return family.table(contents, "fruit", FRUIT, _("No fruit was counted this week."), charted=True)
