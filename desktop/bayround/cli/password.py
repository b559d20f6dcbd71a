"""`bayround password ADDRESS`: a server's password goes into the keyring of the system."""

from __future__ import annotations

import argparse
import getpass
import sys

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "password",
        _("keep the password of a server in the system's keyring"),
        _(
            "Ask for the password of a farm on a server and keep it in the keyring of the system; an empty\n"
            "one takes it out. It is never put into a file, a setting or a log of Bayround. Without a keyring\n"
            "use libpq's password file (PGPASSFILE), readable by you alone."
        ),
    )
    parser.add_argument(
        "address",
        metavar="ADDRESS",
        type=arguments.address,
        help=_("the farm's address, like postgresql://name@server/database"),
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Ask for the password and keep it."""
    from bayround.actions import server

    password = (
        getpass.getpass(_("Password for {place}: ").format(place=chosen.address))
        if sys.stdin.isatty()
        else sys.stdin.readline().rstrip("\n")
    )
    server.keep_password(chosen.address, password)
    print(_("Kept in the system's keyring.") if password else _("Taken out of the system's keyring."))
    return DONE
