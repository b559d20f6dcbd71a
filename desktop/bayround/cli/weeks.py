"""`bayround weeks FILE --to OUT.xlsx`: the tables of all weeks in one workbook."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import date

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.cli.week import refuse_to_write_over, workbook
from bayround.words import _, counted


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "weeks",
        _("write the tables of all weeks into one workbook"),
        _(
            "Write one workbook (.xlsx) with the weekly workbook's tables of all weeks below one another, every\n"
            "row with its week: tidy, ready for a pivot table. The farm file is only read."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "--to", metavar="OUT.xlsx", required=True, type=workbook, help=_("the workbook to write")
    )
    parser.add_argument("--replace", action="store_true", help=_("write over an existing workbook"))
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the workbook."""
    from bayround.actions import all_weeks
    from bayround.actions import farm as farm_actions

    refuse_to_write_over(chosen.to, chosen.replace)
    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        season = all_weeks.facts(farm)
        _path, count = all_weeks.write(farm, season, chosen.to, date.today())
        told = _("Wrote “{file}”: {farm}, {weeks}.")
        weeks = counted("{n} week", "{n} weeks", count)
        print(told.format(file=chosen.to, farm=farm.info.name, weeks=weeks))
    return DONE
