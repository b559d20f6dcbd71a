"""Sheet “Treatments and intervals”: what was applied in each bay, as typed from the label."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from bayround.facts.work import Treatment
from bayround.paper.workbook import tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Head, Row, Styled, Table
from bayround.week.columns import column
from bayround.week.snapshot import BayWeek
from bayround.words import _

TITLE = "Treatments and intervals"
CAUTION = (
    "The product label and local rules decide when a bay may be entered and picked, and licensed people decide on "
    "treatments; this list is no permit. An interval that was not entered counts as not safe."
)


def write(pen: Pen, contents: Contents) -> None:
    """Write a row for every bay a treatment covered, newest first, with what the jobs say it still stops."""
    pen.title(contents.title(_(TITLE)), _("As typed from the label, newest first."))
    people = {person.id: person.name for person in contents.snapshot.people}
    found = [
        (item.ended_at, order, _row(contents, seen, item, people))
        for order, seen in enumerate(contents.snapshot.bays)
        for item in seen.past.treatments
    ]
    found.sort(key=lambda entry: (-entry[0].timestamp(), entry[1]))
    heads = (
        Head(_("Ended"), 17, number_format="yyyy-mm-dd hh:mm"),
        Head(_("House"), 15, wrap=True),
        Head(_("Bay"), 12, wrap=True),
        Head(_("Against"), 16, wrap=True),
        Head(_("Active ingredient"), 20, wrap=True),
        Head(_("Mode of action group"), 12),
        Head(_("Product"), 16, wrap=True),
        Head(_("Registration number"), 14, wrap=True),
        Head(_("Kind"), 11),
        Head(_("Re-entry interval (hours)"), 12, right=True),
        Head(_("Pre-harvest interval (days)"), 12, right=True),
        Head(_("Intervals"), 22, wrap=True),
        Head(_("Bay: enter from"), 17, wrap=True),
        Head(_("Bay: pick from"), 17, wrap=True),
        Head(_("Began"), 17, number_format="yyyy-mm-dd hh:mm"),
        Head(_("Applied by"), 13, wrap=True),
        Head(_("Note"), 26, wrap=True),
    )
    empty = _("No treatment is on record for these bays.")
    table = Table("treatments", heads, [row for *_rest, row in found], 3, empty, (_(CAUTION),))
    tables.write(pen, table, contents.farm_and_week, contents.watch)


def _row(contents: Contents, seen: BayWeek, item: Treatment, people: Mapping[str, str]) -> Row:
    return (
        Styled(_local(item.ended_at), "yyyy-mm-dd hh:mm"),
        seen.house.name,
        seen.bay.name,
        contents.organism(item.target),
        item.active_ingredient or None,
        item.mode_of_action_group or None,
        item.product or None,
        item.registration_number or None,
        _("biological") if item.biological else _("other"),
        item.re_entry_hours,
        item.pre_harvest_days,
        _what_is_missing(item),
        column("enter_from").text(seen),
        column("pick_from").text(seen),
        Styled(_local(item.started_at), "yyyy-mm-dd hh:mm") if item.started_at else None,
        people.get(item.applied_by_id or "", None),
        item.note or None,
    )


def _what_is_missing(item: Treatment) -> str:
    missing = [
        name
        for name, value in ((_("re-entry"), item.re_entry_hours), (_("pre-harvest"), item.pre_harvest_days))
        if value is None
    ]
    if not missing:
        return _("both entered")
    names = _(" and ").join(missing)
    if item.biological:
        return _("{names} not entered").format(names=names)
    return _("{names} not entered: not safe, look at the label").format(names=names)


def _local(instant: datetime) -> datetime:
    return instant.astimezone().replace(tzinfo=None) if instant.tzinfo else instant
