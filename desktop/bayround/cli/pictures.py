"""`bayround pictures FILE --to FOLDER`: PNG pictures of the screens, also where there is no screen."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from bayround.cli import arguments
from bayround.cli.faces import Faces
from bayround.cli.guard import DONE
from bayround.facts.problems import Problem
from bayround.words import _, counted

if TYPE_CHECKING:
    from bayround.actions.farm import OpenFarm

SIZES = ((1280, 720), (1920, 1080))


def add(commands: arguments.Commands, faces: Faces) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "pictures",
        _("write pictures of the screens, for looking at them without one"),
        _(
            "Write a PNG picture of each main screen, as it stands in the newest week of the farm. They are\n"
            "taken from a copy: the farm file is only read. Pictures of the same name are replaced."
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
    from bayround.actions import week as week_actions

    try:
        chosen.to.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Problem(
            _("The folder “{folder}” can't be made: {why}.").format(folder=chosen.to, why=error.strerror),
            to_do=_("Choose another folder."),
        ) from error
    with _copy_of(chosen.file) as farm:
        today = week_actions.picture(farm, None, date.today()).as_of
        made = faces.take_pictures(farm, chosen.to, today, tuple(chosen.size or SIZES))
    print(
        counted("Made {n} picture in", "Made {n} pictures in", len(made)) + f" “{chosen.to}”:",
        *(f"  {path.name}" for path in made),
        sep="\n",
    )
    return DONE


@contextmanager
def _copy_of(file: Path) -> Iterator[OpenFarm]:
    """Open a verified copy of the farm file that is gone afterwards; screens write when they are used."""
    from bayround.actions import farm as farm_actions

    with TemporaryDirectory(prefix="bayround-") as folder:
        with closing(farm_actions.open_farm(file, read_only=True)) as farm:
            copy = farm_actions.back_up(farm, Path(folder))
        with closing(farm_actions.open_farm(copy.rename(Path(folder) / file.name))) as farm:
            yield farm
