"""A disk whose power can be cut: what was written is kept as a list, and any cut of it can be put together.

The model is that of SQLite's own crash tests (sqlite.org, "How SQLite Is Tested", 3.3): at a cut, what was
synced is there; of what was not, any part may be, in any order, torn at sectors of 512 bytes; a name
that was made, changed or removed counts only after its folder was synced. Not modelled: disks that say
they synced and did not, and file systems that lose more than was being written.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

SECTOR = 512
APPLIED, TORN = 0.5, 0.3  # shares of the unsynced writes that reached the disk, and of these that were torn


@dataclass(slots=True)
class Disk:
    """The list of what was done, in order. Files have numbers; names point at them.

    Operations: ("make", name, number), ("write", number, place, bytes), ("cut", number, size),
    ("sync", number), ("remove", name, synced), ("link", name, other), ("rename", name, other),
    ("folder", folder), ("said", what).
    """

    done: list[tuple[Any, ...]] = field(default_factory=list)
    names: dict[str, int] = field(default_factory=dict)
    starts: dict[str, bytes] = field(default_factory=dict)
    files: int = 0
    numbers: list[tuple[str, int]] = field(default_factory=list)

    def begin_with(self, folder: Path) -> None:
        """Take over the files of a folder as they are, all of it safe on the disk."""
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                self.starts[str(path)] = path.read_bytes()
                self.number(str(path))

    def number(self, name: str) -> int:
        """Return the number of the file under a name; a new one for a new name."""
        if name not in self.names:
            self.names[name] = self.files
            self.numbers.append((name, self.files))
            self.files += 1
            if name not in self.starts:
                self.done.append(("make", name, self.names[name]))
        return self.names[name]

    def remove(self, name: str, synced: bool) -> None:
        if name in self.names:
            del self.names[name]
            self.done.append(("remove", name, synced))

    def link(self, name: str, other: str) -> None:
        self.names[other] = self.names[name]
        self.done.append(("link", name, other))

    def rename(self, name: str, other: str) -> None:
        self.names[other] = self.names.pop(name)
        self.done.append(("rename", name, other))

    def note(self, *what: Any) -> None:
        self.done.append(what)


@dataclass(slots=True)
class Replay:
    """The disk after the first so many operations."""

    disk: Disk
    at: int = 0
    said: int = 0
    safe: dict[int, bytearray] = field(default_factory=dict)
    open: dict[int, list[tuple[Any, ...]]] = field(default_factory=dict)
    safe_names: dict[str, int] = field(default_factory=dict)
    open_names: list[tuple[Any, ...]] = field(default_factory=list)
    as_synced: dict[int, bytes] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for number, (name, content) in enumerate(self.disk.starts.items()):
            self.safe[number], self.safe_names[name] = bytearray(content), number

    def go_to(self, place: int) -> None:
        for done in self.disk.done[self.at : place]:
            self._do(done)
        self.at = place

    def _do(self, done: tuple[Any, ...]) -> None:
        kind = done[0]
        if kind == "make":
            self.safe[done[2]] = bytearray()
            self.open_names.append(done)
        elif kind in {"write", "cut"}:
            self.open.setdefault(done[1], []).append(done)
        elif kind == "sync":
            self.as_synced.pop(done[1], None)
            for waiting in self.open.pop(done[1], []):
                _apply(self.safe[done[1]], waiting)
            self._settle(lambda name: name[0] == "make" and name[2] == done[1])
        elif kind == "remove":
            self.open_names.append(done)
            if done[2]:
                self._settle(lambda name: name[1] == done[1])
        elif kind in {"link", "rename"}:
            self.open_names.append(done)
        elif kind == "folder":
            self._settle(lambda name: str(Path(name[-1] if name[0] in {"link", "rename"} else name[1]).parent) == done[1])  # fmt: skip
        elif kind == "said":
            self.said += 1

    def _settle(self, which: Any) -> None:
        """Names that are safe now are safe with all that was done to the same names before."""
        left = []
        for name in self.open_names:
            if which(name):
                _name(self.safe_names, name)
            else:
                left.append(name)
        self.open_names = left

    def cut(self, chance: random.Random) -> dict[str, bytes]:
        """Return the files as a power cut at this moment may leave them."""
        names = dict(self.safe_names)
        for change in self.open_names:
            if chance.random() < APPLIED:
                _name(names, change)
        found: dict[int, bytes] = {}
        for number in set(names.values()):
            waiting = [each for each in self.open.get(number, ()) if chance.random() < APPLIED]
            if waiting:
                content = bytearray(self.safe[number])
                for each in waiting:
                    _apply(content, _torn(each, chance))
                found[number] = bytes(content)
            elif number in self.as_synced:
                found[number] = self.as_synced[number]  # the same bytes again, whose hash is known
            else:
                found[number] = self.as_synced[number] = bytes(self.safe[number])
        return {name: found[number] for name, number in names.items()}


def _name(names: dict[str, int], change: tuple[Any, ...]) -> None:
    kind, name = change[0], change[1]
    if kind == "make":
        names[name] = change[2]
    elif kind == "remove":
        names.pop(name, None)
    elif name in names:
        names[change[2]] = names[name] if kind == "link" else names.pop(name)


def _apply(content: bytearray, change: tuple[Any, ...]) -> None:
    if change[0] == "cut":
        size = change[2]
        del content[size:]
        content.extend(bytes(max(0, size - len(content))))
        return
    place, written = change[2], change[3]
    content.extend(bytes(max(0, place - len(content))))
    content[place : place + len(written)] = written


def _torn(change: tuple[Any, ...], chance: random.Random) -> tuple[Any, ...]:
    if change[0] != "write" or chance.random() >= TORN or len(change[3]) <= SECTOR:
        return change
    sectors = len(change[3]) // SECTOR
    first = chance.randrange(sectors)
    last = chance.randint(first + 1, sectors)
    return ("write", change[1], change[2] + first * SECTOR, change[3][first * SECTOR : last * SECTOR])


def cuts(
    disk: Disk, folder: str, count: int, chance: random.Random
) -> Iterator[tuple[int, dict[str, bytes]]]:
    """Yield *count* times (steps said to be done by then, files) after power cuts at random moments.

    A third is drawn from all that was done to files in *folder*; a third from the moments just after a name
    was made, changed or removed, where the order of things decides; a third from just after a step was said
    to be done, where a person relies on it.
    """
    own = {number for name, number in disk.numbers if name.startswith(folder)}
    inside = [
        place
        for place, done in enumerate(disk.done, start=1)
        if done[0] == "said" or (done[1] in own if isinstance(done[1], int) else done[1].startswith(folder))
    ]
    turns = [p for p in inside if disk.done[p - 1][0] in {"link", "rename", "remove", "make"}]
    told = [p for p in inside if disk.done[p - 1][0] == "said"]
    kinds = [inside, sorted({*turns, *(p + 1 for p in turns if p < len(disk.done))}), told]
    drawn = [chance.choice(kinds[number % 3] or inside) for number in range(count)]
    replay = Replay(disk)
    for place in sorted(drawn):
        replay.go_to(place)
        yield replay.said, replay.cut(chance)
