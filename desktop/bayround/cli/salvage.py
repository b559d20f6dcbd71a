"""`bayround salvage FILE --to NEW`: readable records out of a damaged farm file."""

from __future__ import annotations

import argparse

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "salvage",
        _("save what can be read of a damaged farm file"),
        _(
            "Write a new farm file with every record that can be read in a damaged one. The damaged file is\n"
            "only copied. With --backup, records that the damage hides come from that backup; what was\n"
            "removed on purpose since then comes back with them. A restored backup is the safer way when\n"
            "nothing was keyed in after it; look at the new file, and check it, before going on with it."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "--to", metavar="NEW", type=arguments.path, required=True, help=_("the new farm file")
    )
    parser.add_argument(
        "--backup", metavar="BACKUP", type=arguments.path, help=_("a backup to take hidden records from")
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Salvage and print what came of it."""
    from bayround.actions import backups

    for line in backups.salvage(chosen.file, chosen.to, chosen.backup):
        print(line)
    print(_("Written: “{file}”. The damaged file is as it was.").format(file=chosen.to))
    print(_("See whether it is sound with: bayround check “{file}”").format(file=chosen.to))
    return DONE
