"""The weekly workbook: all sheets in order, then the file. The snapshot goes in, nothing is reckoned here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bayround import __version__
from bayround.crops import Crops, load_crops
from bayround.facts.problems import Problem
from bayround.paper.workbook import (
    about,
    bays,
    changes,
    check,
    closing,
    crop_numbers,
    earlier,
    fruit,
    glance,
    heights,
    jobs_due,
    pests,
    picks,
    readings,
    saving,
    treatments,
    weeds,
)
from bayround.paper.workbook.cells import Pen, safe_text
from bayround.paper.workbook.contents import Contents, sheet_name
from bayround.paper.workbook.styles import Look
from bayround.paper.workbook.tables import nothing
from bayround.week import digest
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

Progress = Callable[[float, str], None]


class Stopped(Problem):
    """The person stopped the writing."""


@dataclass(frozen=True, slots=True)
class Part:
    """One sheet: its title and what writes it."""

    title: str
    write: Callable[[Pen, Contents], None]


PARTS = (
    Part(glance.TITLE, glance.write),
    Part(jobs_due.TITLE, jobs_due.write),
    Part(bays.TITLE, bays.write),
    Part(heights.TITLE, heights.write),
    Part(fruit.TITLE, fruit.write),
    Part(pests.TITLE, pests.write_checks),
    Part(pests.BY_BAY_TITLE, pests.write_by_bay),
    Part(pests.CARDS_TITLE, pests.write_cards),
    Part(weeds.TITLE, weeds.write),
    Part(picks.TITLE, picks.write),
    Part(treatments.TITLE, treatments.write),
    Part(changes.TITLE, changes.write),
    Part(readings.TITLE, readings.write),
    Part(earlier.TITLE, earlier.write),
    Part(check.TITLE, check.write),
    Part(about.TITLE, about.write),
    Part(crop_numbers.TITLE, crop_numbers.write),
)
_SHARE_OF_SHEETS = 0.6
"""How much of the work is done when the sheets stand and only the file has to be written."""


def write(
    snapshot: WeekSnapshot,
    path: Path,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
    crops: Crops | None = None,
) -> Path:
    """Write the week's workbook to *path* and return it; the same snapshot gives the same bytes.

    *progress* is told a share from 0 to 1 and what is being written; *cancelled* is asked now and then.
    *crops* are the numbers with the farm's own changes; with them the workbook lists every threshold.

    Raises:
        Stopped: *cancelled* said yes; what stood at *path* is as it was.
        Problem: the file can't be written; what stood at *path* is as it was.
    """
    tell = progress or _tell_nobody

    def watch() -> None:
        if cancelled is not None and cancelled():
            raise Stopped(
                _("Writing the workbook was stopped."),
                _("Nothing was written; an earlier file is as it was."),
            )

    workbook = make(snapshot, crops, watch, tell)
    tell(_SHARE_OF_SHEETS, _("Writing the file"))
    saving.save(workbook, path, snapshot.as_of, watch)
    tell(1.0, _("Written"))
    return path


def make(
    snapshot: WeekSnapshot,
    crops: Crops | None = None,
    watch: Callable[[], None] = nothing,
    tell: Progress | None = None,
) -> Workbook:
    """Return the workbook with all its sheets, not written yet."""
    names = {key: organism.name for key, organism in (crops or load_crops()).organisms.items()}
    shown = {key: _(name) for key, name in names.items()}
    contents = Contents(snapshot, shown, crops, watch, digest.of_week(snapshot))
    return _fill(contents, tell or _tell_nobody)


def _fill(contents: Contents, tell: Progress) -> Workbook:
    from openpyxl import Workbook

    workbook = Workbook()
    parts = [part for part in PARTS if part.title != crop_numbers.TITLE or contents.crops is not None]
    looks: dict[Look, Any] = {}
    first = workbook.active
    assert first is not None
    pens = [
        Pen(first if number == 0 else workbook.create_sheet(), looks) for number, _part in enumerate(parts)
    ]
    for part, pen in zip(parts, pens):
        pen.sheet.title = sheet_name(part.title)
    # The first sheet goes last: its chart looks at tables on the others.
    order = [*range(1, len(parts)), 0]
    for done, number in enumerate(order):
        contents.watch()
        tell(_SHARE_OF_SHEETS * done / len(parts), _(parts[number].title))
        parts[number].write(pens[number], contents)
    _describe(workbook, contents)
    return workbook


def _describe(workbook: Workbook, contents: Contents) -> None:
    snapshot = contents.snapshot
    about_it = workbook.properties
    about_it.title = safe_text(_("{farm}, week {week}").format(farm=contents.farm, week=snapshot.week))
    about_it.subject = str(snapshot.week)
    about_it.creator = "Bayround"
    about_it.version = __version__
    about_it.description = safe_text(
        _("As of {day}, revision {revision} of the farm file.").format(
            day=snapshot.as_of.isoformat(), revision=snapshot.revision
        )
    )
    for name, value in closing.properties(snapshot, contents.digest):
        closing.put(workbook, name, value)
    about_it.created = about_it.modified = datetime.combine(snapshot.as_of, time())


def _tell_nobody(_share: float, _text: str) -> None:
    return None
