"""Instants are kept in UTC; days are the farm's own, by the computer's time zone.

*zone* is only handed in by tests and by whoever looks at a farm from elsewhere.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo


def local_day(instant: datetime, zone: tzinfo | None = None) -> date:
    """Return the local calendar day of an instant."""
    return instant.astimezone(zone).date()


def instant_of(day: date, at: time, zone: tzinfo | None = None) -> datetime:
    """Return the instant (UTC) at which clocks showed *at* on *day*.

    Where they showed it twice, or never, because they were changed: the later of the two readings.
    """
    return max(_readings(day, at, zone))


def earlier_instant_of(day: date, at: time, zone: tzinfo | None = None) -> datetime:
    """Return the instant (UTC) as `instant_of`, but the earlier of two readings."""
    return min(_readings(day, at, zone))


def _readings(day: date, at: time, zone: tzinfo | None) -> tuple[datetime, datetime]:
    naive = datetime.combine(day, at.replace(tzinfo=None))
    first, second = (
        (reading if zone is None else reading.replace(tzinfo=zone)).astimezone(UTC)
        for reading in (naive.replace(fold=0), naive.replace(fold=1))
    )
    return first, second


def start_of_day(day: date, zone: tzinfo | None = None) -> datetime:
    """Return the instant (UTC) at which a local day begins: midnight, or the first moment after it."""
    naive = datetime.combine(day, time.min)
    return (naive if zone is None else naive.replace(tzinfo=zone)).astimezone(UTC)


def days_later(instant: datetime, days: float, zone: tzinfo | None = None) -> datetime:
    """Return the instant *days* after another one: as many times 24 hours, and not before clocks show the same time.

    The two differ by an hour when clocks are changed in between; the later one counts.
    """
    elapsed = instant.astimezone(UTC) + timedelta(days=days)
    shown = instant.astimezone(zone).replace(tzinfo=None) + timedelta(days=days)
    return max(elapsed, instant_of(shown.date(), shown.time(), zone))


def whole_minute(instant: datetime) -> datetime:
    """Return the first whole minute at or after an instant."""
    down = instant.replace(second=0, microsecond=0)
    return down if down == instant else down + timedelta(minutes=1)
