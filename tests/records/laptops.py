"""Laptops with copies of one small farm, in memory: what can be done on one, and what a merge must keep."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from itertools import count
from typing import Any

from bayround.facts.farm import FarmInfo, House, HouseKind
from bayround.facts.rounds import Reading, Visit, VisitState, WeedNote
from bayround.facts.work import Correction, Treatment
from bayround.records.codec import kind_named, kind_of, row_of, text_of
from bayround.records.conflicts import conflicts_of
from bayround.records.farm_state import MERGED_KINDS, FarmState, settle_drafts, value_of
from bayround.records.history import REMOVED, whole_text
from bayround.records.joining import join

DAY = date(2026, 11, 24)
START = datetime(2026, 11, 24, 6, tzinfo=UTC)


class Laptop:
    """One copy of the farm; *keys* gives keys that no other laptop gives."""

    def __init__(self, name: str, state: FarmState) -> None:
        self.name, self.state, self._numbers = name, state, count(1)

    def key(self, kind: str) -> str:
        return f"{kind}-{self.name}-{next(self._numbers)}"

    def put(self, fact: Any) -> None:
        self.state.rows[kind_of(type(fact)).table.name][fact.id] = tuple(row_of(fact).values())

    def value(self, table: str, key: str, name: str) -> Any:
        return self.state.rows[table][key][kind_named(table).names.index(name)]

    def type_over(self, table: str, key: str, name: str, value: Any) -> None:
        """Change a value without a word in the history, as a draft's cell is."""
        place = kind_named(table).names.index(name)
        row = self.state.rows[table][key]
        self.state.rows[table][key] = (*row[:place], value, *row[place + 1 :])

    def note(self, table: str, key: str, name: str, before: str, after: str) -> None:
        entry = Correction(self.key("entry"), table, key, name, before, after, None, START, "because")
        self.state.entries[entry.id] = entry
        self.state.order = (*self.state.order, entry.id)

    def correct(self, table: str, key: str, name: str, value: Any) -> None:
        before = text_of(self.value(table, key, name))
        if before != text_of(value):
            self.type_over(table, key, name, value)
            self.note(table, key, name, before, text_of(value))

    def remove_weed(self, key: str) -> None:
        row = self.state.rows["weed_note"].pop(key)
        self.note("weed_note", key, REMOVED, whole_text(WeedNote(*row)), "")

    def decide(self) -> None:
        """Decide the first open conflict for its last value."""
        self.settle()
        for conflict in conflicts_of(self.state)[:1]:
            chosen = conflict.values[-1]
            table = kind_named(conflict.table_name).table
            self.type_over(conflict.table_name, conflict.row_id, conflict.field,
                           value_of(table, conflict.field, chosen))  # fmt: skip
            for other in conflict.values[:-1]:
                self.note(conflict.table_name, conflict.row_id, conflict.field, other, chosen)
            self.state.beside.pop((conflict.table_name, conflict.row_id, conflict.field), None)

    def settle(self) -> FarmState:
        settle_drafts(self.state)
        return self.state

    def merge(self, other: Laptop) -> None:
        self.state = join(self.settle(), other.settle())

    def copy(self, name: str) -> Laptop:
        return Laptop(name, copy.deepcopy(self.state))


def small_farm() -> Laptop:
    """A farm with a house, a treatment, a draft visit of one plant with a weed note, and a finished one."""
    first = Laptop("0", FarmState({kind.table.name: {} for kind in MERGED_KINDS}))
    first.put(FarmInfo("farm", "Hill farm"))
    first.put(House("house", "Net house 1", HouseKind.NET_HOUSE, 40.0, 10.0))
    first.put(Treatment("treatment", START, "aphids", "example ingredient"))
    first.put(Visit("draft", "round", "bay", "planting", DAY, "scout"))
    first.put(Visit("done", "round", "bay-2", "planting", DAY, "scout", VisitState.DONE))
    first.put(Reading("reading", "draft", "plant", height_cm=100.0))
    first.put(Reading("reading-2", "done", "plant", height_cm=100.0))
    first.put(WeedNote("weed", "draft", 5.0))
    return first


def act(laptop: Laptop, what: int, number: int) -> None:
    """Do one thing on a laptop; *number* chooses the value."""
    value = 100.0 + number % 3
    acts: list[Callable[[], None]] = [
        lambda: laptop.type_over("reading", "reading", "height_cm", value),
        lambda: laptop.correct("reading", "reading-2", "height_cm", value),
        lambda: laptop.correct("house", "house", "length_m", 40.0 + number % 3),
        lambda: laptop.correct("house", "house", "note", ["", "torn", "mended"][number % 3]),
        lambda: change_a_weed_note(laptop, number),
        lambda: laptop.put(WeedNote(laptop.key("weed"), "draft", float(number))),
        lambda: laptop.type_over("reading", "reading", "flowers", float(number) if number else None),
        lambda: key_the_same_bay(laptop, value),
        laptop.decide,
        lambda: finish(laptop, number),
    ]
    acts[what]()


def change_a_weed_note(laptop: Laptop, number: int) -> None:
    key = min(laptop.state.rows["weed_note"], default="")
    if key and number % 2:
        laptop.type_over("weed_note", key, "cover_percent", float(number))
    elif key:
        laptop.remove_weed(key)


def key_the_same_bay(laptop: Laptop, value: float) -> None:
    """Key in a bay of a round that other laptops may have keyed in too."""
    if not any(row[2] == "bay-3" for row in laptop.state.rows["visit"].values()):
        visit = laptop.key("visit")
        laptop.put(Visit(visit, "round", "bay-3", "planting", DAY, "scout"))
        laptop.put(Reading(laptop.key("reading"), visit, "plant", height_cm=value))


def finish(laptop: Laptop, number: int) -> None:
    laptop.type_over("visit", "draft", "state", "done")
    laptop.type_over("visit", "draft", "finished_at", START + timedelta(hours=number))


def plain(state: FarmState) -> str:
    """Return a state as a text that is the same whenever the farm is: no order of entries, no revision."""
    rows = {
        table: {
            key: [text_of(value) for name, value in zip(kind_named(table).names, row) if name != "revision"]
            for key, row in sorted(found.items())
        }
        for table, found in state.rows.items()
    }
    open_now = [(c.table_name, c.row_id, c.field, c.values) for c in conflicts_of(state)]
    beside = sorted((*where, *sorted(values)) for where, values in state.beside.items())
    return json.dumps([rows, sorted(state.entries), open_now, beside, sorted(state.became.items())], indent=1)


def values_somewhere(state: FarmState) -> set[tuple[str, str, str]]:
    """Return (table, field, value) of everything that is in a row, kept beside, or in the history."""
    found = {
        (table, name, text_of(value))
        for table, rows in state.rows.items()
        for row in rows.values()
        for name, value in zip(kind_named(table).names, row)
    }
    found |= {(table, name, value) for (table, _key, name), kept in state.beside.items() for value in kept}
    for entry in state.entries.values():
        if entry.field == REMOVED:
            found |= {(entry.table_name, name, value) for name, value in json.loads(entry.before).items()}
        found |= {(entry.table_name, entry.field, text) for text in (entry.before, entry.after)}
    return found
