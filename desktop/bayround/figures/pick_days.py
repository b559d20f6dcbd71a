"""On which days a planting is picked: fruit that colour after the last pick of a week wait for the next week's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bayround.facts.bay_past import BayPast
from bayround.facts.weeks import Week

WEEKS_LOOKED_BACK = 4
FEWEST_WEEKS = 2
"""So many weeks with picks show which days are the usual ones (own rule)."""
NO_TIME_LEFT_DAYS = 0.01


@dataclass(frozen=True, slots=True)
class PickDays:
    """The usual weekday of a week's last pick (0 Monday to 6 Sunday; None: not known yet), seen from a day.

    *picked_this_week*: a pick of the running week is written down already.
    """

    last_weekday: int | None
    picked_this_week: bool

    @property
    def known(self) -> bool:
        """Tell whether the days are known."""
        return self.last_weekday is not None

    def week_ends(self, on: date, weeks: int) -> list[float]:
        """Return days from *on* to the end of the last pick of its week and of the *weeks* after it.

        Where the days are not known: to the end of each Sunday.
        """
        left = 7 - on.weekday()
        if self.last_weekday is None:
            return [float(left + 7 * step) for step in range(weeks + 1)]
        to_last = self.last_weekday - on.weekday() + 1
        first = float(to_last)
        if to_last <= 0:
            first = NO_TIME_LEFT_DAYS if self.picked_this_week else float(left)
        return [first, *(float(to_last + 7 * step) for step in range(1, weeks + 1))]


def pick_days_of(past: BayPast, on: date) -> PickDays:
    """Return the days on which the planting was picked lately, by the picks written down up to *on*."""
    running = Week.of(on).monday
    last: dict[date, int] = {}
    this_week = False
    for pick in reversed(past.picks):
        if pick.picked_on >= running:
            this_week = True
            continue
        monday = Week.of(pick.picked_on).monday
        if monday not in last and len(last) == WEEKS_LOOKED_BACK:
            break
        last[monday] = max(last.get(monday, 0), pick.picked_on.weekday())
    if len(last) < FEWEST_WEEKS:
        return PickDays(None, this_week)
    weekdays = sorted(last.values())
    return PickDays(weekdays[(len(weekdays) - 1) // 2], this_week)
