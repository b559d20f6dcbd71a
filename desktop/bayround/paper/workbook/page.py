"""How sheets print: A4 landscape, one page wide, headings repeated, sheet and page in the footer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bayround.paper.workbook.cells import safe_text
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

A4 = 9
LONGEST_FOOTER = 80
_MARGIN_INCHES = 0.4
_PRINTED_POINTS = (297 - 2 * 10.2) / 25.4 * 72, (210 - 10.2 - 15.3) / 25.4 * 72
"""Width and height of A4 landscape within the margins."""

_POINTS_A_UNIT, _POINTS_OF_A_ROW = 5.25, 15.0
_SAFETY = 0.97


def set_up(sheet: Worksheet, farm_and_week: str, last_column: str, last_row: int, repeat: str = "") -> None:
    """Set paper, scale, margins, print area and footer; *repeat* are rows printed on every page (``4:4``)."""
    from openpyxl.worksheet.properties import PageSetupProperties

    sheet.page_setup.paperSize = A4
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    margins = sheet.page_margins
    margins.left = margins.right = margins.top = _MARGIN_INCHES
    margins.bottom = 0.6
    margins.header = margins.footer = 0.3
    sheet.print_area = f"A1:{last_column}{last_row}"
    if repeat:
        sheet.print_title_rows = repeat
    footer: Any = sheet.oddFooter
    footer.left.text = _in_footer(farm_and_week)
    footer.center.text = "&A"
    footer.right.text = _("Page {page} of {pages}").format(page="&P", pages="&N")
    sheet.sheet_view.showGridLines = False


def columns(sheet: Worksheet) -> int:
    """Return how many columns of a sheet that is set up are printed."""
    from openpyxl.utils import range_boundaries

    area: Any = sheet.print_area
    return int(range_boundaries(area.split("!")[-1].replace("$", ""))[2] or 1)


def one_page(sheet: Worksheet) -> None:
    """Make the whole sheet print on one page."""
    sheet.page_setup.fitToHeight = 1
    sheet.print_options.horizontalCentered = True


def _in_footer(text: str) -> str:
    text = " ".join(safe_text(text).split())
    cut = text if len(text) <= LONGEST_FOOTER else text[: LONGEST_FOOTER - 1] + "…"
    return cut.replace("&", "&&")


def repeated(sheet: Worksheet, last_row: int, width_columns: int, head_row: int) -> str:
    """Return the rows to print on every page: the headings, when the table runs over the first page."""
    return f"{head_row}:{head_row}" if page_of(sheet, last_row, width_columns, head_row) > 0 else ""


def page_of(sheet: Worksheet, row: int, width_columns: int, head_row: int) -> int:
    """Return the printed page, 0 = first, on which a row of a one-page-wide sheet falls (an estimate)."""
    from openpyxl.utils import get_column_letter

    shown = [sheet.column_dimensions[get_column_letter(column)] for column in range(1, width_columns + 1)]
    width = sum(column.width * _POINTS_A_UNIT for column in shown if not column.hidden)
    scale = min(1.0, _PRINTED_POINTS[0] / width)
    room = _PRINTED_POINTS[1] / scale * _SAFETY

    def points(number: int) -> float:
        known = sheet.row_dimensions[number].height if number in sheet.row_dimensions else None
        return known or _POINTS_OF_A_ROW

    place, used = 0, 0.0
    for number in range(1, row + 1):
        if used + points(number) > room:
            place, used = place + 1, points(head_row)
        used += points(number)
    return place
