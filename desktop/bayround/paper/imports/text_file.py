"""Text files with columns: separators, encodings and quotes as programs and people write them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

from bayround.paper.imports import limits
from bayround.paper.imports.grid import Sheet, Value
from bayround.paper.imports.limits import cannot_be_read, too_large
from bayround.paper.imports.xml_stream import Budget, Progress
from bayround.words import _

_SEPARATORS = ("\t", ";", ",", "|")
_LINES_TO_LOOK_AT = 30


def read_sheet(path: Path, name: str, raw: bytes, progress: Progress | None = None) -> Sheet:
    """Return the rows of a text file; every cell is a text.

    Raises:
        Problem: when it is no text, or too large.
    """
    if len(raw) > limits.TEXT_FILE_BYTES:
        raise too_large(name, _("more than {n} MB").format(n=limits.TEXT_FILE_BYTES >> 20))
    text = _decoded(raw, name).replace("\r\n", "\n").replace("\r", "\n")
    rows: dict[int, dict[int, Value]] = {}
    budget = Budget(name, progress, text.count("\n") + 1)
    sign = separator(text)
    reader = csv.reader(_lines(text, sign, name), delimiter=sign)
    try:
        for number, line in enumerate(reader, 1):
            budget.bytes = number
            kept = _row(line, number, budget)
            if kept:
                rows[number] = kept
    except csv.Error as error:
        raise cannot_be_read(name, _("its quotes or lines are broken")) from error
    return Sheet(path.stem, rows)


def _lines(text: str, sign: str, name: str) -> Iterator[str]:
    """Yield line by line; one with far too many columns is refused before it is taken apart."""
    start = 0
    while start < len(text):
        end = text.find("\n", start) + 1 or len(text)
        if text.count(sign, start, end) > 2 * limits.LAST_COLUMN:
            raise too_large(name, _("a line has more than {n} columns").format(n=limits.LAST_COLUMN))
        yield text[start:end]
        start = end


def _row(line: list[str], number: int, budget: Budget) -> dict[int, Value]:
    budget.element()
    kept: dict[int, Value] = {}
    for place, cell in enumerate(line, 1):
        text = cell.strip()
        if not text:
            continue
        budget.cell(number, place)
        if len(text) > limits.CELL_SIGNS:
            raise too_large(budget.name, _("a cell holds more than {n} signs").format(n=limits.CELL_SIGNS))
        kept[place] = text
    return kept


def _decoded(raw: bytes, name: str) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: tuple[str, ...] = ("utf-16",)
    else:
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = raw.decode(encoding)
        except UnicodeError:
            continue
        if "\0" not in text:
            return text
    raise cannot_be_read(name, _("it is not a text file"))


def separator(text: str) -> str:
    """Return what separates the columns: the sign that stands equally often in most of the first lines.

    A semicolon or a tab goes before a comma, which may be a decimal mark.
    """
    lines = [line for line in text.splitlines()[:_LINES_TO_LOOK_AT] if line.strip()]
    best, best_score = ",", 0.0
    for sign in _SEPARATORS:
        counts = [_outside_quotes(line, sign) for line in lines]
        usual = max(set(counts), key=lambda count: (counts.count(count), count), default=0)
        score = counts.count(usual) / len(counts) if usual else 0.0
        if score > best_score:
            best, best_score = sign, score
    return best


def _outside_quotes(line: str, sign: str) -> int:
    return sum(part.count(sign) for place, part in enumerate(line.split('"')) if place % 2 == 0)
