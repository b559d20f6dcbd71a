"""Where a season report is written to, and the writing: a workbook or pages, as the name that is chosen ends."""

from __future__ import annotations

from pathlib import Path

from bayround.actions import season_report
from bayround.figures.season_report import SeasonReport
from bayround.window import page_painting
from bayround.window.desk import Desk
from bayround.words import _


def where(desk: Desk, report: SeasonReport) -> Path | None:
    """Ask where to; a name without an ending becomes a workbook."""
    kinds = f"{_('Workbook (*.xlsx)')};;{_('Pages (*.pdf)')}"
    name = season_report.default_name(report, ".xlsx")
    path = desk.questions.file_to_save(_("Season report"), desk.farm.path.parent / name, kinds)
    return path if path is None or path.suffix else path.with_suffix(".xlsx")


def write(report: SeasonReport, path: Path) -> Path:
    """Write the report and return its path.

    Raises:
        Problem: as `season_report.write_workbook`.
    """
    if path.suffix.casefold() == ".pdf":
        return season_report.write_pages(season_report.pages(report), path, page_painting.paint_pdf)
    return season_report.write_workbook(report, path)
