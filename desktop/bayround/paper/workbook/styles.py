"""How cells look: fonts, grounds, lines. Colours are Okabe and Ito's, always under black text and beside a word.

The names say what is meant, the same as on the screens: urgent, this week, when convenient; over, under.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell
    from openpyxl.styles import Border, PatternFill
    from openpyxl.styles.differential import DifferentialStyle

FONT = "Calibri"
BLACK, WHITE = "000000", "FFFFFF"
VERMILLION, ORANGE, SKY_BLUE, YELLOW, BLUE = "D55E00", "E69F00", "56B4E9", "F0E442", "0072B2"
HEADING_GREY, QUIET_GREY, LINE_GREY = "E3E7E0", "F3F4F1", "8A938C"

URGENT, THIS_WEEK, LATER = VERMILLION, ORANGE, SKY_BLUE
OVER, UNDER, UNEVEN = ORANGE, SKY_BLUE, YELLOW
NOT_SEEN = "not seen"
"""Name of the hatched ground of a bay that was not visited (a pattern, so that it shows in grey print)."""

PRIORITY_GROUND = {1: URGENT, 2: THIS_WEEK, 3: LATER}
PRIORITY_MARK = {1: "■", 2: "●", 3: "○"}
OVER_MARK, UNDER_MARK, UNEVEN_MARK = "▲", "▼", "◊"
"""Shapes for grey print; every Windows font since WGL4 has them."""


@dataclass(frozen=True, slots=True)
class Look:
    """One way for a cell to look. *ground* is a colour, `NOT_SEEN`, or nothing; *lines* is thin, thick or under."""

    size: float = 11
    bold: bool = False
    ink: str = BLACK
    ground: str = ""
    lines: str = ""
    across: str = "general"
    down: str = "top"
    indent: int = 0
    wrap: bool = False
    shrink: bool = False
    number_format: str = "General"
    is_text: bool = False


TITLE = Look(size=16, bold=True, down="center")
NOTE = Look(ink="3C453F")
HEADING = Look(bold=True, ground=HEADING_GREY, lines="under", wrap=True)
PLAIN = Look()
LABEL = Look(bold=True)


def dress(cell: Cell, look: Look) -> None:
    """Give *cell* the look (slow: do it once for each look and copy, as `cells.Pen` does)."""
    from openpyxl.styles import Alignment, Font

    cell.font = Font(name=FONT, size=look.size, bold=look.bold, color=look.ink)
    cell.alignment = Alignment(
        horizontal=look.across,
        vertical=look.down,
        indent=look.indent,
        wrap_text=look.wrap,
        shrink_to_fit=look.shrink,
    )
    if look.ground:
        cell.fill = _ground(look.ground)
    if look.lines:
        cell.border = _lines(look.lines)
    cell.number_format = look.number_format
    if look.is_text:
        cell.quotePrefix = True


def when(ground: str, *, bold: bool = False) -> DifferentialStyle:
    """Return the look that a conditional format lays over a cell."""
    from openpyxl.styles import Font, PatternFill
    from openpyxl.styles.differential import DifferentialStyle

    fill = PatternFill(fill_type="solid", start_color=ground, end_color=ground) if ground else None
    return DifferentialStyle(font=Font(bold=bold or None, color=BLACK), fill=fill)


def _ground(name: str) -> PatternFill:
    from openpyxl.styles import PatternFill

    if name == NOT_SEEN:
        return PatternFill(fill_type="lightUp", start_color=LINE_GREY, end_color=WHITE)
    return PatternFill(fill_type="solid", start_color=name, end_color=name)


def _lines(name: str) -> Border:
    from openpyxl.styles import Border, Side

    if name == "under":
        return Border(bottom=Side("medium", color=BLACK))
    side = Side("medium" if name == "thick" else "thin", color=BLACK if name == "thick" else LINE_GREY)
    return Border(left=side, right=side, top=side, bottom=side)
