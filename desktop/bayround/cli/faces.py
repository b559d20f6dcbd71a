"""What needs a screen: handed in by `start`, so that commands run where Qt is not installed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bayround.facts.server_address import FarmPlace

if TYPE_CHECKING:
    from bayround.actions.farm import OpenFarm
    from bayround.actions.sheets import Document

Size = tuple[int, int]
"""Width and height in pixels."""


def _no_painter(_document: Document) -> bytes:
    raise RuntimeError("no painter was handed in")


@dataclass(frozen=True, slots=True)
class Faces:
    """The ways to the window, and the painter of pages.

    Attributes:
        open_window: opens the window on a farm (none: the one opened last) and returns, when it
            is closed, the exit code.
        take_pictures: (farm, folder, today, sizes) writes a PNG of each screen in each size into the
            folder and returns the files.
        paint_pages: paints pages into a PDF.
    """

    open_window: Callable[[FarmPlace | None], int]
    take_pictures: Callable[[OpenFarm, Path, date, Sequence[Size]], tuple[Path, ...]]
    paint_pages: Callable[[Document], bytes] = _no_painter
