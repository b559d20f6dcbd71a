"""Who sat at the desk of a farm last, kept on this computer; ids of people are one of a kind over all farms."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress

from bayround import settings

_REMEMBERED = 12


def remember(person_id: str) -> None:
    """Keep who sits at the desk now."""
    others = [known for known in _known() if known != person_id]
    with suppress(OSError):  # a choice that can't be kept is no reason to stop
        settings.write(settings.AT_DESK, " ".join([person_id, *others][:_REMEMBERED]))


def last_of(people: Collection[str]) -> str | None:
    """Return who of these sat at the desk last; without one the scout of the round begun last; else nobody."""
    for known in (*_known(), str(settings.read(settings.LAST_SCOUT))):
        if known in people:
            return known
    return None


def _known() -> list[str]:
    return str(settings.read(settings.AT_DESK)).split()
