"""The only place that builds and joins the parts: choices, log, command line and window."""

from __future__ import annotations

import importlib
import io
import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bayround import logs, places, settings, words
from bayround.cli import command_line
from bayround.cli.faces import Faces, Size
from bayround.cli.guard import guarded
from bayround.facts.problems import Problem
from bayround.facts.server_address import FarmPlace
from bayround.words import _

if TYPE_CHECKING:
    from bayround.actions.farm import OpenFarm
    from bayround.actions.sheets import Document

QT_LIBRARIES = (
    "libgl1 libegl1 libglib2.0-0 libfontconfig1 libdbus-1-3 libxkbcommon0 libxcb-cursor0"
    " libxcb-icccm4 libxcb-keysyms1 libxcb-shape0 libxkbcommon-x11-0"
)
"""Debian packages that the window needs (`ldd` over Qt 6.11's libraries in a bare Debian 12)."""


def main(arguments: Sequence[str]) -> int:
    """Run one command; return its exit code (see `cli.guard`). Nothing but that ends the program."""
    _let_every_letter_through()
    return guarded(lambda: _run(arguments))


def _run(arguments: Sequence[str]) -> int:
    data_dir, rest = command_line.split_data_dir(arguments)
    _use_data_dir(data_dir)
    _use_choices()
    logs.start_logging()
    try:
        return guarded(lambda: command_line.run(rest, Faces(_open_window, _take_pictures, _paint_pages)))
    finally:
        logs.stop_logging()


def _use_data_dir(chosen: Path | None) -> None:
    places.use_data_dir(chosen)
    try:
        places.data_dir()
    except OSError as error:
        raise Problem(
            _("The folder for the program's own files can't be used: {why}.").format(why=error),
            _("Nothing was changed."),
            _("Choose a folder you may write to with --data-dir."),
        ) from error


def _use_choices() -> None:
    mark = str(settings.read(settings.DECIMAL_MARK))
    words.use(str(settings.read(settings.LANGUAGE)), mark if mark in {".", ","} else ".")


def _let_every_letter_through() -> None:
    """A terminal that lacks a letter shows its number instead; it must not end the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _open_window(farm: FarmPlace | None) -> int:
    if not _has_screen():
        raise Problem(
            _("There is no screen here to open a window on."),
            to_do=_(
                "Run it on a computer with a screen, or use “bayround week”, “bayround jobs” or “bayround pictures”."
            ),
        )
    load_before_window()
    try:
        from bayround.window.start_window import open_window
    except ImportError as error:
        raise _qt_problem(error) from error
    return open_window(farm)


def load_before_window() -> None:
    """Load what needs no window first: once Qt is there, it looks into the source of every module that is loaded.

    Measured: the start takes a tenth less processor time.
    """
    for name in (
        "bayround.actions.week",
        "bayround.actions.sample",
        "sqlalchemy.dialects.sqlite",
    ):
        importlib.import_module(name)


def _take_pictures(farm: OpenFarm, folder: Path, today: date, sizes: Sequence[Size]) -> tuple[Path, ...]:
    os.environ["QT_QPA_PLATFORM"] = "offscreen"  # pictures look the same with and without a screen
    os.environ.setdefault("QT_LOGGING_RULES", "default.warning=false")  # it warns of having no screen to size
    try:
        from bayround.window.pictures import take_pictures
    except ImportError as error:
        raise _qt_problem(error) from error
    return tuple(take_pictures(farm, folder, today, sizes))


def _paint_pages(document: Document) -> bytes:
    os.environ["QT_QPA_PLATFORM"] = "offscreen"  # pages look the same with and without a screen
    os.environ.setdefault("QT_LOGGING_RULES", "default.warning=false")
    try:
        from bayround.window.page_painting import paint_pdf
    except ImportError as error:
        raise _qt_problem(error) from error
    return paint_pdf(document)


def _has_screen() -> bool:
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def _qt_problem(error: ImportError) -> Exception:
    """Return *error* in words when it is the computer's fault, and as it is when it is the program's."""
    if error.name is not None and error.name.startswith("bayround"):
        return error
    return Problem(
        _("The window can't be opened: {why}.").format(why=error),
        _("Nothing was changed."),
        _(
            "Start with “python3 desktop/begin.py”, or on Debian and Ubuntu: apt-get install {packages}"
        ).format(packages=QT_LIBRARIES),
    )
