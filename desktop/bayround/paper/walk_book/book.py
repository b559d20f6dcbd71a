"""Writing the walk workbook: a sheet for the walk, a sheet a bay, and a hidden one that says what is what."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bayround.paper import farm_name
from bayround.paper.walk_book import bay_sheet, places
from bayround.paper.walk_book.places import BookPlaces
from bayround.paper.workbook import page, saving, tables
from bayround.paper.workbook.cells import DATE_FORMAT, Pen, letter, safe_text
from bayround.paper.workbook.styles import LABEL, NOTE, PLAIN, TITLE, Look
from bayround.week.walk_sheet import WalkSheet
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

INPUT = Look(lines="thin", number_format=DATE_FORMAT, across="left")
_NOTES = (
    "Type only into the framed cells; everything else is locked.",
    "Write 0 for none. Leave empty what was not taken. Numbers only: a remark belongs into the note.",
    "Back at the desk: menu Paper, Bring a file in. It becomes drafts to look over under Visit.",
)


def write(sheet: WalkSheet, people: tuple[str, ...], organisms: dict[str, str], path: Path) -> int:
    """Write the workbook of one walk and return how many bays it holds.

    Raises:
        Problem: when the file can't be written; an earlier one is as it was.
    """
    from openpyxl import Workbook

    workbook = Workbook()
    looks: dict[Look, Any] = {}
    first = workbook.active
    assert first is not None
    first.title = places.WALK_SHEET
    _walk(Pen(first, looks), sheet, people)
    taken = {places.WALK_SHEET.casefold(), places.IDS_SHEET}
    made = []
    for bay in sheet.bays:
        name = _free_name(bay.name, taken)
        made.append(bay_sheet.write(Pen(workbook.create_sheet(name), looks), name, bay, organisms))
        last = letter(places.FIRST_FIELD_COLUMN + 2 * len(bay.fields))
        page.set_up(
            workbook[name], f"{farm_name.shown(sheet.farm)} · {sheet.week}", last, workbook[name].max_row
        )
    _ids(workbook, BookPlaces(sheet.farm.id, str(sheet.week), tuple(made)))
    _lock(workbook, sheet)
    saving.save(workbook, path, sheet.held_on or sheet.week.monday, tables.nothing)
    return len(made)


def _walk(pen: Pen, sheet: WalkSheet, people: tuple[str, ...]) -> None:
    pen.text(
        1, 1, _("Walk sheet {week} · {farm}").format(week=sheet.week, farm=farm_name.shown(sheet.farm)), TITLE
    )
    pen.text(4, 1, _("Date of the walk"), LABEL)
    pen.text(5, 1, _("Scout"), LABEL)
    pen.put(4, 2, sheet.held_on, INPUT)
    pen.put(5, 2, sheet.scout or None, INPUT)
    for row, note in enumerate(_NOTES, 7):
        pen.text(row, 1, _(note), NOTE)
    for row, bay in enumerate(sheet.bays, 11):
        pen.text(row, 1, bay.name, PLAIN)
    bay_sheet.unlock(pen.sheet, places.DATE_CELL, places.SCOUT_CELL)
    pen.sheet.column_dimensions["A"].width = 34
    pen.sheet.column_dimensions["B"].width = 26
    first, last = date(2000, 1, 1), date(2100, 1, 1)
    bay_sheet.validate(
        pen.sheet, places.DATE_CELL, "date", (_serial(first), _serial(last)), _("A date, like 2026-11-25.")
    )
    for row, person in enumerate(people, 1):
        pen.text(row, 5, person, PLAIN)
    pen.sheet.column_dimensions["E"].hidden = True
    if people:
        bay_sheet.choices(pen.sheet, places.SCOUT_CELL, f"$E$1:$E${len(people)}")
    page.set_up(pen.sheet, farm_name.shown(sheet.farm), "L", 10 + len(sheet.bays))


def _serial(day: date) -> int:
    return (day - date(1899, 12, 30)).days


def _free_name(name: str, taken: set[str]) -> str:
    """Return a title that a sheet may have and none has yet."""
    kept = (
        "".join(" " if letter in "[]:*?/\\" else letter for letter in safe_text(name))
        .replace("\n", " ")
        .replace("\t", " ")
    )
    base = kept[:27].strip(" '") or _("Bay")
    title, number = base, 1
    while title.casefold() in taken or title.casefold() == "history":
        number += 1
        title = f"{base} {number}"
    taken.add(title.casefold())
    return title


def _ids(workbook: Workbook, found: BookPlaces) -> None:
    sheet = workbook.create_sheet(places.IDS_SHEET)
    pen = Pen(sheet, {})
    for row, line in enumerate(places.lines(found), 1):
        pen.text(row, 1, line, PLAIN)
    sheet.sheet_state = "veryHidden"


def _lock(workbook: Workbook, walk: WalkSheet) -> None:
    from datetime import datetime, time

    from openpyxl.workbook.protection import WorkbookProtection

    for sheet in workbook.worksheets:
        sheet.protection.sheet = True
        sheet.protection.formatColumns = False
        sheet.sheet_view.showGridLines = False
    workbook.security = WorkbookProtection(lockStructure=True)
    about = workbook.properties
    about.creator = "Bayround"
    about.title = safe_text(f"{walk.farm.name} {walk.week}")
    about.created = about.modified = datetime.combine(walk.held_on or walk.week.monday, time())
