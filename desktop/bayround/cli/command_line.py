"""From the words typed to the command that is run."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

import bayround
from bayround.cli import (
    arguments,
    bays,
    check,
    close,
    done,
    imports,
    inside,
    jobs,
    merge,
    move,
    package,
    password,
    pick,
    pictures,
    roles,
    salvage,
    sample,
    season,
    sheets,
    verify,
    week,
    weeks,
)
from bayround.cli import open as open_command
from bayround.cli.faces import Faces
from bayround.facts.server_address import is_server_address
from bayround.words import _

EXAMPLES = """\
  bayround sample --to sample.bayround
  bayround open sample.bayround
  bayround week sample.bayround --to week.xlsx
  bayround jobs sample.bayround --week 2026-W47
  bayround sheets sample.bayround --to walk.pdf
  bayround import sample.bayround walk.xlsx
  bayround season sample.bayround --to season.xlsx
  bayround check sample.bayround"""


def run(typed: Sequence[str], faces: Faces) -> int:
    """Run the command that was typed and return its exit code.

    Raises:
        SystemExit: after help and version (0) and for wrong use (2); argparse has then said what there is to say.
    """
    chosen = build_parser(faces).parse_args(with_default_command(typed))
    code: int = chosen.run(chosen)
    return code


def build_parser(faces: Faces) -> argparse.ArgumentParser:
    """Return the parser with every command."""
    parser = argparse.ArgumentParser(
        prog="bayround",
        description=_(
            "Weekly rounds of net houses and greenhouses: key in what was seen, see what is due, hand over\n"
            "the weekly workbook. Without a command the window opens."
        ),
        epilog="\n\n".join((_("examples:") + "\n" + EXAMPLES, _exit_codes())),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"bayround {bayround.__version__}")
    _add_data_dir(parser)
    commands = parser.add_subparsers(title=_("commands"), metavar=_("COMMAND"), required=True)
    open_command.add(commands, faces)
    sample.add(commands)
    week.add(commands)
    bays.add(commands)
    jobs.add(commands)
    done.add(commands)
    pick.add(commands)
    inside.add(commands)
    sheets.add(commands, faces)
    season.add(commands, faces)
    check.add(commands)
    weeks.add(commands)
    close.add(commands)
    verify.add(commands)
    merge.add(commands)
    imports.add(commands)
    move.add(commands)
    password.add(commands)
    roles.add(commands)
    package.add(commands)
    salvage.add(commands)
    pictures.add(commands, faces)
    return parser


def with_default_command(typed: Sequence[str]) -> list[str]:
    """Return *typed* with `open` put in where no command was given: nothing typed, or a farm first."""
    if not typed:
        return ["open"]
    first = typed[0]
    is_farm = first.casefold().endswith(".bayround") or is_server_address(first)
    return ["open", *typed] if is_farm else list(typed)


def split_data_dir(typed: Sequence[str]) -> tuple[Path | None, list[str]]:
    """Take `--data-dir DIR` out of what was typed, wherever it stands.

    Raises:
        SystemExit: with code 2, when the folder is missing after it.
    """
    parser = argparse.ArgumentParser(prog="bayround", add_help=False, allow_abbrev=False)
    _add_data_dir(parser)
    known, rest = parser.parse_known_args(list(typed))
    chosen: Path | None = known.data_dir
    return (chosen.resolve() if chosen else None), rest


def _add_data_dir(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--data-dir",
        metavar="DIR",
        type=arguments.path,
        help=_("keep settings and logs in this folder instead of your own data folder"),
    )


def _exit_codes() -> str:
    return _(
        "exit codes: 0 done; 1 a problem, told in words; 2 wrong use; 3 “check”, “verify” or “inside” found something;\n"
        "70 a fault of the program (see the log)"
    )
