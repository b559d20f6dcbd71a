"""Sheet “Jobs due”: every job with its reason, in working order."""

from __future__ import annotations

from datetime import date

from bayround.paper.workbook import marks, tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import FIRST_ROW, Head, Row, Styled, Table
from bayround.words import _

TITLE = "Jobs due"
DUE_COLUMN = 2
STATE_COLUMN = 10


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet."""
    pen.title(
        contents.title(_(TITLE)),
        _(
            "In working order; hours are estimates. The product label, local rules and licensed people come first."
        ),
    )
    table = table_of(contents)
    tables.write(pen, table, contents.farm_and_week, contents.watch)
    if table.rows:
        texts = sorted({(job.priority, job.priority_text) for job in contents.snapshot.jobs})
        marks.priorities(pen.sheet, f"A{FIRST_ROW}:A{table.last_row}", texts)


def is_late(due_on: date, is_due: bool, as_of: date) -> bool:
    """Tell whether a job that waits for a worker is past its day."""
    return is_due and due_on < as_of


def _heads() -> tuple[Head, ...]:
    return (
        Head(_("Priority"), 20),
        Head(_("Due"), 12),
        Head(_("Late"), 7),
        Head(_("House"), 15, wrap=True),
        Head(_("Bay"), 12, wrap=True),
        Head(_("Job"), 15),
        Head(_("Reason"), 50, wrap=True),
        Head(_("Hours (h)"), 8, right=True),
        Head(_("Stopped by"), 26, wrap=True),
        Head(_("State"), 11, wrap=True),
        Head(_("Given to"), 13, wrap=True),
        Head(_("Seen on"), 12),
        Head(_("What happened so far"), 26, wrap=True),
    )


def table_of(contents: Contents) -> Table:
    """Return the table: a row a job."""
    snapshot = contents.snapshot
    rows: list[Row] = []
    for job in snapshot.jobs:
        seen = snapshot.bay(job.bay_id)
        late = is_late(job.due_on, job.is_due, snapshot.as_of)
        rows.append(
            (
                job.priority_text,
                job.due_on,
                _("late") if late else None,
                seen.house.name,
                seen.bay.name,
                job.kind_text,
                job.reason,
                Styled(job.hours.cell, job.hours.number_format),
                job.blocked_text or None,
                job.state_text,
                job.assigned_to or None,
                job.raised_on,
                "; ".join(job.history) or None,
            )
        )
    unknown = {job.kind_text: job.hours.missing for job in snapshot.jobs if job.hours.missing}
    notes = tuple(
        _("Hours not known for {kind}: {reason}").format(kind=kind.lower(), reason=reason)
        for kind, reason in unknown.items()
    )
    return Table("jobs_due", _heads(), rows, 2, _("No job is due this week."), notes)
