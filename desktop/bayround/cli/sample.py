"""`bayround sample --to FILE`: the invented farm, to try everything on."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "sample",
        _("make the sample farm: invented, with half a year of rounds"),
        _(
            "Make a farm file with an invented farm: houses, bays, half a year of weekly rounds, jobs,\n"
            "treatments and picks. Nothing in it is real. An existing file is left as it is."
        ),
    )
    parser.add_argument(
        "--to", metavar="FILE", required=True, type=arguments.path, help=_("the farm file to make")
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Make the sample farm."""
    from bayround.actions.sample import write_sample

    write_sample(chosen.to).close()
    print(_("Made “{file}”: an invented farm to try things on.").format(file=chosen.to))
    print(_("Open it with: {line}").format(line=f'{_command()} open "{chosen.to}"'))
    return DONE


def _command() -> str:
    """Return how this program is run from where the person is, as short as it goes: it need not be on the path."""
    beside = Path(sys.executable).with_name("bayround.exe" if os.name == "nt" else "bayround")
    if not beside.is_file():
        return f'"{_short(Path(sys.executable))}" -m bayround'
    return f'"{_short(beside)}"'


def _short(path: Path) -> Path:
    """Return a path from the current folder on where it lies in it."""
    return path.relative_to(Path.cwd()) if path.is_relative_to(Path.cwd()) else path
