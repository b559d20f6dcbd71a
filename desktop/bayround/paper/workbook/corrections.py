"""Under “Changes since last week”: every correction that the last closed workbook did not know of."""

from __future__ import annotations

from bayround import words
from bayround.facts.moments import local_day
from bayround.paper.workbook import page, tables
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.readings import FIELD_TITLES
from bayround.paper.workbook.styles import Look
from bayround.paper.workbook.table import Head, Row, Table
from bayround.week.corrected import WHOLE_RECORD, CorrectedValue, last_close
from bayround.words import _

_COLUMNS_ABOVE = 11
"""Columns of the table of changes, which must not be cut off in print."""

_SUBTITLE = Look(size=13, bold=True, down="center")


def write_under(pen: Pen, contents: Contents, row: int) -> None:
    """Write title and table from *row* on; widths, frozen panes and print set-up of the table above stay."""
    sheet = pen.sheet
    frozen, repeated = sheet.freeze_panes, sheet.print_title_rows
    widths = {key: one.width for key, one in sheet.column_dimensions.items() if not one.hidden}
    pen.text(row, 1, _title(contents), _SUBTITLE)
    sheet.row_dimensions[row].height = 20
    table = _table(contents, row + 1)
    tables.write(pen, table, contents.farm_and_week, contents.watch)
    for key, width in widths.items():
        dimension = sheet.column_dimensions[key]
        dimension.width = max(width, dimension.width)
    sheet.freeze_panes = frozen
    sheet.print_title_rows = repeated or None
    last = table.last_row if table.rows else row + 1
    sheet.print_area = f"A1:{letter(max(_COLUMNS_ABOVE, page.columns(sheet)))}{last}"


def _title(contents: Contents) -> str:
    close = last_close(contents.snapshot.closes, contents.snapshot.week)
    if close is None:
        return _("Corrections made since {day} (no earlier week was closed)").format(
            day=words.weekday_day(contents.snapshot.week.monday)
        )
    return _("Corrections made since the workbook of {week} was closed on {day}").format(
        week=close.week, day=words.weekday_day(local_day(close.closed_at))
    )


def _table(contents: Contents, row: int) -> Table:
    heads = (
        Head(_("House"), 20, wrap=True),
        Head(_("Bay"), 16, wrap=True),
        Head(_("What"), 36, wrap=True),
        Head(_("Field"), 18, wrap=True),
        Head(_("Seen on"), 11),
        Head(_("Before"), 16, wrap=True, right=True),
        Head(_("After"), 16, wrap=True, right=True),
        Head(_("Who"), 16, wrap=True),
        Head(_("Corrected at"), 17),
        Head(_("Why"), 34, wrap=True),
    )
    rows = [_row(one) for one in contents.snapshot.corrected]
    return Table("corrections", heads, rows, 2, _("None."), head_row=row)


def _row(one: CorrectedValue) -> Row:
    place = one.place
    field = _("whole record") if one.field in WHOLE_RECORD else one.field.replace("_", " ")
    return (
        place.house or None,
        place.bay or None,
        place.what or one.table.replace("_", " "),
        _(FIELD_TITLES.get(one.field, field)),
        place.day,
        one.before or _("(empty)"),
        one.after or _("(empty)"),
        one.who or None,
        words.moment(one.at.astimezone()),
        one.why or None,
    )
