"""`bayround pictures FILE --to FOLDER`: PNG pictures of the screens, also where there is no screen."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import date
from functools import partial

from bayround.cli import arguments
from bayround.cli.faces import Faces
from bayround.cli.guard import DONE
from bayround.facts.problems import Problem
from bayround.words import _, counted

SIZES = ((1280, 720), (1920, 1080))


def add(commands: arguments.Commands, faces: Faces) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "pictures",
        _("write pictures of the screens, for looking at them without one"),
        _(
            "Write a PNG picture of each main screen, as it stands in the newest week of the farm. The farm\n"
            "file is only read. Pictures of the same name in the folder are replaced."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "--to", metavar="FOLDER", required=True, type=arguments.path, help=_("the folder for the pictures")
    )
    parser.add_argument(
        "--size",
        metavar="WIDTHxHEIGHT",
        action="append",
        type=arguments.size,
        help=_("size in pixels; may be given again (without it: 1280x720 and 1920x1080)"),
    )
    parser.set_defaults(run=partial(run, faces))


def run(faces: Faces, chosen: argparse.Namespace) -> int:
    """Take the pictures and say where they are."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import week as week_actions

    try:
        chosen.to.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Problem(
            _("The folder “{folder}” can't be made: {why}.").format(folder=chosen.to, why=error.strerror),
            to_do=_("Choose another folder."),
        ) from error
    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        today = week_actions.picture(farm, None, date.today()).as_of
        made = faces.take_pictures(farm, chosen.to, today, tuple(chosen.size or SIZES))
    print(
        counted("Made {n} picture in", "Made {n} pictures in", len(made)) + f" “{chosen.to}”:",
        *(f"  {path.name}" for path in made),
        sep="\n",
    )
    return DONE
