"""A file as rows of plain values, whatever program wrote it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time


@dataclass(frozen=True, slots=True)
class Fault:
    """A cell that holds no value that can be used, and why in words."""

    why: str


Value = str | float | bool | date | datetime | time | Fault | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: row number → column number → value; both count from 1, empty cells are left out.

    *merged* are blocks of cells that a person sees as one: first row, first column, last row, last column.
    """

    name: str
    rows: dict[int, dict[int, Value]]
    merged: tuple[tuple[int, int, int, int], ...] = ()

    def value(self, row: int, column: int) -> Value:
        """Return what stands in a cell, or nothing."""
        return self.rows.get(row, {}).get(column)

    def text(self, row: int, column: int) -> str:
        """Return the words in a cell; a number is no words."""
        found = self.value(row, column)
        return found.strip() if isinstance(found, str) else ""


@dataclass(frozen=True, slots=True)
class Book:
    """A workbook, or a text file as one sheet. *digest* is the SHA-256 of the file."""

    name: str
    digest: str
    sheets: tuple[Sheet, ...]
    text_file: bool = False
    by_name: dict[str, Sheet] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_name", {sheet.name: sheet for sheet in self.sheets})
