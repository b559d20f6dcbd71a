"""How large a file may be that is brought in. None of these is agronomy: they keep the computer usable.

Our own proposal, after the sizes of real books: 2,000 rows of 12 columns take about 130 kB.
"""

from __future__ import annotations

from bayround.facts.problems import Problem
from bayround.words import _

FILE_BYTES = 20 << 20
TEXT_FILE_BYTES = 12 << 20
PARTS = 2_000
DIRECTORY_BYTES = 1 << 20
UNPACKED_BYTES = 96 << 20
RATIO = 200
FREE_OF_RATIO_BYTES = 1 << 20
ELEMENTS = 900_000
CELLS = 300_000
LAST_ROW = 100_000
LAST_COLUMN = 500
ROWS_TO_LOOK_UP = 20_000
"""Rows of picks or plants: each is looked up in the farm."""

CELL_SIGNS = 32_767
"""The most that a spreadsheet program keeps in one cell."""

TEXT_SIGNS = 8_000_000
TEXTS = 200_000
MERGED = 20_000
STYLES = 70_000


class Stopped(Problem):
    """The person stopped the reading."""


def stopped() -> Stopped:
    """Return that the person stopped it."""
    return Stopped(_("Stopped."), _("Nothing was brought in."))


def cannot_be_read(name: str, why: str) -> Problem:
    """Return that a file can't be read, and why; nothing was brought in."""
    return Problem(
        _("“{name}” can't be read: {why}.").format(name=name, why=why),
        _("Nothing was brought in."),
        _("Save it again as a plain .xlsx or .csv and try that."),
    )


def too_large(name: str, what: str) -> Problem:
    """Return that a file holds more than can come in at once."""
    return Problem(
        _("“{name}” is too large: {what}.").format(name=name, what=what),
        _("Nothing was brought in."),
        _("Copy the part that is needed into a new file."),
    )
