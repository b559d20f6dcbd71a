"""Sheet “Weeds”."""

from __future__ import annotations

from bayround.paper.workbook import family, tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Head, Table
from bayround.week.columns import WEEDS
from bayround.week.snapshot import BayWeek
from bayround.words import _

TITLE = "Weeds"


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet: cover, and what the scout noted with it."""
    pen.title(
        contents.title(_(TITLE)),
        _("Ground covered by weeds as the scout judged it; weeds that set seed come first."),
    )
    tables.write(pen, table_of(contents), contents.farm_and_week, contents.watch)


def table_of(contents: Contents) -> Table:
    """Return the table: a row a bay."""
    more = (
        (Head(_("Setting seed"), 14, at_least=10), _seeding),
        (Head(_("Species noted"), 40, wrap=True), lambda seen: _noted(seen, "species")),
        (Head(_("Where"), 40, wrap=True), lambda seen: _noted(seen, "where")),
    )
    return family.table(contents, "weeds", WEEDS, _("No weed cover was judged this week."), more)


def _seeding(seen: BayWeek) -> str:
    if seen.visit is None or not seen.visit.weeds:
        return ""
    return _("yes") if any(note.seeding for note in seen.visit.weeds) else _("no")


def _noted(seen: BayWeek, field: str) -> str:
    if seen.visit is None:
        return ""
    noted = [note.species if field == "species" else note.where for note in seen.visit.weeds]
    return "; ".join(dict.fromkeys(text for text in noted if text))
