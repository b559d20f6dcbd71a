"""What every sheet is handed: the week, the names of organisms, the crops' numbers, the look whether to stop."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bayround.crops.profile import Crops
from bayround.paper import farm_name
from bayround.paper.workbook.tables import nothing
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Contents:
    """One workbook's contents. *crops* are the numbers with the farm's own changes, where they were handed over."""

    snapshot: WeekSnapshot
    organisms: Mapping[str, str]
    crops: Crops | None = None
    watch: Callable[[], None] = nothing
    digest: str = ""
    """The digest of the week's facts (`week.digest`), reckoned once."""

    @property
    def farm(self) -> str:
        """Name of the farm, marked when it is invented."""
        return farm_name.shown(self.snapshot.farm)

    @property
    def farm_and_week(self) -> str:
        """What the footer says."""
        return f"{self.farm} · {self.snapshot.week}"

    @property
    def visited(self) -> tuple[BayWeek, ...]:
        """The bays with a finished visit this week."""
        return tuple(seen for seen in self.snapshot.bays if seen.visit is not None)

    def title(self, sheet: str) -> str:
        """Return the first line of a sheet."""
        return f"{sheet} · {self.farm_and_week}"

    def organism(self, key: str) -> str:
        """Return what a person calls an organism."""
        return self.organisms.get(key, key)


def bay_name(seen: BayWeek) -> str:
    """Return house and bay in one."""
    return f"{seen.house.name} · {seen.bay.name}"


def sheet_name(title: str) -> str:
    """Return a title as the name of a sheet: 31 characters, without the signs that are not allowed."""
    kept = "".join(" " if letter in "[]:*?/\\" else letter for letter in _(title))
    return kept[:31].strip(" '")
