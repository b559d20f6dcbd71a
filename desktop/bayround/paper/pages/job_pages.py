"""Job sheets on paper: for each person and day what is to be done, where, why, and what stops it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

from bayround import words
from bayround.paper import farm_name
from bayround.paper.pages import bay_map, page_head
from bayround.paper.pages.drawing import MARGIN_MM, Box, Document, Item, Line, Page, Paper, Text
from bayround.paper.pages.measure import height_mm
from bayround.paper.pages.paging import Block, Part, onto_pages
from bayround.week.job_sheet import JobSheet, JobToDo
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

CAUTION = (
    "The product label, the notice at the door and local rules come first; only licensed or competent people "
    "treat, mend wires or work on a damaged house. What is not printed here is no permission."
)


def document(snapshot: WeekSnapshot, sheets: Sequence[JobSheet], paper: Paper) -> Document:
    """Return a page or more for every sheet; each counts its own pages. Without one, a page that says so."""
    pages: list[Page] = []
    for sheet in sheets:
        blocks = [
            _map(snapshot, sheet, paper),
            *(_job(number, one, paper) for number, one in enumerate(sheet.jobs, 1)),
        ]
        pages += onto_pages(paper, partial(_head, snapshot, sheet, paper), page_head.HEIGHT_MM, blocks)
    if not pages:
        nothing = Text(MARGIN_MM, 0, 150, 8, _("No job is to be handed out this week."), 11)
        head = partial(page_head.head, paper, _title(snapshot), "", "")
        pages += onto_pages(paper, head, page_head.HEIGHT_MM, [Block((Part(8, (nothing,)),))])
    return Document(_("Job sheets {week}").format(week=snapshot.week), paper, tuple(pages))


def _title(snapshot: WeekSnapshot) -> str:
    return _("Jobs {week} · {farm}").format(week=snapshot.week, farm=farm_name.shown(snapshot.farm))


def _head(snapshot: WeekSnapshot, sheet: JobSheet, paper: Paper, page: int, pages: int) -> tuple[Item, ...]:
    hours = sheet.hours.text_with_unit if sheet.hours.value is not None else _("not known")
    whom = _("For: {person}      By: {day}      Estimated: {hours}").format(
        person=sheet.person or _("nobody yet ______________________"),
        day=_day(sheet, snapshot.as_of),
        hours=hours,
    )
    return page_head.head(paper, _title(snapshot), whom, _(CAUTION), page, pages)


def _day(sheet: JobSheet, as_of: date) -> str:
    day = words.weekday_day(sheet.day)
    return _("{day} (late)").format(day=day) if sheet.day < as_of else day


def _map(snapshot: WeekSnapshot, sheet: JobSheet, paper: Paper) -> Block:
    numbers: dict[str, list[int]] = {}
    for number, one in enumerate(sheet.jobs, 1):
        numbers.setdefault(one.job.bay_id, []).append(number)
    return Block(bay_map.parts(snapshot, numbers, paper.width_mm - 2 * MARGIN_MM))


def _job(number: int, one: JobToDo, paper: Paper) -> Block:
    width = paper.width_mm - 2 * MARGIN_MM
    job = one.job
    hours = job.hours.text_with_unit if job.hours.value is not None else _("hours not known")
    items: list[Item] = [
        Text(
            MARGIN_MM + 2, 0, width * 0.62, 8, f"{number}   {job.bay_name} · {job.kind_text}", 11, bold=True
        ),
        Text(
            MARGIN_MM + width * 0.6,
            0,
            width * 0.4 - 2,
            8,
            f"{job.priority_text} · {job.due_text} · {hours}",
            8.5,
            align="right",
        ),
    ]
    y = 8.5
    for label, text, bold in _lines(one):
        room = height_mm(text, width - 32, 9, bold=bold) + 0.8
        items.append(Text(MARGIN_MM + 2, y, 26, 5, label, 8, stand="top"))
        items.append(Text(MARGIN_MM + 28, y, width - 30, room, text, 9, bold=bold, stand="top", wrap=True))
        y += room
    y += 1.5
    done = _("Done ☐      Hours taken ________      Left to do / seen:")
    items.append(Text(MARGIN_MM + 2, y, 95, 6, done, 9))
    items.append(Line(MARGIN_MM + 98, y + 5.5, MARGIN_MM + width - 2, y + 5.5))
    items.append(Line(MARGIN_MM + 2, y + 12.5, MARGIN_MM + width - 2, y + 12.5))
    y += 15
    items.insert(0, Box(MARGIN_MM, 0, width, y, 0.7 if job.blocked_by else 0.3))
    return Block((Part(y, tuple(items)),))


def _lines(one: JobToDo) -> list[tuple[str, str, bool]]:
    job = one.job
    found = [(_("Why"), job.reason, False)]
    if job.plants:
        found.append((_("Plants"), ", ".join(job.plants), False))
    if one.rows:
        found.append((_("Bay"), one.rows, False))
    if job.blocked_by:
        found.append((_("STOPPED"), job.blocked_text, True))
    found.append(
        (
            _("Intervals"),
            _("enter from: {enter}; pick from: {pick}").format(enter=one.enter, pick=one.pick),
            False,
        )
    )
    found += [(_("Mind"), text, True) for text in one.cautions]
    return found
