"""What a file would bring: every line with what becomes of it and why; nothing is changed by looking."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from bayround.facts.kept import ImportBatch, ImportLayout
from bayround.records.write_imports import ValueChange


class Kind(StrEnum):
    """What a file can hold."""

    WALK = "walk"
    READINGS = "readings"
    PICKS = "picks"
    CLIMATE = "climate"


class State(StrEnum):
    """What becomes of a line."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    DOUBTFUL = "doubtful"
    REFUSED = "refused"


class Need(StrEnum):
    """What a person has to say before a file can come in."""

    KIND = "kind"
    DAY = "day"
    SCOUT = "scout"
    HOUSE = "house"
    COLUMNS = "columns"


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a preview: where it stands or belongs, what it says, what becomes of it and why."""

    state: State
    where: str
    what: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Options:
    """What a person says about a file.

    Attributes:
        kind: what it holds; none: as recognised.
        day: day of a walk whose sheet has none.
        scout_id: who walked, where the file does not say.
        house_id: the house of a climate logger.
        sheet: which sheet of a workbook; none: the one that looks most like a table.
        columns: column number → what it holds ("" for nothing); none: as recognised or remembered.
        month_first: dates like 11/25/2026; none: as the file shows, day first when it does not.
        explanation: why fruit was picked although something stopped it.
        doubtful: bring doubtful picks and days of a climate logger in as well.
        finish: finish visits read from a spreadsheet in which nothing is doubtful or refused.
    """

    kind: Kind | None = None
    day: date | None = None
    scout_id: str | None = None
    house_id: str | None = None
    sheet: str = ""
    columns: dict[int, str] | None = None
    month_first: bool | None = None
    explanation: str = ""
    doubtful: bool = False
    finish: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a file: its heading, the first values in it, and what it was taken for."""

    number: int
    heading: str
    examples: tuple[str, ...]
    holds: str


@dataclass(frozen=True, slots=True)
class Preview:
    """What a file would bring.

    Attributes:
        items: line by line.
        added, changes: what is written when the person agrees.
        needs: what the person has to say first; nothing comes in until then.
        notes: how the file was read, in words.
        sheet, sheets: the sheet that was read, and all that hold something.
        columns: the columns and what they were taken for; none for a walk sheet.
        remembered: the matching of the columns is one that was used before.
        earlier: the last import of the very same file that was not taken back.
        revision: of the farm that was looked at.
    """

    kind: Kind
    file_name: str
    file_digest: str
    items: tuple[Item, ...]
    added: tuple[object, ...]
    changes: tuple[ValueChange, ...]
    revision: int
    needs: tuple[Need, ...] = ()
    notes: tuple[str, ...] = ()
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    columns: tuple[Column, ...] = ()
    month_first: bool = False
    house_id: str | None = None
    remembered: bool = False
    layout: ImportLayout | None = None
    earlier: ImportBatch | None = None

    @property
    def anything(self) -> bool:
        """Whether anything would be written."""
        return bool(self.added or self.changes) and not self.needs

    def count(self, state: State) -> int:
        """Return how many lines are so."""
        return Counter(item.state for item in self.items)[state]


@dataclass(slots=True)
class Plan:
    """A preview in the making."""

    items: list[Item] = field(default_factory=list)
    added: list[object] = field(default_factory=list)
    changes: list[ValueChange] = field(default_factory=list)
    needs: list[Need] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def say(self, state: State, where: str, what: str, why: str = "") -> None:
        """Add a line."""
        self.items.append(Item(state, where, what, why))

    def take(self, items: Sequence[Item], added: Sequence[object], changes: Sequence[ValueChange]) -> None:
        """Take over what a part found."""
        self.items += items
        self.added += added
        self.changes += changes


def latest(batches: Sequence[ImportBatch], digest: str) -> ImportBatch | None:
    """Return the newest import of the same file that stands."""
    standing = [one for one in batches if one.file_digest == digest and one.taken_back_at is None]
    return max(standing, key=_when, default=None)


def _when(batch: ImportBatch) -> tuple[datetime, str]:
    return batch.imported_at, batch.id
