"""Where a table begins on a sheet, what its columns are called, and its rows, merged cells filled in."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from bayround.facts.problems import Problem
from bayround.paper.imports import limits, typed
from bayround.paper.imports.grid import Sheet, Value
from bayround.words import _

Headings = Sequence["Heading"]
_ROWS_TO_LOOK_AT, _DEEPEST, _ROWS_BELOW, _MOST_MERGED = 40, 3, 60, 200
_IN_BRACKETS = re.compile(r"[(\[]\s*([^()\[\]]{0,12}?)\s*[)\]]")
_AFTER_COMMA = re.compile(r"[,/]\s*(°?[a-z%²]{1,3})\s*$", re.IGNORECASE)
_BARE = re.compile(r"(?<=[^\W_])\s+(cm|mm|kg|°\s?[cf])\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's heading as it stands (several rows in one text), without its unit, and the unit."""

    column: int
    text: str
    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table on a sheet: its headings, and the number of the last heading row."""

    sheet: Sheet
    headings: tuple[Heading, ...]
    last_heading_row: int

    def rows(self) -> Iterator[tuple[int, dict[int, Value]]]:
        """Yield number and cells of each row below the headings that holds something; headings said again are left out.

        Cells that are merged downwards hold in every row what stands in the topmost.

        Raises:
            Problem: when merged cells cover more than a file may hold.
        """
        merged = _filled(self.sheet)
        columns = {heading.column for heading in self.headings}
        said = {heading.column: heading.text.casefold() for heading in self.headings}
        for number in sorted(self.sheet.rows):
            if number <= self.last_heading_row:
                continue
            own = self.sheet.rows[number]
            cells = {key: value for key, value in {**merged.get(number, {}), **own}.items() if key in columns}
            texts = [(key, value) for key, value in cells.items() if isinstance(value, str)]
            again = len(texts) > 1 and all(value.strip().casefold() in said[key] for key, value in texts)
            if cells and not (again and len(texts) == len(cells)):
                yield number, cells


def find(sheet: Sheet, score: Callable[[Sequence[Heading]], int]) -> Table | None:
    """Return the table of a sheet; *score* says how many of some headings are understood.

    Headings may stand in up to three rows below each other, with merged cells over several columns, and below a
    title; a row with a number or a date is none. Where none is understood the first row of several texts counts.
    """
    numbers = [number for number in sorted(sheet.rows)[:_ROWS_TO_LOOK_AT] if _only_words(sheet, number)]
    best: tuple[int, int, int] | None = None
    found = None
    for first in numbers:
        for depth in range(1, _DEEPEST + 1):
            last = first + depth - 1
            if last not in sheet.rows or not _only_words(sheet, last):
                break
            headings = _headings(sheet, first, last)
            if len(headings) < 2:
                continue
            rank = (score(headings), -depth, -first)
            if best is None or rank > best:
                best, found = rank, Table(sheet, headings, last)
    return found


def _only_words(sheet: Sheet, number: int) -> bool:
    """Tell whether a row holds neither numbers nor dates: no heading does."""
    return all(
        isinstance(value, str) and typed.number(value) is None and typed.day(value) is None
        for value in sheet.rows[number].values()
    )


def _headings(sheet: Sheet, first: int, last: int) -> tuple[Heading, ...]:
    rows = [_row_of_texts(sheet, number, last) for number in range(first, last + 1)]
    below = set(rows[-1]).union(*(sheet.rows.get(last + step, {}) for step in range(1, _ROWS_BELOW)))
    found = []
    for column in sorted(set().union(*rows)):
        parts = dict.fromkeys(row[column] for row in rows if column in row)
        if column in below:
            found.append(_heading(column, " ".join(parts)))
    return tuple(found)


def _row_of_texts(sheet: Sheet, number: int, last: int) -> dict[int, str]:
    """Return the texts of a heading row; a merged one, or in an upper row one before empty cells, counts for all of them."""
    texts = {column: sheet.text(number, column) for column in sheet.rows.get(number, {})}
    texts = {column: text[:200] for column, text in texts.items() if text}
    across = [block for block in sheet.merged if block[0] <= number <= block[2]][:_MOST_MERGED]
    there = sorted(set().union(*(sheet.rows.get(row, {}) for row in range(number, last + _ROWS_BELOW))))
    for top, left, _bottom, right in across:
        text = sheet.text(top, left)[:200]
        if text:
            texts.update(dict.fromkeys(there[bisect_left(there, left) : bisect_right(there, right)], text))
    if number < last and not across and texts:
        below, carried = sheet.rows.get(last, {}), ""
        for column in range(min(texts), min(max(below, default=0), limits.LAST_COLUMN) + 1):
            carried = texts.get(column, carried)
            texts.setdefault(column, carried)
    return texts


def _heading(column: int, text: str) -> Heading:
    plain = " ".join(text.split())
    for pattern in (_IN_BRACKETS, _AFTER_COMMA, _BARE):
        if found := pattern.search(plain):
            name = f"{plain[: found.start()]} {plain[found.end() :]}"
            return Heading(column, plain, _bare_name(name), found[1].replace(" ", "").casefold())
    return Heading(column, plain, _bare_name(plain), "")


def _bare_name(text: str) -> str:
    return " ".join(re.sub(r"[^\w#]+", " ", text.replace("_", " ")).casefold().split())


def _filled(sheet: Sheet) -> dict[int, dict[int, Value]]:
    """Return row → column → value of cells that are merged with one above."""
    numbers, found, cells = sorted(sheet.rows), dict[int, dict[int, Value]](), 0
    for top, left, bottom, _right in sheet.merged:
        value = sheet.value(top, left)
        if value is None or bottom == top:
            continue
        for place in range(bisect_left(numbers, top + 1), len(numbers)):
            if numbers[place] > bottom:
                break
            cells += 1
            if cells > limits.CELLS:
                raise Problem(_("The merged cells cover too much."), _("Nothing was brought in."))
            found.setdefault(numbers[place], {})[left] = value
    return found
