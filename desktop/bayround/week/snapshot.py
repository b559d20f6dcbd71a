"""WeekSnapshot and BayWeek: what screens, workbook and command line all show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Bay, FarmInfo, House, Person, Planting
from bayround.facts.weeks import Week
from bayround.facts.work import WeekClose
from bayround.figures.figure import Figure
from bayround.jobs.intervals import NO_CLOCKS, Clocks
from bayround.jobs.job import Job
from bayround.week.corrected import CorrectedValue, close_of
from bayround.week.moved import Moved


@dataclass(frozen=True, slots=True)
class BayWeek:
    """One bay in one week.

    *figures* belong to this week's visit; where the bay was not visited they are missing and say so.
    *latest* are the same figures from the newest visit up to the week's end, which the jobs rest on.
    """

    past: BayPast
    week: Week
    as_of: date
    visit: VisitRecord | None
    figures: Mapping[str, Figure]
    latest: Mapping[str, Figure]
    jobs: tuple[Job, ...]
    scout: str = ""
    crop_name: str = ""
    warnings: tuple[str, ...] = ()
    clocks: Clocks = NO_CLOCKS
    """Re-entry and pre-harvest clocks of the bay's treatments up to *as_of*."""
    house_closed: tuple[str, ...] = ()
    """Faults of its house for which nobody goes in, in words."""
    since: tuple[Moved, ...] = ()
    """What was compared with last week, once somebody asks (`week.changed.with_changes`)."""

    @property
    def bay(self) -> Bay:
        """The bay."""
        return self.past.bay

    @property
    def house(self) -> House:
        """The bay's house."""
        return self.past.house

    @property
    def planting(self) -> Planting | None:
        """The crop that stands in it."""
        return self.past.planting

    @property
    def last_visit_on(self) -> date | None:
        """Day of the newest visit up to the week's end."""
        return self.past.latest.day if self.past.latest else None

    def figure(self, figure_id: str) -> Figure:
        """Return one figure of this week.

        Raises:
            KeyError: when no family computes a figure of that name.
        """
        return self.figures[figure_id]


@dataclass(frozen=True, slots=True)
class WeekSnapshot:
    """The whole farm in one week; same facts, crops and day give the same snapshot.

    *as_of* is the day it was looked at: the week's last day, or today while the week runs.
    """

    farm: FarmInfo
    week: Week
    as_of: date
    revision: int
    bays: tuple[BayWeek, ...]
    totals: Mapping[str, Figure]
    jobs: tuple[Job, ...]
    people: tuple[Person, ...] = ()
    warnings: tuple[str, ...] = ()
    weeks_with_rounds: tuple[Week, ...] = ()
    earlier: Mapping[str, tuple[tuple[Week, Mapping[str, Figure]], ...]] | None = None
    """Bay id → (week, figures) of earlier weeks, oldest first: one week, or more for the workbook."""
    looked_on: date | None = None
    """The day somebody looked; after *as_of* when the week is over."""
    corrections: int = 0
    """How many entries the history of corrections has."""
    chain_head: str = ""
    """The hash of its newest entry, which holds all before it."""
    corrected: tuple[CorrectedValue, ...] = ()
    """The corrections that the last closed workbook did not know of."""
    corrected_since: tuple[CorrectedValue, ...] = ()
    """The corrections made since this week itself was closed; none while it is open."""
    closes: tuple[WeekClose, ...] = ()
    """All closings of weeks, oldest first."""

    @property
    def close(self) -> WeekClose | None:
        """The newest closing of this week, or nothing while it is open."""
        return close_of(self.closes, self.week)

    def person_name(self, person_id: str | None) -> str:
        """Return a person's name, empty when nobody is known by that key."""
        return next((person.name for person in self.people if person.id == person_id), "")

    def bay(self, bay_id: str) -> BayWeek:
        """Return one bay's week."""
        return next(bay_week for bay_week in self.bays if bay_week.bay.id == bay_id)
