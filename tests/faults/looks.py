"""What is left in a folder after a step or a fault, read from copies; equal files are read once."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from farm_at_risk import NAME, NOTHING, OLD, content, papers
from power_cuts import FAST_DISK
from sqlalchemy import Engine, StaticPool, create_engine

from bayround import places
from bayround.facts.problems import Problem
from bayround.records import check as checking
from bayround.records import farm_file, server

_JOURNAL = f"{NAME}-journal"
_known: dict[tuple[bytes, bytes], str] = {}
_sound: dict[tuple[bytes, bytes], bool] = {}


@dataclass(frozen=True, slots=True)
class Look:
    """What is left: everything in the farm and the papers, and what each backup holds."""

    content: str
    backups: tuple[str, ...]

    def is_as(self, expected: Look) -> bool:
        """Tell whether this is what was expected; a step done twice may have made one more backup."""
        return self.content == expected.content and set(self.backups) == set(expected.backups)


def look(folder: Path, job: str) -> Look:
    """Look at copies: the live file may be open, and what lies half-done beside it must stay so.

    An upgrade that failed may leave its backup behind.
    """
    kept = sorted(places.backups_dir(folder / NAME).glob("*.bayround")) if job != "upgrade" else []
    return Look(_farm(folder / NAME) + papers(folder), tuple(_farm(path) for path in kept))


def _farm(path: Path) -> str:
    files = _files(path)
    if files is None:
        return NOTHING
    if files not in _known:
        with _copied(files) as copy:
            _known[files] = content(copy)
    return _known[files]


def is_sound(folder: Path) -> bool:
    """Tell whether the program opens the farm (where there is one) and finds nothing wrong with it."""
    files = _files(folder / NAME)
    if files is None or files[0] == OLD.read_bytes():
        return True
    if files not in _sound:
        with _copied(files) as copy:
            try:
                with farm_file.open_farm(copy) as store:
                    _sound[files] = checking.check(store) == ()
            except Problem:
                _sound[files] = False
    return _sound[files]


def _files(path: Path) -> tuple[bytes, bytes] | None:
    if not path.exists():
        return None
    journal = path.with_name(path.name + "-journal")
    return path.read_bytes(), journal.read_bytes() if journal.exists() else b""


@contextmanager
def _copied(files: tuple[bytes, bytes]) -> Iterator[Path]:
    with TemporaryDirectory(dir=FAST_DISK if FAST_DISK.is_dir() else None) as aside:
        for name, data in zip((NAME, _JOURNAL), files):
            if data:
                (Path(aside) / name).write_bytes(data)
        yield Path(aside) / NAME


@contextmanager
def statements_kept() -> Iterator[None]:
    """Let farms that are opened one after another share the statements that SQLAlchemy has worked out."""
    shared, own, own_of_server = _shared(), farm_file.create_engine, server.engine_for

    def engine(address: str, **settings: Any) -> Engine:
        made = own(address, **settings)
        made.dialect, made._compiled_cache = shared.dialect, shared._compiled_cache
        return made

    def engine_of_server(address: Any, **settings: Any) -> Engine:
        made = own_of_server(address, **settings)
        if not _of_server:
            made.connect().close()
            _of_server.append(made)
        made.dialect, made._compiled_cache = _of_server[0].dialect, _of_server[0]._compiled_cache
        return made

    farm_file.create_engine, server.engine_for = engine, engine_of_server  # type: ignore[attr-defined]
    try:
        yield
    finally:
        farm_file.create_engine, server.engine_for = own, own_of_server  # type: ignore[attr-defined]


_of_server: list[Engine] = []


@cache
def _shared() -> Engine:
    engine = create_engine(
        "sqlite+pysqlite://", creator=lambda: sqlite3.connect(":memory:"), poolclass=StaticPool
    )
    engine.connect().close()
    return engine
