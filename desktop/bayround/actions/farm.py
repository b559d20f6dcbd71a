"""Open, make and close a farm."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bayround.crops import Crops, apply_overrides, load_crops
from bayround.facts.farm import FarmInfo
from bayround.facts.server_address import FarmPlace
from bayround.records import backup, farm_file, opening, read_parts, rotation
from bayround.records.store import Store


@dataclass(slots=True)
class OpenFarm:
    """A farm that is open: its store and the crop numbers with the farm's own changes applied."""

    store: Store
    crops: Crops

    @property
    def path(self) -> Path:
        """The farm file; of a farm on a server: what it would be, in the folder for files of that farm."""
        return self.store.path

    @property
    def place(self) -> FarmPlace:
        """Where the farm is kept."""
        return self.store.place

    @property
    def name(self) -> str:
        """Its place in short, as people are shown it."""
        return self.store.name

    @property
    def shared(self) -> bool:
        """Whether others may write to it at the same time."""
        return self.store.shared

    @property
    def info(self) -> FarmInfo:
        """Name, revision and whether the farm is invented."""
        return self.store.info()

    def close(self) -> None:
        """Close the farm file; it is then whole on disk and safe to carry."""
        self.store.close()


def create(path: Path, name: str, *, invented: bool = False, currency: str = "") -> OpenFarm:
    """Make a new, empty farm file and open it.

    Raises:
        FarmFileProblem: when the file exists or can't be written.
    """
    store = farm_file.create_farm(path, name, invented=invented, currency=currency)
    return OpenFarm(store, load_crops())


def open_farm(place: FarmPlace, *, read_only: bool = False) -> OpenFarm:
    """Open a farm file, or the farm on a server.

    Raises:
        FarmFileProblem: not a farm file, a newer one, locked by another copy, damaged, not readable;
            the server does not answer, does not let us in, holds no farm.
    """
    store = opening.open_place(place, read_only=read_only)
    return OpenFarm(store, crops_of(store))


def crops_of(store: Store) -> Crops:
    """Return the crop profiles with this farm's own numbers."""
    overrides = read_parts.read_overrides(store)
    return apply_overrides(load_crops(), [(change.crop, change.name, change.value) for change in overrides])


def back_up(farm: OpenFarm, folder: Path, now: datetime | None = None) -> Path:
    """Write a verified backup and thin out the old ones; return its path."""
    moment = now or datetime.now(UTC)
    if farm.shared:
        from bayround.records import moving

        made = moving.back_up_server(farm.store, folder, moment)
    else:
        made = backup.back_up(farm.store, folder, moment)
    rotation.rotate(folder, moment)
    return made
