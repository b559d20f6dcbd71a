"""On which days the treatments of a bay may close anything: what lies on no such day needs no closer look."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta, tzinfo

from bayround.facts.moments import local_day, start_of_day
from bayround.facts.work import Treatment
from bayround.jobs.intervals import counts_from, pre_harvest_end, re_entry_end


class ClosedDays:
    """The treatments of one bay by the days they may touch, so that most picks and work need no closer look."""

    def __init__(self, treatments: Sequence[Treatment], zone: tzinfo | None = None) -> None:
        self._zone = zone
        self._spans = [(item, *_closed(item, zone)) for item in treatments]
        self._days: dict[date, list[int]] = {}
        self._ever: list[int] = []
        for place, (_item, closes, opens) in enumerate(self._spans):
            if opens is None:
                self._ever.append(place)
                continue
            for day in _days(local_day(closes, zone), local_day(opens, zone)):
                self._days.setdefault(day, []).append(place)

    def on(self, day: date, began: datetime | None = None) -> list[Treatment]:
        """Return the treatments that may touch a day, from a moment on it where that is known."""
        if day not in self._days and not self._ever:
            return []
        return self._kept({day}, began or start_of_day(day, self._zone), evening(day, self._zone))

    def within(self, since: datetime, until: datetime) -> list[Treatment]:
        """Return the treatments that may touch the time between two moments."""
        first, last = local_day(since, self._zone), local_day(until, self._zone)
        return self._kept(_days(first, last), since, until)

    def _kept(self, days: Iterable[date], since: datetime, until: datetime) -> list[Treatment]:
        places = {*self._ever, *(place for day in days for place in self._days.get(day, ()))}
        spans = (self._spans[place] for place in sorted(places))
        return [item for item, closes, opens in spans if closes <= until and (opens is None or since < opens)]


def _days(first: date, last: date) -> Iterable[date]:
    return (first + timedelta(days=step) for step in range((last - first).days + 1))


def evening(day: date, zone: tzinfo | None) -> datetime:
    """Return the last minute of a day."""
    return start_of_day(day + timedelta(days=1), zone) - timedelta(minutes=1)


def _closed(item: Treatment, zone: tzinfo | None) -> tuple[datetime, datetime | None]:
    """Return from when to when a treatment closes anything; an unknown interval has no end."""
    closes = counts_from(item, zone)
    if not item.biological and None in (item.re_entry_hours, item.pre_harvest_days):
        return closes, None
    ends = [end for end in (re_entry_end(item), pre_harvest_end(item, zone)) if end is not None]
    return closes, max(ends, default=closes)
