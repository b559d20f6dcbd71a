"""`bayround verify WORKBOOK.xlsx FILE`: does a workbook still say what the farm file says?"""

from __future__ import annotations

import argparse
from contextlib import closing

from bayround.cli import arguments
from bayround.cli.guard import DONE, FOUND_SOMETHING
from bayround.words import _, counted

MOST_SHOWN = 100


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "verify",
        _("compare a weekly workbook with the farm file"),
        _(
            "Compare a workbook that was handed over with the farm file as it is now: every value on its\n"
            "sheets, the digest of the week's facts, the history of corrections. Both are only read. Gives\n"
            "exit code 3 when something differs."
        ),
    )
    parser.add_argument(
        "workbook", metavar="WORKBOOK.xlsx", type=arguments.path, help=_("the workbook that went out")
    )
    arguments.add_farm_file(parser)
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Compare and print what differs."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import verify

    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        verdict = verify.verify(farm, chosen.workbook)
    print(verdict.about)
    if not verdict.differs:
        print(_("The workbook says what the farm file says."))
        return DONE
    print(counted("{n} thing differs:", "{n} things differ:", len(verdict.differs)))
    for line in verdict.differs[:MOST_SHOWN]:
        print(f"  {line}")
    if len(verdict.differs) > MOST_SHOWN:
        print("  " + _("and {n} more").format(n=len(verdict.differs) - MOST_SHOWN))
    if verdict.explained:
        print(_("Corrections made since the workbook was written:"))
        for line in verdict.explained:
            print(f"  {line}")
    return FOUND_SOMETHING
