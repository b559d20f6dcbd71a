"""`bayround roles ADDRESS`: the script that gives scouts, supervisors and managers their rights on a server."""

from __future__ import annotations

import argparse

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "roles",
        _("print the rights of people on a server, as a script for psql"),
        _(
            "Print the SQL that makes four groups for a farm on a server (reader, scout, supervisor, manager)\n"
            "and gives each the least rights that do the work. Nothing is connected to: the owner of the\n"
            "tables runs it, as in: bayround roles ADDRESS | psql -v ON_ERROR_STOP=1 DATABASE"
        ),
    )
    parser.add_argument(
        "address",
        metavar="ADDRESS",
        type=arguments.address,
        help=_("the farm's address, like postgresql://server/database"),
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the script."""
    from bayround.actions import server

    print(server.roles_script(chosen.address), end="")
    return DONE
