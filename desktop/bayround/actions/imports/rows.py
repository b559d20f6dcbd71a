"""The rows of a table by what their cells hold, with numbers, days and names read from them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time

from bayround.actions.imports import matching
from bayround.actions.imports.filling import shown_value
from bayround.actions.imports.matching import Scale
from bayround.paper.imports import typed
from bayround.paper.imports.grid import Fault, Value
from bayround.paper.imports.headings import Table
from bayround.paper.imports.limits import stopped
from bayround.paper.imports.xml_stream import Progress
from bayround.words import _

_THOUSAND = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}", re.ASCII)
_GROUPED = re.compile(
    r"[+-]?[0-9]{1,3}(?:[.'’\u00a0\u202f ][0-9]{3})+(?:,[0-9]+)?|[+-]?[0-9]{1,3}(?:[,'’\u00a0\u202f ][0-9]{3})+(?:\.[0-9]+)?"
)
_TELL_EVERY = 200
_SUMS = {"total", "totals", "sum", "subtotal", "sub total", "average", "mean", "grand total"}


def _no_number(text: str) -> str:
    """Return why a text is no number; one with signs between its thousands is told how to write it."""
    if _GROUPED.fullmatch(text.strip()) is None:
        return _("“{text}” is not a number").format(text=text)
    digits = re.sub(r"[^0-9.,]", "", text)
    mark = max(digits.rfind("."), digits.rfind(","))
    decimals = digits[mark + 1 :]
    several = digits.count(digits[mark]) > 1
    whole = re.sub(r"[.,]", "", digits if several else digits[:mark])
    plain = whole if several else f"{whole}{digits[mark]}{decimals}"
    return _("“{text}” has signs between its thousands: write it without them, like {plain}").format(
        text=text, plain=plain
    )


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number on the sheet and what is in it."""

    number: int
    cells: dict[str, Value]
    reading: Reading

    @property
    def where(self) -> str:
        """How a person finds it."""
        return _("row {n}").format(n=self.number)

    def text(self, holds: str) -> str:
        """Return the words in a cell; a whole number counts as its digits."""
        value = self.cells.get(holds)
        return "" if value is None or isinstance(value, Fault) else shown_value(value).strip()

    def value(self, holds: str) -> Value:
        """Return a cell; a number is in the program's own unit, all else as it stands."""
        value = self.cells.get(holds)
        scale = self.reading.scales.get(holds, Scale())
        number = typed.number(value, frozenset({scale.unit, ""}))
        if number is None:
            return value.strip() if isinstance(value, str) else value
        return round((number - scale.less) * scale.times, 6) if scale.times != 1 or scale.less else number

    def amount(self, holds: str) -> tuple[float | None, str]:
        """Return the number in a cell, or none and why (no reason: the cell is empty)."""
        value = self.value(holds)
        if isinstance(value, Fault):
            return None, value.why
        if value is None or value == "":
            return None, ""
        if isinstance(value, float | int) and not isinstance(value, bool):
            return float(value), ""
        return None, _no_number(shown_value(value)[:60])

    def unsure(self, holds: str) -> bool:
        """Tell whether a point or comma in a number may part thousands, as far as its column shows."""
        value = self.cells.get(holds)
        return (
            holds in self.reading.may_part_thousands
            and isinstance(value, str)
            and bool(_THOUSAND.match(value.strip()))
        )

    @property
    def day(self) -> date | None:
        """The day of the row."""
        return typed.day(self.cells.get(matching.DAY), month_first=self.reading.month_first)

    @property
    def clock(self) -> time | None:
        """The time of day: of its own column, or standing with the day."""
        own = typed.clock(self.cells.get(matching.TIME))
        return own if own is not None else typed.clock(self.cells.get(matching.DAY))

    @property
    def is_sum(self) -> bool:
        """Whether it adds up the rows above."""
        return any(
            isinstance(value, str) and value.strip(" :").casefold() in _SUMS for value in self.cells.values()
        )


@dataclass(frozen=True, slots=True)
class Reading:
    """How a table is read: units, order of day and month, and columns in which 1,250 may mean 1250."""

    scales: Mapping[str, Scale]
    month_first: bool
    may_part_thousands: frozenset[str]
    unknown_units: tuple[str, ...]
    day_order_open: bool


def rows_of(
    table: Table, columns: Mapping[int, str], month_first: bool | None
) -> tuple[tuple[Row, ...], Reading]:
    """Return the rows of a table and how they are read; *columns* says what each column holds."""
    held = {column: holds for column, holds in columns.items() if holds}
    raw = [
        (number, {held[column]: value for column, value in cells.items() if column in held})
        for number, cells in table.rows()
    ]
    days = [cells.get(matching.DAY) for _number, cells in raw]
    shown = typed.month_first(days)
    chosen = month_first if month_first is not None else bool(shown)
    scales, unknown = {}, []
    for heading in table.headings:
        holds = held.get(heading.column, "")
        scales[holds] = matching.scale_of(holds, heading.unit)
        if not scales[holds].known:
            unknown.append(heading.text)
    how = Reading(
        scales,
        chosen,
        frozenset(holds for holds in held.values() if _may_part_thousands([c.get(holds) for _n, c in raw])),
        tuple(unknown),
        month_first is None and shown is None and any(typed.depends_on_order(day) for day in days),
    )
    return tuple(Row(number, cells, how) for number, cells in raw if cells), how


def watched(rows: Sequence[Row], progress: Progress | None) -> Iterator[Row]:
    """Yield the rows and tell how far it is.

    Raises:
        Stopped: when the person wants to stop.
    """
    for place, row in enumerate(rows):
        if progress is not None and place % _TELL_EVERY == 0 and progress(place / len(rows)):
            raise stopped()
        yield row


def with_dated_times(table: Table) -> Table:
    """Return a table in which a column called “time” that holds days counts as the day."""
    first = next(iter(table.rows()), (0, dict[int, Value]()))[1]
    headings = tuple(
        replace(one, name="date")
        if one.name in matching.WORDS[matching.TIME] and typed.day(first.get(one.column)) is not None
        else one
        for one in table.headings
    )
    return replace(table, headings=headings)


def _may_part_thousands(values: list[Value]) -> bool:
    """Tell whether nothing in a column shows that its points or commas are decimal marks."""
    texts = [value.strip() for value in values if isinstance(value, str)]
    marked = [text for text in texts if re.match(r"[+-]?[0-9]+[.,][0-9]", text)]
    return any(_THOUSAND.match(text) for text in marked) and all(
        re.match(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}(?![0-9])", text) for text in marked
    )
