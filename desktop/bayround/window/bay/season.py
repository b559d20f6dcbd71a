"""What the Bay screen shows: one bay's season, read once and frozen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bayround.actions.farm import OpenFarm
from bayround.crops import CropProfile
from bayround.facts.problems import Refused
from bayround.week import season_line
from bayround.week.season_line import SeasonLine
from bayround.week.snapshot import BayWeek
from bayround.window.week_memory import WeekMemory
from bayround.words import _


@dataclass(frozen=True, slots=True)
class BaySeason:
    """One bay: where it stands now, its season on one line of time, and the numbers of its crop.

    *walk* are the ids of all bays in walk order, to step to the neighbours.
    """

    now: BayWeek
    line: SeasonLine
    profile: CropProfile | None
    scouts: Mapping[str, str]
    walk: tuple[str, ...]

    @property
    def title(self) -> str:
        """House, bay, crop and variety."""
        planting = self.now.planting
        crop = f"{self.now.crop_name}, {planting.variety}" if planting else _("no crop")
        return f"{self.now.house.name} · {self.now.bay.name} · {crop}"

    def band(self) -> tuple[tuple[date, float, float], ...]:
        """Return (day, low, high) in fruit/m² of the crop's band, as far as the season goes."""
        planting = self.now.planting
        if planting is None or self.profile is None:
            return ()
        start = planting.transplanted_on
        return tuple(
            (start + timedelta(weeks=point.weeks_after_transplanting), point.low_per_m2, point.high_per_m2)
            for point in self.profile.load_band
        )

    def beside(self, step: int) -> str:
        """Return the id of the bay before (−1) or after (1) in the walk, or nothing at the end."""
        place = self.walk.index(self.now.bay.id) + step
        return self.walk[place] if 0 <= place < len(self.walk) else ""


def read(farm: OpenFarm, weeks: WeekMemory, bay_id: str, today: date) -> BaySeason:
    """Read one bay's season; without an id the first bay of the walk. Runs on the farm's thread.

    Raises:
        Refused: when the farm has no round or no such bay.
    """
    snapshot = weeks.as_of_today(farm, today)
    walk = tuple(seen.bay.id for seen in snapshot.bays)
    if not walk:
        raise Refused(_("This farm has no bay in use."))
    chosen = bay_id or walk[0]
    if chosen not in walk:
        raise Refused(_("This bay is not in use any more."), to_do=_("Choose another one with Ctrl+K."))
    now = snapshot.bay(chosen)
    return BaySeason(
        now=now,
        line=season_line.build(now, farm.crops),
        profile=farm.crops.profile(now.planting.crop) if now.planting else None,
        scouts={person.id: person.name for person in snapshot.people},
        walk=walk,
    )
