"""A program of its own that backs a farm up, or restores it, until it is killed."""

from __future__ import annotations

from datetime import UTC, datetime
from multiprocessing.connection import Connection
from pathlib import Path

from bayround.records.backup import back_up, restore
from bayround.records.farm_file import open_farm


def keep_backing_up(path: Path, folder: Path, said: Connection) -> None:
    """Make backup after backup; tell the name of each when it counts."""
    with open_farm(path) as store:
        while True:
            said.send(back_up(store, folder, datetime.now(UTC)))


def keep_restoring(backup: Path, path: Path, said: Connection) -> None:
    """Restore again and again; tell where the earlier file went."""
    while True:
        said.send(restore(backup, path))
