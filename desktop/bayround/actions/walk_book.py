"""The walk sheet as a workbook to fill in on a tablet or phone, and to key in from."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from bayround.actions import setup, sheets
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import Refused
from bayround.facts.weeks import Week
from bayround.paper.walk_book import book
from bayround.words import _


def write(farm: OpenFarm, path: Path, week: Week | None, today: date, scout_id: str = "") -> int:
    """Write the walk sheet of a week as a workbook, a sheet a bay; return how many bays it holds.

    Raises:
        Refused: when no bay has a crop in that week, or several rounds were begun in it.
        Problem: when the file can't be written; an earlier one is as it was.
    """
    found = sheets.walks(farm, week, today, scout_id)
    if len(found) > 1:
        raise Refused(
            _("Several rounds were begun in {week}; a sheet to fill in is for one.").format(
                week=found[0].week
            ),
            to_do=_("Choose a week that is still to be walked."),
        )
    people = tuple(person.name for person in setup.read(farm).people if person.active)
    organisms = {key: _(organism.name) for key, organism in farm.crops.organisms.items() if organism.counting}
    return book.write(found[0], people, organisms, path)
