"""The tables of every week in one workbook: one sheet a table, each row with its week. Nothing is reckoned here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

from bayround.crops import Crops
from bayround.facts.weeks import Week
from bayround.paper.workbook import (
    about,
    bays,
    fruit,
    heights,
    jobs_due,
    pests,
    picks,
    readings,
    saving,
    tables,
    treatments,
    weeds,
)
from bayround.paper.workbook.book import Stopped
from bayround.paper.workbook.cells import Pen, safe_text
from bayround.paper.workbook.contents import Contents, sheet_name
from bayround.paper.workbook.table import Head, Row, Table, bare
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

Progress = Callable[[float, str], None]

SOURCES: tuple[tuple[str, Callable[[Contents], Table]], ...] = (
    (bays.TITLE, bays.table_of),
    (heights.TITLE, heights.table_of),
    (fruit.TITLE, fruit.table_of),
    (pests.TITLE, pests.checks_of),
    (pests.BY_BAY_TITLE, pests.by_bay_of),
    (pests.CARDS_TITLE, pests.cards_of),
    (weeds.TITLE, weeds.table_of),
    (picks.TITLE, picks.table_of),
    (jobs_due.TITLE, jobs_due.table_of),
    (readings.TITLE, readings.table_of),
)
"""Tables that every week has anew; treatments are one list for all weeks."""

_SHARE_OF_READING = 0.5


@dataclass(slots=True)
class _Gathered:
    """One table as it grows week by week: headings in order, rows as heading → value."""

    heads: dict[str, Head] = field(default_factory=dict)
    rows: list[tuple[Week, dict[str, Any]]] = field(default_factory=list)
    name: str = ""
    keys: int = 2

    def add(self, week: Week, table: Table) -> None:
        shown = [place for place, head in enumerate(table.heads) if head.printed]
        self.name, self.keys = table.name, table.keys
        for place in shown:
            self.heads.setdefault(table.heads[place].title, table.heads[place])
        for row in table.rows:
            self.rows.append((week, {table.heads[place].title: row[place] for place in shown}))

    def table(self) -> Table:
        heads = (Head(_("Week"), 12), Head(_("Week begins"), 12), *self.heads.values())
        rows: list[Row] = [
            (str(week), week.monday, *(values.get(title) for title in self.heads))
            for week, values in self.rows
        ]
        return Table(self.name or "none", heads, rows, self.keys + 2, _("Nothing in any week."), fold=True)


def write(
    weeks: Iterable[WeekSnapshot],
    count: int,
    path: Path,
    crops: Crops,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Path:
    """Write the tables of *count* weeks, oldest first, to *path* and return it; the same weeks, the same bytes.

    Raises:
        Stopped: *cancelled* said yes; what stood at *path* is as it was.
        Problem: the file can't be written; what stood at *path* is as it was.
    """

    def watch() -> None:
        if cancelled is not None and cancelled():
            raise Stopped(
                _("Writing the workbook was stopped."),
                _("Nothing was written; an earlier file is as it was."),
            )

    tell = progress or _tell_nobody
    gathered = {title: _Gathered() for title, _table in SOURCES}
    names = {key: _(organism.name) for key, organism in crops.organisms.items()}
    last: Contents | None = None
    first = ""
    for done, snapshot in enumerate(weeks):
        watch()
        tell(_SHARE_OF_READING * done / max(count, 1), str(snapshot.week))
        last = Contents(snapshot, names, crops, watch)
        first = first or str(snapshot.week)
        for title, table_of in SOURCES:
            gathered[title].add(snapshot.week, table_of(last))
    if last is None:
        raise ValueError("no week to write")
    workbook = _fill(gathered, last, first, tell)
    tell(0.8, _("Writing the file"))
    saving.save(workbook, path, last.snapshot.as_of, watch)
    tell(1.0, _("Written"))
    return path


def _fill(gathered: dict[str, _Gathered], last: Contents, first: str, tell: Progress) -> Any:
    from openpyxl import Workbook

    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    looks: dict[Any, Any] = {}
    span = f"{last.farm} · " + _("{first} to {last}").format(first=first, last=last.snapshot.week)
    made = [(title, one.table()) for title, one in gathered.items()]
    made.append((treatments.TITLE, _treatments(last)))
    for done, (title, table) in enumerate(made):
        last.watch()
        tell(_SHARE_OF_READING + 0.3 * done / len(made), _(title))
        pen = Pen(workbook.create_sheet(sheet_name(title)), looks)
        pen.title(f"{_(title)} · {span}", _(_NOTES.get(title, _USUAL_NOTE)))
        tables.write(pen, table, span, last.watch)
    about.write(Pen(workbook.create_sheet(sheet_name(about.TITLE)), looks), last)
    workbook.properties.title = safe_text(span)
    workbook.properties.creator = "Bayround"
    midnight = datetime.combine(last.snapshot.as_of, datetime.min.time())
    workbook.properties.created = workbook.properties.modified = midnight
    return workbook


_USUAL_NOTE = "One row as on the weekly sheet, with its week."
_NOTES = {jobs_due.TITLE: "The jobs as they stood at the end of each week, with corrections made since."}


def _treatments(last: Contents) -> Table:
    """Return the treatments of all weeks with the week in which each ended; intervals as of the newest week."""
    one = treatments.table_of(last)
    rows: list[Sequence[Any]] = []
    for row in one.rows:
        ended = bare(row[0])
        week = Week.of(ended.date() if isinstance(ended, datetime) else _day(ended))
        rows.append((str(week), week.monday, *row))
    heads = (Head(_("Week"), 12), Head(_("Week begins"), 12), *one.heads)
    return Table(one.name, heads, rows, one.keys + 2, one.empty, one.notes)


def _day(value: object) -> date:
    if not isinstance(value, date):
        raise TypeError(value)
    return value


def _tell_nobody(_share: float, _text: str) -> None:
    return None
