"""A damaged SQLite file read page by page, without SQLite: records on whole pages need no whole tree above them.

The format is SQLite's own (sqlite.org, "Database File Format", 1.3 the header, 1.5 free pages, 1.6 the trees,
2.1 the records). Nothing of the file is believed: every number is held against the bounds of the file, a page
that makes no sense gives no record.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

MAGIC = b"SQLite format 3\0"
HEAD = 100
PAGE_SIZE, PAGES, FREE_PAGES = slice(16, 18), slice(28, 32), slice(32, 40)
_INDEX_INSIDE, _TABLE_INSIDE, _INDEX_LEAF, _TABLE_LEAF = 0x02, 0x05, 0x0A, 0x0D
_KINDS = (_INDEX_INSIDE, _TABLE_INSIDE, _INDEX_LEAF, _TABLE_LEAF)
_USUAL_SIZE = 4096
_LARGEST_RECORD = 10 * 2**20
_WHOLE_NUMBERS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial type → bytes
Row = tuple[Any, ...]


class NoRecordError(ValueError):
    """These bytes are no record."""


@dataclass(frozen=True, slots=True)
class Tree:
    """What is left of a table's or an index's pages: the leaves below its root, as far as the pages above lead."""

    leaves: tuple[int, ...]
    inside: tuple[int, ...]
    whole: bool = False  # no page that should be there is missing or makes no sense


def page_size(head: bytes | bytearray) -> int:
    """Return the bytes of a page as the first page says; 0 when that makes no sense."""
    size = int.from_bytes(head[PAGE_SIZE], "big")
    size = 65536 if size == 1 else size
    return (
        size if len(head) >= HEAD and head.startswith(MAGIC) and size.bit_count() == 1 and size >= 512 else 0
    )


class PageFile:
    """The pages of a file, numbered from 1."""

    def __init__(self, path: Path) -> None:
        """Read the file into memory; when its first page is none of SQLite's, the others are taken to be of 4096 bytes."""
        self._data = path.read_bytes()
        known = page_size(self._data[:HEAD])
        self.size = known or _USUAL_SIZE
        self._usable = self.size - (self._data[20] if known else 0)
        self._first_free = int.from_bytes(self._data[32:36], "big") if known else 0
        self.count = len(self._data) // self.size

    def tree(self, root: int) -> Tree:
        """Follow the pages from a root down; a page that makes no sense ends only its own branch."""
        leaves: list[int] = []
        inside: list[int] = []
        seen: set[int] = set()
        waiting, whole = [root], True
        while waiting:
            number = waiting.pop()
            kind = self._kind(number) if 1 <= number <= self.count and number not in seen else 0
            seen.add(number)
            if kind in (_TABLE_LEAF, _INDEX_LEAF):
                leaves.append(number)
            elif kind in (_TABLE_INSIDE, _INDEX_INSIDE):
                inside.append(number)
                waiting += self._below(number)
            whole = whole and kind in _KINDS
        return Tree(tuple(leaves), tuple(inside), whole)

    def page(self, number: int) -> bytes:
        """Return the bytes of a page."""
        return self._data[(number - 1) * self.size : number * self.size]

    def told(self, number: int) -> int:
        """Return how many records a page says it holds."""
        head = self._head_of(number)
        return int.from_bytes(self._data[head + 3 : head + 5], "big")

    def table_leaves(self) -> set[int]:
        """Return the pages that look like leaves of a table and are not free."""
        return {n for n in range(1, self.count + 1) if self._kind(n) == _TABLE_LEAF} - self._free

    def rows(self, number: int) -> Iterator[tuple[int, Row]]:
        """Yield (rowid, values) of the records of a table's leaf that can be read."""
        for place in self._cells(number):
            try:
                length, place = self._varint(place)
                rowid, place = self._varint(place)
                yield rowid, self._values(self._payload(place, length, self._usable - 35))
            except (NoRecordError, IndexError, struct.error):
                continue

    def entries(self, number: int) -> Iterator[Row]:
        """Yield the entries of an index's page that can be read."""
        inside = self._kind(number) == _INDEX_INSIDE
        local = (self._usable - 12) * 64 // 255 - 23
        for place in self._cells(number):
            try:
                length, place = self._varint(place + (4 if inside else 0))
                yield self._values(self._payload(place, length, local))
            except (NoRecordError, IndexError, struct.error):
                continue

    @cached_property
    def _free(self) -> set[int]:
        """The pages in the list of free ones: what is on them was taken out."""
        found: set[int] = set()
        trunk = self._first_free
        while 1 < trunk <= self.count and trunk not in found:
            found.add(trunk)
            start = (trunk - 1) * self.size
            following, count = struct.unpack_from(">II", self._data, start)
            count = min(count, self._usable // 4 - 2)
            found.update(struct.unpack_from(f">{count}I", self._data, start + 8))
            trunk = following
        return found

    def _head_of(self, number: int) -> int:
        return (number - 1) * self.size + (HEAD if number == 1 else 0)

    def _kind(self, number: int) -> int:
        return self._data[self._head_of(number)]

    def _cells(self, number: int) -> Iterator[int]:
        """Yield where the cells of a page begin; none that lies outside it."""
        head, start = self._head_of(number), (number - 1) * self.size
        inside = self._kind(number) in (_TABLE_INSIDE, _INDEX_INSIDE)
        first = head + (12 if inside else 8)
        count = self.told(number)
        for at in range(first, min(first + 2 * count, start + self.size - 1), 2):
            place = int.from_bytes(self._data[at : at + 2], "big")
            if first - start + 2 * count <= place < self._usable:
                yield start + place

    def _below(self, number: int) -> list[int]:
        head = self._head_of(number)
        places = [head + 8, *self._cells(number)]  # the one on the right stands in the head of the page
        return [int.from_bytes(self._data[place : place + 4], "big") for place in places]

    def _varint(self, place: int) -> tuple[int, int]:
        """Return a number of 1 to 9 bytes and where it ends."""
        value = 0
        for taken in range(8):
            byte = self._data[place + taken]
            value = value << 7 | byte & 0x7F
            if byte < 0x80:
                return value, place + taken + 1
        return value << 8 | self._data[place + 8], place + 9

    def _payload(self, place: int, length: int, local: int) -> bytes:
        """Return the bytes of a record, of which a long one goes on on pages of its own."""
        if not 0 < length <= _LARGEST_RECORD:
            raise NoRecordError
        if length <= local:
            return self._data[place : place + length]
        least = (self._usable - 12) * 32 // 255 - 23
        here = least + (length - least) % (self._usable - 4)
        here = here if here <= local else least
        parts, left = [self._data[place : place + here]], length - here
        page = int.from_bytes(self._data[place + here : place + here + 4], "big")
        while left > 0:
            if not 1 < page <= self.count:
                raise NoRecordError
            start = (page - 1) * self.size
            parts.append(self._data[start + 4 : start + 4 + min(left, self._usable - 4)])
            left -= self._usable - 4
            page = int.from_bytes(self._data[start : start + 4], "big")
        return b"".join(parts)

    def _values(self, payload: bytes) -> Row:
        """Return the values of a record."""
        head, at = _small_varint(payload, 0)
        kinds = []
        while at < head:
            kind, at = _small_varint(payload, at)
            kinds.append(kind)
        if at != head:
            raise NoRecordError
        values = []
        for kind in kinds:
            value, at = _value(kind, payload, at)
            values.append(value)
        if at != len(payload):
            raise NoRecordError
        return tuple(values)


def _small_varint(payload: bytes, place: int) -> tuple[int, int]:
    value = 0
    for taken in range(9):
        byte = payload[place + taken]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, place + taken + 1
    raise NoRecordError


def _value(kind: int, payload: bytes, place: int) -> tuple[Any, int]:
    """Return the value of a serial type and where it ends."""
    if kind == 0:
        return None, place
    if kind in (8, 9):
        return kind - 8, place
    if kind == 7:
        return struct.unpack_from(">d", payload, place)[0], place + 8
    if kind in _WHOLE_NUMBERS:
        end = place + _WHOLE_NUMBERS[kind]
        return int.from_bytes(payload[place:end], "big", signed=True), end
    if kind < 12:
        raise NoRecordError
    end = place + (kind - 12) // 2
    raw = payload[place:end]
    return (raw.decode("utf-8", "replace") if kind % 2 else raw), end
