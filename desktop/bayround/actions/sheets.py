"""The sheets that go out with the crew: walk sheets for the scout, job sheets for those who work."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection
from datetime import date
from pathlib import Path

from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.trials import TrialView
from bayround.facts.problems import Refused
from bayround.facts.weeks import Week
from bayround.paper.pages import job_pages, trial_pages, walk_pages
from bayround.paper.pages.drawing import A4, LETTER, PAPERS, Box, Document, Item, Line, Paper, Text
from bayround.paper.workbook import saving
from bayround.records import read_season
from bayround.week import job_sheet, walk_sheet
from bayround.week.walk_sheet import WalkSheet
from bayround.words import _

__all__ = [
    "A4", "LETTER", "PAPERS", "Box", "Document", "Item", "Line", "Paint", "Paper", "Text", "WalkSheet",
    "coming_week", "job_sheets", "people_with_jobs", "trial_sheet", "walk_sheets", "walks", "write_pages",
]  # fmt: skip

Paint = Callable[[Document], bytes]
"""Paints pages into a PDF; handed in by who has a painter (`start`, the window)."""


def coming_week(farm: OpenFarm, today: date) -> Week:
    """Return the week to walk next: the one after the newest round, or this one when there is none or it is older."""
    known = week_actions.weeks_with_rounds(farm)
    this = Week.of(today)
    return max(known[-1].plus(1), this) if known else this


def walks(farm: OpenFarm, week: Week | None, today: date, scout_id: str = "") -> tuple[WalkSheet, ...]:
    """Return the walk sheets of a week (without one: the week to walk next) as values.

    Raises:
        Refused: when no bay has a crop in that week.
    """
    season = read_season.read_season(farm.store)
    found = walk_sheet.build(season, farm.crops, week or coming_week(farm, today), today, scout_id)
    if not any(sheet.bays for sheet in found):
        raise Refused(
            _("No bay has a crop in {week}.").format(week=found[0].week),
            to_do=_("Enter houses, bays and plantings under Farm first."),
        )
    return tuple(sheet for sheet in found if sheet.bays)


def walk_sheets(
    farm: OpenFarm, week: Week | None, today: date, paper: Paper = A4, scout_id: str = ""
) -> Document:
    """Return the walk sheets of a week as pages.

    Raises:
        Refused: as `walks`.
    """
    return walk_pages.document(walks(farm, week, today, scout_id), paper)


def job_sheets(
    farm: OpenFarm,
    week: Week | None,
    today: date,
    paper: Paper = A4,
    people: Collection[str] | None = None,
) -> Document:
    """Return the job sheets of a week (without one: today's), by person and day, as pages.

    Args:
        people: names of those whose sheets are wanted (empty: jobs given to nobody); without it everybody's.

    Raises:
        Refused: when the week lies outside the rounds that are kept, or somebody named has no job in it.
    """
    snapshot = week_actions.work(farm, week, today)
    known = {sheet.person for sheet in job_sheet.build(snapshot)}
    wanted = None if people is None else {_called(name, known) for name in people}
    return job_pages.document(snapshot, job_sheet.build(snapshot, wanted), paper)


def people_with_jobs(farm: OpenFarm, today: date) -> tuple[tuple[str, int], ...]:
    """Return (name, jobs due) of everybody with a job sheet today; the empty name is nobody yet, and last."""
    count = Counter[str]()
    for sheet in job_sheet.build(week_actions.work(farm, None, today)):
        count[sheet.person] += len(sheet.jobs)
    return tuple(count.items())


def _called(name: str, known: Collection[str]) -> str:
    found = next((one for one in known if one.casefold() == name.strip().casefold()), None)
    if found is None:
        names = ", ".join(sorted(one for one in known if one))
        raise Refused(
            _("“{name}” has no job to be handed out.").format(name=name),
            _("Nothing was written."),
            _("Jobs are given to: {names}.").format(names=names or _("nobody")),
        )
    return found


def trial_sheet(farm: OpenFarm, view: TrialView, paper: Paper = A4) -> Document:
    """Return the layout of a trial as pages: the plots as they lie, and a list to write values in."""
    plots = [one.plot for one in view.plots]
    return trial_pages.document(farm.info, view.trial, plots, view.places, paper)


def write_pages(document: Document, path: Path, paint: Paint) -> Path:
    """Write pages as a PDF, whole or not at all, and return its path.

    Raises:
        Problem: folder missing or read-only, disk full, file open elsewhere; an earlier file is as it was.
    """
    saving.refuse_bad_place(path)
    saving.write_whole(path, paint(document))
    return path
