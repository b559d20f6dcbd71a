"""What needs a screen: handed in by `start`, so that commands run where Qt is not installed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bayround.actions.farm import OpenFarm

Size = tuple[int, int]
"""Width and height in pixels."""


@dataclass(frozen=True, slots=True)
class Faces:
    """The two ways to the window.

    Attributes:
        open_window: opens the window on a farm file (none: the one opened last) and returns, when it
            is closed, the exit code.
        take_pictures: (farm, folder, today, sizes) writes a PNG of each screen in each size into the
            folder and returns the files.
    """

    open_window: Callable[[Path | None], int]
    take_pictures: Callable[[OpenFarm, Path, date, Sequence[Size]], tuple[Path, ...]]
