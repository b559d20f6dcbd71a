"""How sheets print: A4 landscape, one page wide, headings repeated, sheet and page in the footer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

A4 = 9
LONGEST_FOOTER = 80
_MARGIN_INCHES = 0.4


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
    footer = sheet.oddFooter
    footer.left.text = _in_footer(farm_and_week)
    footer.center.text = "&A"
    footer.right.text = _("Page {page} of {pages}").format(page="&P", pages="&N")
    sheet.sheet_view.showGridLines = False


def one_page(sheet: Worksheet) -> None:
    """Make the whole sheet print on one page."""
    sheet.page_setup.fitToHeight = 1
    sheet.print_options.horizontalCentered = True


def _in_footer(text: str) -> str:
    cut = text if len(text) <= LONGEST_FOOTER else text[: LONGEST_FOOTER - 1] + "…"
    return cut.replace("&", "&&")
