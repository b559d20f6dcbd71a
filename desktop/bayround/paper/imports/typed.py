"""What people type into cells, as numbers, days and times: decimal commas, units, day-first dates, day numbers.

A point or a comma is the decimal mark when only one of them stands there once; anything else that could be
read in two ways is not a number. There are no thousands separators.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time

from bayround.paper.imports.grid import Fault, Value
from bayround.paper.imports.sheet_cells import from_serial

_NUMBER = re.compile(r"([+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*(°?\s?[CcFf]|[a-zA-Z%²/]{1,8})?")
_ISO_DAY = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})", re.ASCII)
_DAY = re.compile(r"([0-9]{1,2})[-/.\s]([0-9]{1,2})[-/.\s]([0-9]{4}|[0-9]{2})", re.ASCII)
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:[.,][0-9]+)?)?\s*([AaPp][Mm])?", re.ASCII)
_FIRST_SERIAL, _LAST_SERIAL = 36_526, 73_051  # 2000-01-01 to 2100-01-01


def number(value: Value, units: frozenset[str] = frozenset()) -> float | None:
    """Return the number in a cell, or none when it holds none; a unit of *units* may stand behind it."""
    if isinstance(value, bool) or value is None:
        return None
    if isinstance(value, float | int):
        return float(value)
    if not isinstance(value, str):
        return None
    found = _NUMBER.fullmatch(value.strip().replace("\u00a0", " ").replace("−", "-"))
    if found is None or (found[2] and found[2].replace(" ", "").casefold() not in units):
        return None
    return float(found[1].replace(",", "."))


def day(value: Value, *, month_first: bool = False) -> date | None:
    """Return the day in a cell: a real date, a day number, ``2026-11-25``, ``25.11.2026``, ``25/11/26``."""
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, bool) or value is None or isinstance(value, Fault | time):
        return None
    if isinstance(value, float | int):
        found = from_serial(float(value)) if _FIRST_SERIAL <= value < _LAST_SERIAL else None
        return day(found) if isinstance(found, date) else None
    return _day_of_text(value.strip(), month_first)


def _day_of_text(text: str, month_first: bool) -> date | None:
    if re.fullmatch(r"[0-9]{5}(?:\.[0-9]+)?", text, re.ASCII):
        return day(float(text))
    head = text.split("T")[0] if re.match(r"[0-9]{4}-", text) else text
    head = head.split(" ")[0] if head.count(" ") in {1, 2} and ":" in head else head
    if iso := _ISO_DAY.fullmatch(head):
        return _calendar(int(iso[1]), int(iso[2]), int(iso[3]))
    if own := _DAY.fullmatch(head.rstrip(".")):
        first, second, year = int(own[1]), int(own[2]), int(own[3])
        year += 2000 if year < 100 else 0
        return _calendar(year, first, second) if month_first else _calendar(year, second, first)
    return None


def _calendar(year: int, month: int, of_month: int) -> date | None:
    try:
        found = date(year, month, of_month)
    except ValueError:
        return None
    return found if 2000 <= found.year < 2100 else None


def clock(value: Value) -> time | None:
    """Return the time of day in a cell, if there is one."""
    if isinstance(value, datetime):
        return value.time()
    if isinstance(value, time):
        return value
    if isinstance(value, float) and not isinstance(value, bool):
        share = value % 1
        found = from_serial(share) if 0 < share < 1 else time()
        return found if isinstance(found, time) else None
    if not isinstance(value, str):
        return None
    found_text = _CLOCK.search(value)
    if found_text is None:
        return None
    hour, minute, second = int(found_text[1]), int(found_text[2]), int(found_text[3] or 0)
    if found_text[4]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found_text[4].casefold() == "pm" else 0)
    try:
        return time(hour, minute, second)
    except ValueError:
        return None


def month_first(values: list[Value]) -> bool | None:
    """Tell whether texts like 11/25/2026 put the month first; none when nothing decides.

    One date that can only be read in one way decides for the whole column; where two contradict, none.
    """
    firsts, seconds = 0, 0
    for value in values:
        found = _DAY.match(value.strip()) if isinstance(value, str) else None
        if found:
            firsts += int(found[1]) > 12
            seconds += int(found[2]) > 12
    if bool(firsts) == bool(seconds):
        return None
    return seconds > 0


def depends_on_order(value: Value) -> bool:
    """Tell whether a text is another day when the month goes first."""
    if not isinstance(value, str):
        return False
    one, other = day(value), day(value, month_first=True)
    return one is not None and other is not None and one != other
