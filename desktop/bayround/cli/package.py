"""`bayround package FILE --to OUT.zip` and `bayround rebuild PACKAGE.zip --to FILE`: a whole farm as open data."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.cli.week import refuse_to_write_over
from bayround.words import _, counted


def add(commands: arguments.Commands) -> None:
    """Add both commands."""
    parser = arguments.command(
        commands,
        "package",
        _("write the whole farm as open data: CSV tables with a description"),
        _(
            "Write every table of a farm as CSV, with a description by Table Schema (Frictionless Data Package),\n"
            "into one zip file. Other programs can read it; “bayround rebuild” makes the farm file again. The\n"
            "farm file is only read."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "--to", metavar="OUT.zip", required=True, type=_package, help=_("the data package to write")
    )
    parser.add_argument("--replace", action="store_true", help=_("write over an existing package"))
    parser.set_defaults(run=run)
    again = arguments.command(
        commands,
        "rebuild",
        _("make a farm file from a data package"),
        _(
            "Make a farm file from a data package that “bayround package” wrote: every table, the history of\n"
            "corrections with its chain. An existing file is left as it is."
        ),
    )
    again.add_argument("package", metavar="PACKAGE.zip", type=arguments.path, help=_("the data package"))
    again.add_argument(
        "--to", metavar="FILE", required=True, type=arguments.path, help=_("the farm file to make")
    )
    again.set_defaults(run=run_again)


def _package(text: str) -> Path:
    """Read the name of a data package.

    Raises:
        argparse.ArgumentTypeError: when it ends in something else.
    """
    path = arguments.path(text)
    if path.suffix.casefold() != ".zip":
        raise argparse.ArgumentTypeError(_("the name of a data package ends in .zip"))
    return path


def run(chosen: argparse.Namespace) -> int:
    """Write the package."""
    from bayround.actions import data_package
    from bayround.actions import farm as farm_actions

    refuse_to_write_over(chosen.to, chosen.replace)
    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        data_package.package(farm, chosen.to)
        told = _("Wrote “{file}”: {farm}, revision {revision}.")
        print(told.format(file=chosen.to, farm=farm.info.name, revision=farm.info.revision))
    return DONE


def run_again(chosen: argparse.Namespace) -> int:
    """Make the farm file."""
    from bayround.actions import data_package

    count = data_package.rebuild(chosen.package, chosen.to)
    print(_("Made “{file}”: {records}.").format(
        file=chosen.to, records=counted("{n} record", "{n} records", count)))  # fmt: skip
    return DONE
