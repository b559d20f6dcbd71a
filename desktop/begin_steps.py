"""The two things `begin.py` does: open the sample farm, or run the tests. Standard library only."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import begin_environment
import begin_system
from begin_system import Trouble, say

CHECKOUT = Path(__file__).resolve().parent.parent
TROUBLE = 1
INTERRUPTED = 130


@dataclass(frozen=True)
class Choice:
    """What was asked for: test or open, in which environment, with which further arguments for pytest."""

    test: bool
    venv: Path
    further: tuple[str, ...]


def main(arguments: Sequence[str]) -> int:
    """Do what was asked for; return the exit code of what was started, or 1 with words."""
    try:
        choice = read(arguments)
        return run_tests(choice) if choice.test else open_sample(choice)
    except Trouble as trouble:
        print(f"begin.py: {trouble}", file=sys.stderr)
        return TROUBLE
    except KeyboardInterrupt:
        print("begin.py: stopped. Run the same line again; it goes on where it was.", file=sys.stderr)
        return INTERRUPTED


def read(arguments: Sequence[str]) -> Choice:
    """Read the arguments.

    Raises:
        SystemExit: after --help, or (2) for an argument that only tests take.
    """
    parser = argparse.ArgumentParser(
        prog="begin.py",
        usage="python3 desktop/begin.py [--venv DIR]\n       python3 desktop/begin.py test [--venv DIR] [pytest arguments]",
        description="Open Bayround on its invented sample farm, or run its tests. The first run makes an "
        "environment in .venv and installs what is needed; later runs start at once.",
        allow_abbrev=False,
    )
    parser.add_argument("what", nargs="?", choices=("open", "test"), default="open", help="open or test")
    parser.add_argument(
        "--venv", metavar="DIR", type=Path, help="folder for the environment (default: .venv)"
    )
    known, further = parser.parse_known_args(list(arguments))
    if further and known.what != "test":
        parser.error(f"not known: {' '.join(further)}")
    venv = (known.venv or CHECKOUT / ".venv").expanduser().absolute()
    return Choice(known.what == "test", venv, tuple(further))


def open_sample(choice: Choice) -> int:
    """Make everything ready and open the sample farm; without a screen write pictures instead."""
    python = begin_environment.ready(choice.venv, CHECKOUT, test=False)
    screen = begin_system.has_screen()
    begin_system.qt_ready(screen=screen)
    bayround = (str(python), "-m", "bayround")
    if not screen:
        return _without_screen(bayround)
    sample = _data_dir(python) / "sample.bayround"
    steps = [] if sample.exists() else [("sample", "--to", str(sample))]
    return _one_after_another(bayround, [*steps, ("open", str(sample))])


def _without_screen(bayround: tuple[str, ...]) -> int:
    """Write what can be looked at elsewhere, from a sample farm made anew (nobody can have changed it here)."""
    folder = CHECKOUT / "pictures"
    say(
        "There is no screen here, so no window can open.",
        f"Instead the newest week's workbook and pictures of the screens go to {folder}",
    )
    sample, workbook = folder / "sample.bayround", folder / "sample-week.xlsx"
    try:
        folder.mkdir(exist_ok=True)
        sample.unlink(missing_ok=True)
    except OSError as error:
        raise Trouble(f"{folder} can't be written to: {error.strerror}.") from error
    steps = [
        ("sample", "--to", str(sample)),
        ("week", str(sample), "--to", str(workbook), "--replace"),
        ("pictures", str(sample), "--to", str(folder)),
    ]
    return _one_after_another(bayround, steps)


def _one_after_another(bayround: tuple[str, ...], steps: Sequence[tuple[str, ...]]) -> int:
    """Run commands of the program; return the exit code of the first that does not end well, or 0."""
    for step in steps:
        if code := begin_system.run((*bayround, *step)):
            return code
    return 0


def _data_dir(python: Path) -> Path:
    """Ask the program where it keeps its files; this file must not know."""
    question = "from bayround import places; print(places.data_dir())"
    code, answer = begin_system.ask((str(python), "-c", question))
    if code or not answer.strip():
        raise Trouble("The folder for Bayround's own files can't be used.", to_do="Set BAYROUND_DATA_DIR.")
    return Path(answer.strip().splitlines()[-1])


def run_tests(choice: Choice) -> int:
    """Make everything ready, with what the tests need besides, and run pytest; return its exit code."""
    python = begin_environment.ready(choice.venv, CHECKOUT, test=True)
    begin_system.qt_ready(screen=False)
    begin_system.office_ready()
    return begin_system.run((str(python), "-m", "pytest", *choice.further), folder=CHECKOUT)
