"""Writing cells. Every text goes through `Pen.text`, so that nothing typed can ever become a formula."""

from __future__ import annotations

import re
import unicodedata
from copy import copy
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from bayround.figures.figure import Figure
from bayround.paper.workbook.styles import NOTE, PLAIN, TITLE, Look, dress
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

Value = str | int | float | date | None

LONGEST_TEXT = 32_767
"""Most characters (UTF-16 units) a cell holds (Excel specifications and limits, support.microsoft.com)."""

DATE_FORMAT = "yyyy-mm-dd"
_KEPT_CONTROLS = {"\n", "\t"}
_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")


def safe_text(text: str) -> str:
    """Return *text* without characters a workbook can't hold; too long a text is cut with a mark.

    Control characters, lone surrogates and non-characters go. ``_x0041_``, which office programs read as an
    escaped character, is escaped itself (ECMA-376 part 1, 22.9.2.19).
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.isprintable():
        text = "".join(letter for letter in text if letter in _KEPT_CONTROLS or _can_be_written(letter))
    text = _ESCAPE.sub("_x005F_", text)
    coded = text.encode("utf-16-le")
    if len(coded) > 2 * LONGEST_TEXT:
        mark = " … " + _("[cut: longer than a cell can hold]")
        text = coded[: 2 * (LONGEST_TEXT - len(mark))].decode("utf-16-le", "ignore") + mark
    return text


def _can_be_written(letter: str) -> bool:
    return unicodedata.category(letter) not in {"Cc", "Cs"} and ord(letter) & 0xFFFE != 0xFFFE


def limits(figure: Figure) -> tuple[float | int | None, float | int | None]:
    """Return both ends of a figure's interval as shown; the figure itself does the rounding."""
    if figure.low is None or figure.high is None:
        return None, None
    return replace(figure, value=figure.low).cell, replace(figure, value=figure.high).cell


def letter(column: int) -> str:
    """Return the letters of a column, 1 = A."""
    from openpyxl.utils import get_column_letter

    return get_column_letter(column)


class Pen:
    """Writes the cells of one sheet. *looks* is shared by all sheets of a workbook: each look is made once."""

    def __init__(self, sheet: Worksheet, looks: dict[Look, Any]) -> None:
        self.sheet = sheet
        self._looks = looks

    def put(self, row: int, column: int, value: Value, look: Look = PLAIN) -> None:
        """Write a value: text as text, dates as dates, numbers as numbers; nothing leaves the cell empty."""
        if isinstance(value, str):
            self.text(row, column, value, look)
            return
        cell = self._cell(row, column)
        if value is not None:
            cell.value = value
        self._dress(cell, look)

    def text(self, row: int, column: int, text: str, look: Look = PLAIN) -> None:
        """Write text so that it stays text, whatever it begins with, also when somebody edits the cell."""
        cell = self._cell(row, column)
        written = safe_text(text)
        if written:
            cell.value = written
            cell.data_type = "s"
        self._dress(cell, look if look.is_text else replace(look, is_text=True, number_format="General"))

    def formula(self, row: int, column: int, formula: str, look: Look = PLAIN) -> None:
        """Write a live formula. Only the sheet that checks the sums does."""
        cell = self._cell(row, column)
        cell.value = formula
        cell.data_type = "f"
        self._dress(cell, look)

    def title(self, title: str, note: str = "") -> None:
        """Write the sheet's title into row 1 and one line about it into row 2."""
        self.text(1, 1, title, TITLE)
        self.sheet.row_dimensions[1].height = 22
        if note:
            self.text(2, 1, note, NOTE)

    def _cell(self, row: int, column: int) -> Cell:
        return self.sheet.cell(row, column)  # type: ignore[return-value]  # never a merged one

    def _dress(self, cell: Any, look: Look) -> None:
        style = self._looks.get(look)
        if style is None:
            dress(cell, look)
            self._looks[look] = copy(cell._style)
        else:
            cell._style = style
