"""Facts by what they belong to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from operator import attrgetter
from typing import Protocol, TypeVar


class OfVisit(Protocol):
    """What hangs off a visit."""

    @property
    def visit_id(self) -> str:
        """The visit it belongs to."""
        ...


Seen = TypeVar("Seen", bound=OfVisit)
Item = TypeVar("Item")


def of_visit(items: Iterable[Seen]) -> dict[str, list[Seen]]:
    """Return items by their visit, each group in the order it came in."""
    return grouped(items, attrgetter("visit_id"))


def grouped(items: Iterable[Item], key: Key[Item]) -> dict[str, list[Item]]:
    """Return items by a key, each group in the order it came in."""
    groups: dict[str, list[Item]] = defaultdict(list)
    for item in items:
        groups[key(item)].append(item)
    return groups


ItemIn = TypeVar("ItemIn", contravariant=True)


class Key(Protocol[ItemIn]):
    """What an item is grouped by."""

    def __call__(self, item: ItemIn, /) -> str: ...
