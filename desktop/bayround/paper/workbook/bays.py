"""Sheet “Bays”: every column of the one column list, a row a bay."""

from __future__ import annotations

from dataclasses import replace

from bayround.paper.workbook import family, marks, tables, unknown
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.contents import Contents, bay_name
from bayround.paper.workbook.table import FIRST_ROW, Table
from bayround.week.columns import CLIMATE, COLUMNS
from bayround.words import _

TITLE = "Bays"
_WIDEST = 12
"""Widest column in characters: the sheet has to go on one page's width."""


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet."""
    pen.title(
        contents.title(_(TITLE)),
        _(
            "What this week's visits showed. Empty: not known; why stands under the table. "
            "Unfold the columns (+) for heat, air and light."
        ),
    )
    table = table_of(contents)
    tables.write(pen, table, contents.farm_and_week, contents.watch)
    if table.rows:
        column = column_letter("load_verdict")
        marks.verdicts(pen.sheet, f"{column}{FIRST_ROW}:{column}{table.last_row}")


def table_of(contents: Contents) -> Table:
    """Return the table: a row a bay; under it why values are missing, what to mind, what scouts noted."""
    bays = contents.snapshot.bays
    heads = [replace(family.head_of(column, _WIDEST), folded=CLIMATE in column.groups) for column in COLUMNS]
    rows = [[family.value_of(column, seen) for column in COLUMNS] for seen in bays]
    said = tuple(
        _("Note on {bay}: {note}").format(bay=bay_name(seen), note=seen.visit.visit.note)
        for seen in contents.visited
        if seen.visit is not None and seen.visit.visit.note
    )
    warned = tuple(f"{bay_name(seen)}: {warning}" for seen in bays for warning in seen.warnings)
    notes = unknown.lines(bays, COLUMNS) + warned + said
    return Table("bays", heads, rows, 2, _("This farm has no bay yet."), notes)


def column_letter(column_id: str) -> str:
    """Return the letter of the sheet's column for one id of the column list."""
    place = next(place for place, column in enumerate(COLUMNS, 1) if column.id == column_id)
    return letter(place)
