"""`bayround check FILE`: is the farm file sound?"""

from __future__ import annotations

import argparse
from contextlib import closing

from bayround.cli import arguments
from bayround.cli.guard import DONE, FOUND_SOMETHING
from bayround.words import _, counted


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "check",
        _("check that a farm file is sound"),
        _(
            "Go through a farm file: the file itself, the rules of its tables, the history of corrections,\n"
            "and what can't be true. It is only read. Gives exit code 3 when something is found."
        ),
    )
    arguments.add_farm_file(parser)
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Check the file and print what was found."""
    from bayround.actions import check as check_actions
    from bayround.actions import farm as farm_actions

    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        found = check_actions.check(farm)
    if not found:
        print(_("“{file}” is sound.").format(file=chosen.file))
        return DONE
    print(counted("{n} thing found:", "{n} things found:", len(found)))
    for finding in found:
        print(f"  {finding}")
    print(_("Nothing was changed. Keep a copy of the file; a backup from before may be sound."))
    return FOUND_SOMETHING
