"""A row of a small table, its column headings, and the kinds of record a row can become."""

from __future__ import annotations

from dataclasses import dataclass

from bayround.facts.rounds import CardCount, PestCheck, WeedNote
from bayround.window.visit.entry_model import Value

Record = PestCheck | CardCount | WeedNote


@dataclass(slots=True)
class RecordRow:
    """One row: its record's id, what stands in it, and the record as it was last given on to be saved."""

    id: str
    values: dict[str, Value]
    record: Record | None = None
    about: object = None
    begun: bool = False
    """Whether something was typed and the row does not hold enough for a record yet."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: key of the value, its name, the heading where that differs, and whether a record needs it.

    *words* columns stand at the left, numbers at the right.
    """

    key: str
    label: str
    heading: str = ""
    needed: bool = False
    words: bool = False
