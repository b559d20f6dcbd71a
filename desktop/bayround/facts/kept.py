"""Forecasts that were made, house checks, and what was imported: kept so that they can be judged later."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


class Condition(StrEnum):
    """What a look at a part of a house found."""

    NOT_LOOKED_AT = "not looked at"
    GOOD = "good"
    FAULT = "fault"


@dataclass(frozen=True, slots=True)
class Forecast:
    """Picks of one planting foreseen for one week, as it was said at the time."""

    id: str
    planting_id: str
    made_on: date
    for_week: str
    fruit: float
    fruit_low: float
    fruit_high: float
    kg: float
    kg_low: float
    kg_high: float
    level: float = 0.8
    bias_factor: float = 1.0


@dataclass(frozen=True, slots=True)
class StandCount:
    """How many plants of a planting stand, as counted or confirmed on a day; figures take it from that day on."""

    id: str
    planting_id: str
    counted_on: date
    plants: int
    counted_by_id: str | None = None
    note: str = ""


HOUSE_PARTS = ("cover", "posts", "wires", "standing water", "storm readiness")
"""What is looked at in a house; each look is one `HouseCheck`."""


@dataclass(frozen=True, slots=True)
class HouseCheck:
    """A short look at one part of a house (`HOUSE_PARTS`) on a round."""

    id: str
    house_id: str
    checked_on: date
    part: str
    condition: Condition
    checked_by_id: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class ImportBatch:
    """One import: its file, when, by whom; it can be taken back whole."""

    id: str
    kind: str
    file_name: str
    file_digest: str
    imported_at: datetime
    person_id: str | None
    rows: int
    taken_back_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class ImportedRow:
    """A record that an import added, or (with *field*) one value in it that the import changed.

    *after* is what it brought, *before* what was there: a whole record as JSON, one value as the history keeps it.
    """

    id: str
    batch_id: str
    table_name: str
    row_id: str
    field: str = ""
    before: str = ""
    after: str = ""


@dataclass(frozen=True, slots=True)
class ImportLayout:
    """How the columns of a kind of spreadsheet were matched, remembered by its headings."""

    id: str
    headings_digest: str
    matching: str
    remembered_at: datetime


@dataclass(frozen=True, slots=True)
class PersonPin:
    """A person's PIN, hashed; it says who is at the keys, it protects nothing."""

    id: str
    person_id: str
    pin_hash: str


@dataclass(frozen=True, slots=True)
class KeptBeside:
    """A value that another laptop has for a field, kept until a person decides which one holds.

    It was typed there without an entry in the history; `records.versions` says when it counts no more.
    """

    id: str
    table_name: str
    row_id: str
    field: str
    value: str


@dataclass(frozen=True, slots=True)
class MergedHistory:
    """The history of corrections of a file that was merged in: the keys of its entries, in its own order.

    With the entries themselves its chain can be reckoned anew; *head* is the hash it ended with.
    """

    id: str
    entries: int
    head: str
    entry_ids: str


@dataclass(frozen=True, slots=True)
class MergedRow:
    """A record (its key is *id*) that turned out to be the same as another one, which took its values."""

    id: str
    table_name: str
    became_id: str
