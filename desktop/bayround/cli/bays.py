"""`bayround bays FILE`: the bays of a week, one line a bay, every column of the program's list."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import date

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.week.columns import COLUMNS
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "bays",
        _("list the bays of a week with all their figures"),
        _(
            "List the bays of a week: a line of headings, then one line a bay, values separated by tabs, ready\n"
            "for another program. They are the texts of screens and workbook; the farm file is only read."
        ),
    )
    arguments.add_farm_file(parser)
    arguments.add_week(parser)
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the bays."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import week as week_actions

    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        print(as_text(week_actions.picture(farm, chosen.week, date.today())))
    return DONE


def as_text(snapshot: WeekSnapshot) -> str:
    """Return the lines; tabs and line ends inside a text become spaces."""
    lines = ["\t".join(column.title for column in COLUMNS)]
    lines += ["\t".join(_one_line(column.text(seen)) for column in COLUMNS) for seen in snapshot.bays]
    return "\n".join(lines)


def _one_line(text: str) -> str:
    return " ".join(text.split()) if not text.isprintable() else text
