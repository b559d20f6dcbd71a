"""`bayround close FILE --week 2026-W47`: hand the weekly workbook over and close the week."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import UTC, date, datetime

from bayround import words
from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.cli.week import refuse_to_write_over, workbook
from bayround.facts.problems import Refused
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "close",
        _("hand the weekly workbook over and close the week"),
        _(
            "Write the workbook of one week and keep in the farm file that it went out, and what it held.\n"
            "Nothing is locked: what is corrected later is listed in the next workbook, and “bayround verify”\n"
            "says what a workbook and the farm file no longer share."
        ),
    )
    arguments.add_farm_file(parser)
    arguments.add_week(parser)
    parser.add_argument(
        "--to",
        metavar="OUT.xlsx",
        type=workbook,
        help=_("the workbook to write (without it: farm and week, beside the farm file)"),
    )
    parser.add_argument("--replace", action="store_true", help=_("write over an existing workbook"))
    parser.add_argument(
        "--by", metavar="NAME", default="", help=_("who closes the week, as named in the farm")
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the workbook, keep the closing, say both."""
    from bayround.actions import closing as closing_actions
    from bayround.actions import farm as farm_actions
    from bayround.actions import week as week_actions
    from bayround.actions.jobs import Moment
    from bayround.actions.workbook import default_name, write_week

    today = date.today()
    with closing(farm_actions.open_farm(chosen.file)) as farm:
        snapshot = week_actions.with_history(farm, week_actions.picture(farm, chosen.week, today))
        moment = Moment(today, datetime.now(UTC), _person(snapshot, chosen.by))
        ready = closing_actions.prepared(snapshot, moment)
        target = chosen.to or farm.path.with_name(default_name(snapshot))
        refuse_to_write_over(target, chosen.replace)
        write_week(ready, target, crops=farm.crops)
        new = closing_actions.keep(farm, ready)
    print(
        _("Wrote “{file}”: {farm}, {week}, as of {day}.").format(
            file=target, farm=ready.farm.name, week=ready.week, day=words.day(ready.as_of)
        )
    )
    told = _("{week} is closed.") if new else _("{week} was closed before; nothing changed since.")
    print(told.format(week=ready.week))
    for warning in ready.warnings:
        print(_("Mind: {warning}").format(warning=warning))
    return DONE


def _person(snapshot: WeekSnapshot, name: str) -> str | None:
    """Return the key of the person called *name*, nothing for no name.

    Raises:
        Refused: when nobody is, or several are.
    """
    if not name:
        return None
    found = [person.id for person in snapshot.people if person.name.casefold() == name.casefold()]
    if len(found) == 1:
        return found[0]
    names = words.listing([person.name for person in snapshot.people])
    raise Refused(
        _("“{name}” is not one person of this farm.").format(name=name),
        _("Nothing was written."),
        _("Known are: {names}.").format(names=names),
    )
