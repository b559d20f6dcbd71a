"""`bayround open [FILE]`: the window."""

from __future__ import annotations

import argparse
from functools import partial

from bayround.cli import arguments
from bayround.cli.faces import Faces
from bayround.words import _


def add(commands: arguments.Commands, faces: Faces) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "open",
        _("open the window (this is what happens without a command)"),
        _("Open the window on a farm file or on the farm on a server. Without: on the farm opened last."),
    )
    parser.add_argument(
        "file", metavar="FILE", nargs="?", type=arguments.place, help=arguments.farm_file_help()
    )
    parser.set_defaults(run=partial(run, faces))


def run(faces: Faces, chosen: argparse.Namespace) -> int:
    """Open the window; return its exit code when it is closed."""
    return faces.open_window(chosen.file)
