"""`bayround week FILE --to OUT.xlsx`: the weekly workbook."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import date
from pathlib import Path

from bayround import words
from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.facts.problems import Problem
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

TOTALS_SHOWN = ("bays_visited", "readings_count", "jobs_due", "hours_due")


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "week",
        _("write the weekly workbook"),
        _(
            "Write the workbook of one week (.xlsx). The farm file is only read. The numbers are those the\n"
            "window shows. An existing workbook is left as it is unless --replace is given."
        ),
    )
    arguments.add_farm_file(parser)
    arguments.add_week(parser)
    parser.add_argument(
        "--to", metavar="OUT.xlsx", required=True, type=workbook, help=_("the workbook to write")
    )
    parser.add_argument("--replace", action="store_true", help=_("write over an existing workbook"))
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the workbook and say what is in it."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import week as week_actions
    from bayround.actions.workbook import write_week

    refuse_to_write_over(chosen.to, chosen.replace)
    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        snapshot = week_actions.with_history(farm, week_actions.picture(farm, chosen.week, date.today()))
    write_week(snapshot, chosen.to, crops=farm.crops)
    print(
        _("Wrote “{file}”: {farm}, {week}, as of {day}.").format(
            file=chosen.to, farm=snapshot.farm.name, week=snapshot.week, day=words.day(snapshot.as_of)
        )
    )
    for line in told(snapshot):
        print(f"  {line}")
    return DONE


def told(snapshot: WeekSnapshot) -> list[str]:
    """Return what the command says of a week: its totals, then what to mind."""
    totals = [snapshot.totals[key] for key in TOTALS_SHOWN if key in snapshot.totals]
    return [*(f"{total.label}: {total.text_with_unit}" for total in totals), *snapshot.warnings]


def refuse_to_write_over(target: Path, replace: bool) -> None:
    """Refuse to write over a file that is there, unless that was asked for."""
    if target.exists() and not replace:
        raise Problem(
            _("There is already a file “{name}”.").format(name=target.name),
            _("It was left as it is."),
            _("Choose another name, or give --replace to write over it."),
        )


def workbook(text: str) -> Path:
    """Read the path of a workbook to write.

    Raises:
        argparse.ArgumentTypeError: when it is none, or does not end in .xlsx.
    """
    path = arguments.path(text)
    if path.suffix.casefold() != ".xlsx":
        raise argparse.ArgumentTypeError(_("the name of a workbook ends in .xlsx"))
    return path
