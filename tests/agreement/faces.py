"""The same week on three faces: what the window's models show, what an office program shows, what commands print.

The office program's side is LibreOffice's own display (CSV with “cell content as shown”), so number formats,
dates and rounding are judged by a program that knows nothing of ours.
"""

from __future__ import annotations

import csv
import re
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
from PySide6.QtCore import Qt

from bayround import words
from bayround.cli import bays as cli_bays
from bayround.cli import jobs as cli_jobs
from bayround.cli import week as cli_week
from bayround.paper.workbook.table import FIRST_ROW, HEAD_ROW
from bayround.week.columns import COLUMNS
from bayround.week.snapshot import WeekSnapshot
from bayround.window.jobs.job_table import JOB_COLUMNS, JobFilter, JobTableModel
from bayround.window.parts.bay_table import BayTableModel
from bayround.window.parts.figure_chips import FigureButton, FigureChips

AS_SHOWN = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1"
"""All sheets to CSV, commas, UTF-8, every cell as it is shown (LibreOffice's filter options)."""

_ISO_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_SHOW = Qt.ItemDataRole.DisplayRole
_SHEETS_WITH_TYPED_DATES = {"Bays": ("Visited",), "Jobs due": ("Due", "Seen on"), "Readings": ("Date",)}


@dataclass
class Tally:
    """How much was compared, and what did not agree (in words)."""

    weeks: int = 0
    texts: int = 0
    sums: int = 0
    dates: int = 0
    cells: int = 0
    wrong: list[str] = field(default_factory=list)

    def same(self, where: str, *shown: str) -> None:
        """Count one text that must be the same on all faces."""
        self.texts += 1
        if len(set(shown)) != 1:
            self.wrong.append(f"{where}: {shown}")


def convert(files: Sequence[Path], folder: Path, kind: str = AS_SHOWN) -> None:
    """Let one run of LibreOffice open, reckon and write all *files* into *folder*."""
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    order = ["soffice", profile, "--headless", "--convert-to", kind, "--outdir", str(folder)]
    subprocess.run([*order, *map(str, files)], check=True, capture_output=True, timeout=3600)


def compare(tally: Tally, snapshot: WeekSnapshot, workbook: Path, shown: Path) -> None:
    """Compare a week's faces; *shown* is the folder that holds LibreOffice's CSV of the workbook."""
    tally.weeks += 1
    where = f"{workbook.stem}"
    _bays(tally, where, snapshot, _rows(shown, workbook, "Bays"))
    _jobs(tally, where, snapshot, _rows(shown, workbook, "Jobs due"))
    _totals(tally, where, snapshot, _rows(shown, workbook, "Check the sums"))
    _sums(tally, where, _rows(shown, workbook, "Check the sums"))
    _reopened(tally, where, workbook)


def _rows(folder: Path, workbook: Path, sheet: str) -> list[list[str]]:
    with (folder / f"{workbook.stem}-{sheet}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def _bays(tally: Tally, where: str, snapshot: WeekSnapshot, office: list[list[str]]) -> None:
    """Every bay × every column: the window's table, LibreOffice's display, the line of `bayround bays`."""
    model = BayTableModel(COLUMNS)
    model.show(snapshot.bays)
    printed = cli_bays.as_text(snapshot).split("\n")[1:]
    assert len(printed) == len(snapshot.bays)
    for place, seen in enumerate(snapshot.bays):
        row = model.row_of(seen.bay.id)
        cells = printed[place].split("\t")
        for number, column in enumerate(COLUMNS):
            window = str(model.data(model.index(row, number), _SHOW))
            cell = office[HEAD_ROW + place][number] or words.MISSING
            tally.same(
                f"{where}, {seen.bay.name}, {column.id}", _flat(window), _flat(cell), _flat(cells[number])
            )


def _jobs(tally: Tally, where: str, snapshot: WeekSnapshot, office: list[list[str]]) -> None:
    """Every job: the window's list, the sheet “Jobs due”, the lines of `bayround jobs`."""
    model = JobTableModel()
    model.narrow(JobFilter(only_open=False))
    model.show(snapshot.jobs)
    heads = office[HEAD_ROW - 1] if len(office) >= HEAD_ROW else []
    lines = cli_jobs.as_text(snapshot).splitlines()
    for row, job in enumerate(snapshot.jobs):
        window = {
            column.heading: str(model.data(model.index(row, place), _SHOW))
            for place, column in enumerate(JOB_COLUMNS)
        }
        sheet = dict(zip(heads, office[HEAD_ROW + row]))
        printed = cli_jobs.line_of(job)
        assert any(re.split(r"  +", line)[:1] == [printed[0]] for line in lines)
        at = f"{where}, job {job.key}"
        tally.same(f"{at}, priority", window["Priority"].partition(" ")[2], sheet["Priority"], printed[0])
        tally.same(f"{at}, due", window["Due"].partition(" ")[2], sheet["Due"], printed[1].partition(" ")[2])
        bay = f"{sheet['House']} · {sheet['Bay']}"
        tally.same(f"{at}, bay", _flat(window["Bay"]), _flat(bay), _flat(printed[2]))
        tally.same(f"{at}, kind", window["Job"], sheet["Job"], printed[3])
        hours = sheet["Hours (h)"] or words.MISSING
        tally.same(f"{at}, hours", window["Hours"], hours, printed[4].removesuffix(" h"))
        tally.same(f"{at}, state", window["State"], sheet["State"])
        tally.same(f"{at}, reason", _flat(window["Reason"]), _flat(sheet["Reason"]))
        stopped = f"✕ {sheet['Stopped by']}" if sheet["Stopped by"] else words.MISSING
        tally.same(f"{at}, stopped", _flat(window["Stopped by"]), _flat(stopped))


def _totals(tally: Tally, where: str, snapshot: WeekSnapshot, office: list[list[str]]) -> None:
    """Every total: the chip on the Week screen, the program's value on the sheet, the line of `bayround week`."""
    told = cli_week.told(snapshot)
    sheet = {row[0]: (row[2], row[1]) for row in office[HEAD_ROW:] if row and row[0]}
    for figure in snapshot.totals.values():
        if figure.label not in sheet:
            continue
        chips = FigureChips()
        chips.show_figures([figure])
        (chip,) = chips.findChildren(FigureButton)
        value = " ".join(part for part in sheet[figure.label] if part)
        shown = [chip.accessibleName(), f"{figure.label}: {value}"]
        shown += [line for line in told if line.startswith(f"{figure.label}: ")]
        tally.same(f"{where}, {figure.id}", *shown)


def _sums(tally: Tally, where: str, office: list[list[str]]) -> None:
    """LibreOffice's own reckoning of “Check the sums”: every difference 0, every verdict “agrees”."""
    lines = [row for row in office[HEAD_ROW:] if len(row) > 6 and row[6]]
    if not lines or lines[-1][0] != "All together" or lines[-1][6] != "agrees":
        tally.wrong.append(f"{where}: the sums do not agree: {lines[-1:] or 'none'}")
    for row in lines[:-1]:
        tally.sums += 1
        if float(row[5]) != 0 or row[6] != "agrees":
            tally.wrong.append(f"{where}: {row[0]} differs by {row[5]}")


def _reopened(tally: Tally, where: str, workbook: Path) -> None:
    """openpyxl opens it again: dates are dates, formulas stand on one sheet only, no cell holds an error."""
    book = openpyxl.load_workbook(workbook, read_only=True)
    try:
        for sheet in book.worksheets:
            for cell in _cells(sheet):
                tally.cells += 1
                at = f"{where}, {sheet.title} {cell.coordinate}"
                if cell.data_type == "e":
                    tally.wrong.append(f"{at}: an error, {cell.value}")
                if cell.data_type == "f" and sheet.title != "Check the sums":
                    tally.wrong.append(f"{at}: a formula, {cell.value}")
                if isinstance(cell.value, datetime):
                    tally.dates += 1
                    if cell.number_format not in {"yyyy-mm-dd", "yyyy-mm-dd hh:mm"}:
                        tally.wrong.append(f"{at}: a date shown as {cell.number_format}")
                elif isinstance(cell.value, str) and _ISO_DAY.fullmatch(cell.value):
                    tally.wrong.append(f"{at}: a date as text, {cell.value}")
            _dates_are_dates(tally, where, sheet)
    finally:
        book.close()


def _cells(sheet: Any) -> Iterator[Any]:
    for row in sheet.iter_rows():
        yield from (cell for cell in row if cell.value is not None)


def _dates_are_dates(tally: Tally, where: str, sheet: Any) -> None:
    wanted = _SHEETS_WITH_TYPED_DATES.get(sheet.title, ())
    heads = next(sheet.iter_rows(HEAD_ROW, HEAD_ROW, values_only=True), ())
    for title in wanted:
        if title not in heads:
            continue
        column = heads.index(title)
        for row in sheet.iter_rows(FIRST_ROW, values_only=True):
            value = row[column]
            if row[0] and row[1] and value is not None and not isinstance(value, datetime):
                tally.wrong.append(f"{where}, {sheet.title}, {title}: {value!r} is no date")


def _flat(text: str) -> str:
    """Return text as all faces can show it: blanks and line ends as one blank (a line holds no tab)."""
    return " ".join(text.split())
