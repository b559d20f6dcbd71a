"""ISO 8601 weeks, ``2026-W47``: Monday to Sunday, week 1 holds the year's first Thursday."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from bayround.facts.problems import Refused

_PATTERN = re.compile(r"^\s*([0-9]{4})-?W?([0-9]{1,2})\s*$", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True, order=True)
class Week:
    """One ISO week; sorts by time."""

    year: int
    number: int

    @classmethod
    def of(cls, day: date) -> Week:
        """Return the week that holds *day*."""
        return _week_of(day)

    @classmethod
    def parse(cls, text: str) -> Week:
        """Read ``2026-W47``.

        Raises:
            Refused: when the text is no week of the calendar.
        """
        found = _PATTERN.match(text)
        if found:
            try:
                date.fromisocalendar(int(found[1]), int(found[2]), 1)
                return cls(int(found[1]), int(found[2]))
            except ValueError:
                pass
        raise Refused(f"“{text}” is not a week.", to_do="Write it like 2026-W47.")

    @property
    def monday(self) -> date:
        """First day of the week."""
        return date.fromisocalendar(self.year, self.number, 1)

    @property
    def sunday(self) -> date:
        """Last day of the week."""
        return self.monday + timedelta(days=6)

    def plus(self, weeks: int) -> Week:
        """Return the week so many weeks later (earlier when negative)."""
        return Week.of(self.monday + timedelta(weeks=weeks))

    def __str__(self) -> str:
        return f"{self.year:04d}-W{self.number:02d}"


@lru_cache(maxsize=4096)
def _week_of(day: date) -> Week:
    year, number, _weekday = day.isocalendar()
    return Week(year, number)


def weeks_between(first: Week, last: Week) -> tuple[Week, ...]:
    """Return every week from *first* to *last*, both included."""
    count = (last.monday - first.monday).days // 7
    return tuple(first.plus(step) for step in range(count + 1))
