"""Which value of a field holds when several files know it: decided by their histories, or by a person.

A correction takes the place of those earlier values that it names as its own "before", when it was
written by somebody who could see them: when they stand before it in every known history that holds it.
Values that are left over are open: one is the value, several are a conflict. A value without an entry
in the history (a draft's cell, the first value of a record) gives way to any entry that names it as
"before", and an empty one to any other.

What holds depends only on the union of all entries and all values, so files may be merged in any order
and as often as one likes.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from bayround.facts.work import Correction
from bayround.records.history import ADDED, REMOVED

Order = tuple[str, ...]
"""The keys of the entries of one file's history, oldest first."""


@dataclass(frozen=True, slots=True)
class Open:
    """The values of one field that nothing took the place of; *loose* are those without an entry in the history."""

    values: tuple[str, ...]
    loose: tuple[str, ...]


class Histories:
    """The known histories; tells which entries whoever wrote an entry could see."""

    def __init__(self, orders: Iterable[Order]) -> None:
        self.orders = longest(orders)
        self._places = [{key: place for place, key in enumerate(order)} for order in self.orders]

    def saw(self, later: str, earlier: str) -> bool:
        """Tell whether entry *earlier* was there already when entry *later* was written."""
        holding = [places for places in self._places if later in places]
        return bool(holding) and all(places.get(earlier, len(places)) < places[later] for places in holding)


def longest(orders: Iterable[Order]) -> frozenset[Order]:
    """Return the orders that are not merely the beginning of another one."""
    kept: set[Order] = set()
    for order in sorted(set(orders), key=len, reverse=True):
        if order and not any(other[: len(order)] == order for other in kept):
            kept.add(order)
    return frozenset(kept)


def open_values(
    entries: Sequence[Correction],
    loose: Collection[str],
    histories: Histories,
    removed: Collection[str] = (),
) -> Open:
    """Return the values of one field that hold.

    Args:
        entries: every entry about the field.
        loose: every value that some file has for it without an entry in its history.
        removed: its values in copies of the record that were taken out somewhere.
    """
    if not entries and not removed and len(loose) == 1:
        only = tuple(loose)
        return Open(only, only)
    heads = [
        entry
        for entry in entries
        if not any(later.before == entry.after and histories.saw(later.id, entry.id) for later in entries)
    ]
    by_entry = sorted({head.after for head in heads})
    gone = {entry.before for entry in entries} | set(removed)
    free = sorted(value for value in set(loose) if value and value not in gone and value not in by_entry)
    values = (*by_entry, *free)
    if not values:
        values = tuple(sorted(set(removed) | set(loose)))[:1] or ("",)
    return Open(values, tuple(free))


def whole_texts(entries: Iterable[Correction]) -> list[dict[str, str]]:
    """Return the records, field by field, that entries say were taken out of a draft."""
    return [_fields(entry.before) for entry in entries if entry.field == REMOVED]


def _fields(text: str) -> dict[str, str]:
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return {str(name): str(value) for name, value in found.items()} if isinstance(found, dict) else {}


def of_fields(entries: Iterable[Correction]) -> dict[str, list[Correction]]:
    """Return entries by field, without those about a record as a whole."""
    found: dict[str, list[Correction]] = {}
    for entry in entries:
        if entry.field not in {ADDED, REMOVED}:
            found.setdefault(entry.field, []).append(entry)
    return found
