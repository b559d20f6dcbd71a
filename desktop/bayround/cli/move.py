"""`bayround move FROM TO`: a farm goes from a file to a server, or back."""

from __future__ import annotations

import argparse

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "move",
        _("move a farm from a file to a server, or back"),
        _(
            "Copy a farm file into an empty PostgreSQL database, or a farm on a server into a new file. All\n"
            "of it is read again on the other side and compared before it counts as moved. The farm at FROM\n"
            "stays as it is: agree on where you go on, or the two will have to be merged."
        ),
    )
    parser.add_argument(
        "source", metavar="FROM", type=arguments.place, help=_("the farm file or server address to move from")
    )
    parser.add_argument(
        "target", metavar="TO", type=arguments.place, help=_("the server address or new file to move to")
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Move the farm and say how much there was."""
    from bayround.actions import server

    moved = server.move(chosen.source, chosen.target)
    total = sum(moved.values())
    print(_("Moved to “{place}”: {n} records, each compared. “{source}” stays as it is.").format(
        place=chosen.target, n=total, source=chosen.source))  # fmt: skip
    return DONE
