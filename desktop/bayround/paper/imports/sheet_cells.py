"""The cells of one sheet of a workbook. Formulas are never worked out: their last result is read, or a fault is."""

from __future__ import annotations

import math
import re
from datetime import date, datetime, time, timedelta

from bayround.paper.imports import limits
from bayround.paper.imports.grid import Fault, Sheet, Value
from bayround.paper.imports.limits import cannot_be_read, too_large
from bayround.paper.imports.workbook_parts import Parts
from bayround.paper.imports.xml_stream import Attributes
from bayround.words import _

_PLACE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})", re.ASCII)
_MOST_DAYS = 2_958_465  # 9999-12-31


def read_sheet(parts: Parts, name: str, part: str) -> Sheet:
    """Return the cells that hold something.

    Raises:
        Problem: for broken XML, cells out of bounds, more than the budget.
    """
    reading = _Reading(parts)
    parts.read(part, reading.begin, reading.end, reading.said)
    return Sheet(name, reading.rows, tuple(reading.merged))


class _Reading:
    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self.rows: dict[int, dict[int, Value]] = {}
        self.merged: list[tuple[int, int, int, int]] = []
        self.row = self.column = 0
        self.about: Attributes = {}
        self.words: list[str] = []
        self.listening = self.formula = self.phonetic = False

    def begin(self, tag: str, about: Attributes) -> None:
        if tag == "row":
            self.row = _whole(about.get("r"), self.row + 1, self.parts.budget.name)
            self.column = 0
        elif tag == "c":
            self._place(about.get("r"))
            self.about, self.formula = about, False
            self.words.clear()
        elif tag == "rPh":
            self.phonetic = True
        elif tag in {"v", "t"}:
            self.listening = not self.phonetic
        elif tag == "f":
            self.formula = True
        elif tag == "mergeCell":
            self._merge(about.get("ref", ""))

    def end(self, tag: str) -> None:
        if tag in {"v", "t"}:
            self.listening = False
        elif tag == "rPh":
            self.phonetic = False
        elif tag == "c":
            value = self._value("".join(self.words))
            self.words.clear()
            if value is not None and value != "":
                self.parts.budget.cell(self.row, self.column)
                self.rows.setdefault(self.row, {})[self.column] = value

    def said(self, text: str) -> None:
        if self.listening:
            self.words.append(text)

    def _place(self, where: str | None) -> None:
        if where is None:
            self.column += 1
            return
        found = _PLACE.fullmatch(where)
        if found is None:
            raise cannot_be_read(self.parts.budget.name, _("a cell stands nowhere"))
        self.row, self.column = int(found[2]), column_number(found[1])

    def _merge(self, ref: str) -> None:
        first, _colon, last = ref.partition(":")
        one, other = _PLACE.fullmatch(first), _PLACE.fullmatch(last)
        if one is None or other is None:
            return
        if len(self.merged) > limits.MERGED:
            raise too_large(self.parts.budget.name, _("more than {n} merged cells").format(n=limits.MERGED))
        self.merged.append((int(one[2]), column_number(one[1]), int(other[2]), column_number(other[1])))

    def _value(self, text: str) -> Value:
        kind = self.about.get("t", "n")
        if not text:
            return Fault(_("a formula without its result")) if self.formula else None
        if kind == "s":
            return self._shared(text)
        if kind in {"str", "inlineStr"}:
            return self.parts.budget.text(text)
        if kind == "b":
            return text.strip() in {"1", "true"}
        if kind == "e":
            return Fault(_("an error of the spreadsheet ({text})").format(text=text[:20]))
        if kind == "d":
            return _iso(text)
        return self._number(text)

    def _shared(self, text: str) -> Value:
        try:
            place = int(text)
            return self.parts.texts[place] if place >= 0 else Fault(_("a text that is not there"))
        except (ValueError, IndexError):
            return Fault(_("a text that is not there"))

    def _number(self, text: str) -> Value:
        try:
            number = float(text)
        except ValueError:
            return Fault(_("not a number"))
        if not math.isfinite(number):
            return Fault(_("not a number"))
        style = self.about.get("s", "0")
        if style.isascii() and style.isdigit() and int(style[:9]) in self.parts.date_styles:
            return from_serial(number, from_1904=self.parts.from_1904)
        return number


def _iso(text: str) -> Value:
    try:
        found = datetime.fromisoformat(text.strip()).replace(tzinfo=None)
    except ValueError:
        return Fault(_("not a date"))
    return found.date() if found.time() == time() else found


def column_number(letters: str) -> int:
    """Return A → 1, Z → 26, AA → 27."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def from_serial(number: float, *, from_1904: bool = False) -> date | datetime | time | Fault:
    """Return the date of a spreadsheet's day number, with its time when it has one.

    Day 60 of the 1900 system is 29 February 1900, which never was; days before it count from one day later
    (1900-02-28 is 59, 1900-03-01 is 61). A number below 1 is a time of day.
    """
    if not 0 <= number <= _MOST_DAYS:
        return Fault(_("not a date"))
    if from_1904:
        start = datetime(1904, 1, 1)
    elif number < 1:
        return (datetime(2000, 1, 1) + timedelta(seconds=round(number * 86_400))).time()
    elif 60 <= number < 61:
        return Fault(_("not a date"))
    else:
        start = datetime(1899, 12, 31 if number < 60 else 30)
    try:
        found = start + timedelta(seconds=round(number * 86_400))
    except OverflowError:
        return Fault(_("not a date"))
    return found.date() if found.time() == time() else found


def _whole(text: str | None, otherwise: int, name: str) -> int:
    if text is None:
        return otherwise
    if not (text.isascii() and text.isdigit() and 0 < len(text) <= 7 and int(text) > 0):
        raise cannot_be_read(name, _("a row stands nowhere"))
    return int(text)
