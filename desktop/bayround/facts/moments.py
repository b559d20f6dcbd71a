"""Instants are kept in UTC; days are the farm's own, by the computer's time zone."""

from __future__ import annotations

from datetime import date, datetime


def local_day(instant: datetime) -> date:
    """Return the local calendar day of an instant."""
    return instant.astimezone().date()
