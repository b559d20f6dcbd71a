"""The pictures of weeks read last, so that going from screen to screen does not reckon the same week again."""

from __future__ import annotations

from datetime import date

from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.weeks import Week
from bayround.week.snapshot import WeekSnapshot

_KEPT = 6


class WeekMemory:
    """Gives `actions.week.picture`, from memory while the farm's revision and the day are the same.

    Used on the farm's own thread only. A picture is a frozen value, so it can be shown twice.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[Week | None, date, int], WeekSnapshot] = {}
        self._today: tuple[tuple[date, int], Week] | None = None

    def picture(self, farm: OpenFarm, week: Week | None, today: date) -> WeekSnapshot:
        """Return the picture of a week; without one the newest that holds a round.

        Raises:
            Refused: as `actions.week.picture`.
        """
        key = (week, today, farm.info.revision)
        if key not in self._kept:
            made = week_actions.picture(farm, week, today)
            if made.revision != key[2]:
                return made
            while len(self._kept) >= _KEPT:
                self._kept.pop(next(iter(self._kept)))
            self._kept[key] = self._kept[(made.week, today, key[2])] = made
        return self._kept[key]

    def as_of_today(self, farm: OpenFarm, today: date) -> WeekSnapshot:
        """Return the farm as it stands today, also in a week without a round; before the first round, the newest.

        Raises:
            Refused: when the farm has no round.
        """
        key = (today, farm.info.revision)
        if self._today is None or self._today[0] != key:
            self._today = (key, week_actions.week_to_work_in(farm, today))
        week = self._today[1]
        return week_actions.to_work_by(farm, self.picture(farm, week, today), today)
