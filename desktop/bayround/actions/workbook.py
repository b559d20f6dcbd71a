"""Hand the week to the manager: the weekly workbook."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bayround.actions import file_names
from bayround.crops import Crops
from bayround.paper.workbook import book
from bayround.paper.workbook.book import Stopped
from bayround.week.snapshot import WeekSnapshot

__all__ = ["Stopped", "default_name", "write_week"]


def write_week(
    snapshot: WeekSnapshot,
    path: Path,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    crops: Crops | None = None,
) -> Path:
    """Write the workbook of the week as shown on the screen and return its path; the same week, the same bytes.

    *progress* is told a share from 0 to 1 and what is being written; *cancelled* is asked now and then.
    With *crops* (`OpenFarm.crops`) the workbook also lists every threshold and norm with its source.

    Raises:
        Stopped: *cancelled* said yes.
        Problem: folder missing or read-only, disk full, file open elsewhere; an earlier file is as it was.
    """
    return book.write(snapshot, path, progress, cancelled, crops)


def default_name(snapshot: WeekSnapshot) -> str:
    """Return ``<farm> 2026-W47.xlsx``, without signs that Windows, macOS or Linux refuse in a name."""
    farm = file_names.safe(snapshot.farm.name, "")
    return f"{farm} {snapshot.week}.xlsx"
