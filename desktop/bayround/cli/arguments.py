"""Arguments that several commands share, and how their help is laid out."""

from __future__ import annotations

import argparse
import re
from datetime import date, time
from pathlib import Path
from typing import TYPE_CHECKING

from bayround.cli.faces import Size
from bayround.facts.problems import Refused
from bayround.facts.server_address import (
    FarmPlace,
    ServerAddress,
    is_server_address,
    read_address,
    read_place,
)
from bayround.facts.weeks import Week
from bayround.words import _

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def command(commands: Commands, name: str, help_text: str, description: str) -> argparse.ArgumentParser:
    """Add a command: *help_text* stands in the list of commands, *description* in its own help."""
    return commands.add_parser(
        name,
        help=help_text,
        description=description,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )


def add_farm_file(parser: argparse.ArgumentParser) -> None:
    """Let the command ask for the farm file, or for the address of a farm on a server."""
    parser.add_argument("file", metavar="FILE", type=place, help=farm_file_help())


def farm_file_help() -> str:
    """Return what is said about a farm file among the arguments."""
    return _("the farm file, like farm.bayround, or postgresql://name@server/database")


def add_week(parser: argparse.ArgumentParser, otherwise: str = "") -> None:
    """Let the command ask for a week; *otherwise* says which one it takes without."""
    otherwise = otherwise or _("the newest week that holds a round")
    parser.add_argument(
        "--week",
        metavar="WEEK",
        type=week,
        help=_("ISO week like 2026-W47 (without it: {otherwise})").format(otherwise=otherwise),
    )


def path(text: str) -> Path:
    """Read a path; ``~`` is the home folder.

    Raises:
        argparse.ArgumentTypeError: when it is empty.
    """
    if not text.strip():
        raise argparse.ArgumentTypeError(_("a path is missing"))
    return Path(text).expanduser()


def place(text: str) -> FarmPlace:
    """Read the path of a farm file, or the address of a farm on a server.

    Raises:
        argparse.ArgumentTypeError: when it is empty.
        Refused: when an address can't be read, or holds a password.
    """
    return read_place(text) if text.strip() else path(text)


def address(text: str) -> ServerAddress:
    """Read the address of a farm on a server.

    Raises:
        argparse.ArgumentTypeError: when it is none.
        Refused: when it can't be read, or holds a password.
    """
    if not is_server_address(text):
        raise argparse.ArgumentTypeError(
            _("this is no address of a server; write it like postgresql://name@server/database")
        )
    return read_address(text)


def week(text: str) -> Week:
    """Read a week.

    Raises:
        argparse.ArgumentTypeError: when it is none.
    """
    try:
        return Week.parse(text)
    except Refused as refused:
        raise argparse.ArgumentTypeError(str(refused)) from refused


def add_why_all_the_same(parser: argparse.ArgumentParser) -> None:
    """Let the command ask for the explanation without which nothing inside an interval is written down."""
    parser.add_argument(
        "--although",
        metavar="WHY",
        default="",
        help=_("why it was done although something stopped it; kept with it. Without it that is refused"),
    )


def day(text: str) -> date:
    """Read a date, ``2026-11-24``.

    Raises:
        argparse.ArgumentTypeError: when it is none.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            _("“{text}” is not a date; write it like 2026-11-24").format(text=text)
        ) from None


def clock_time(text: str) -> time:
    """Read a time of day, ``07:30``.

    Raises:
        argparse.ArgumentTypeError: when it is none.
    """
    found = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", text)
    if found is None:
        raise argparse.ArgumentTypeError(_("“{text}” is not a time; write it like 07:30").format(text=text))
    return time(int(found[1]), int(found[2]))


def amount(text: str) -> float:
    """Read a number; point and comma are both decimal marks.

    Raises:
        argparse.ArgumentTypeError: when it is none, or below 0.
    """
    if not re.fullmatch(r"[0-9]{1,7}([.,][0-9]{1,4})?", text):
        raise argparse.ArgumentTypeError(_("“{text}” is not an amount; write it like 81.5").format(text=text))
    return float(text.replace(",", "."))


def whole_number(text: str) -> int:
    """Read a whole number.

    Raises:
        argparse.ArgumentTypeError: when it is none, or below 0.
    """
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise argparse.ArgumentTypeError(
            _("“{text}” is not a whole number; write it like 2026").format(text=text)
        )
    return int(text)


def size(text: str) -> Size:
    """Read a size in pixels, ``1280x720``.

    Raises:
        argparse.ArgumentTypeError: when it is none, or not between 320 and 7680 pixels.
    """
    found = re.fullmatch(r"([0-9]{3,4})x([0-9]{3,4})", text)
    if found and all(320 <= int(side) <= 7680 for side in found.groups()):
        return int(found[1]), int(found[2])
    raise argparse.ArgumentTypeError(_("“{text}” is not a size; write it like 1280x720").format(text=text))
