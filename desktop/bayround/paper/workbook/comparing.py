"""What differs between a workbook as it was handed over and the same week as the farm file has it now.

Rows are compared wherever they stand, so a table that somebody sorted is no difference.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from bayround.crops import Crops
from bayround.paper.workbook import about, book, closing
from bayround.paper.workbook.contents import sheet_name
from bayround.paper.workbook.reading_back import ReadBack, Row, rows_of
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

_KEY_CELLS = 2


@dataclass(frozen=True, slots=True)
class Difference:
    """One cell, or a whole row when *heading* is empty: as in the workbook, as in the file now."""

    sheet: str
    where: str
    heading: str
    in_workbook: str
    in_file: str

    @property
    def line(self) -> str:
        """The difference in one line."""
        place = " · ".join(part for part in (self.sheet, self.where, self.heading) if part)
        told = _("{place}: {before} in the workbook, {now} in the file now")
        return told.format(place=place, before=self.in_workbook, now=self.in_file)


def differences(read: ReadBack, snapshot: WeekSnapshot, crops: Crops) -> Iterator[Difference]:
    """Yield what differs, sheet by sheet. Who wrote the workbook at which revision is compared elsewhere."""
    now = book.make(snapshot, crops)
    for sheet in now.worksheets:
        theirs = read.sheets.get(sheet.title)
        if theirs is None:
            yield Difference(sheet.title, "", "", _("no such sheet"), _("a sheet"))
            continue
        ours = rows_of(sheet.iter_rows(values_only=True))
        heads = {
            row: ours[place.min_row - 1]
            for place in (_range(table.ref) for table in sheet.tables.values())
            for row in range(place.min_row, place.max_row + 1)
        }
        skipped = _skipped() if sheet.title == sheet_name(about.TITLE) else set()
        yield from _of_sheet(sheet.title, theirs, ours, heads, skipped)
    for title in read.sheets.keys() - {sheet.title for sheet in now.worksheets}:
        yield Difference(title, "", "", _("a sheet"), _("no such sheet"))


def _range(ref: str) -> Any:
    from openpyxl.worksheet.cell_range import CellRange

    return CellRange(ref)


def _skipped() -> set[str]:
    return {_("Written by"), *(_(label) for label in closing.LABELS)}


def _of_sheet(
    title: str, theirs: Sequence[Row], ours: Sequence[Row], heads: dict[int, Row], skipped: set[str]
) -> Iterator[Difference]:
    only_theirs, only_ours = Counter(theirs), Counter(ours)
    only_theirs, only_ours = only_theirs - only_ours, only_ours - only_theirs
    head_of = {row: heads.get(number, ()) for number, row in enumerate(ours, 1)}
    waiting: dict[Row, list[Row]] = defaultdict(list)
    for row in only_ours.elements():
        waiting[row[:_KEY_CELLS]].append(row)
    for row in only_theirs.elements():
        if not row or row[0] in skipped:
            continue
        alike = waiting.get(row[:_KEY_CELLS])
        if not alike:
            yield Difference(title, _told(row), "", _("there"), _("not there"))
            continue
        best = max(alike, key=lambda other: sum(a == b for a, b in zip(row, other)))
        alike.remove(best)
        yield from _cells(title, row, best, head_of[best])
    for rows in waiting.values():
        for row in rows:
            if row and row[0] not in skipped:
                yield Difference(title, _told(row), "", _("not there"), _("there"))


def _cells(title: str, theirs: Row, ours: Row, head: Row) -> Iterator[Difference]:
    where = " · ".join(_text(value) for value in ours[:_KEY_CELLS] if value is not None)
    for place in range(max(len(theirs), len(ours))):
        before = theirs[place] if place < len(theirs) else None
        now = ours[place] if place < len(ours) else None
        if before != now:
            heading = _text(head[place]) if place < len(head) else ""
            yield Difference(title, where, heading, _text(before), _text(now))


def _told(row: Row) -> str:
    said = [_text(value) for value in row if value is not None]
    return ", ".join(said[:6])[:160]


def _text(value: Any) -> str:
    if value is None:
        return _("(empty)")
    if isinstance(value, float):
        return f"{value:.12g}"
    return value.isoformat() if isinstance(value, date) else f"“{value}”"
