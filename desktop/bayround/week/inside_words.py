"""What was picked or worked inside an interval, in the words of a week: bay by bay, and of the farm as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.jobs.inside import Inside
from bayround.words import _

Told = Mapping[str, tuple[Inside, ...]]
"""Bay id → what lies inside an interval there (`jobs.inside.of_farm`)."""


def of_bay(past: BayPast, told: Told) -> tuple[str, ...]:
    """Return all that is not explained, and what was said of the rest since this crop stands."""
    since = past.planting.transplanted_on if past.planting else None
    return tuple(
        one.text
        for one in told.get(past.bay.id, ())
        if one.unexplained or (since is not None and one.day >= since)
    )


def of_farm(pasts: Iterable[BayPast], told: Told) -> tuple[str, ...]:
    """Return one sentence that names the bays with something that is not explained; nothing where there is none."""
    unsafe = [
        f"{past.house.name} · {past.bay.name}"
        for past in pasts
        if any(one.unexplained for one in told.get(past.bay.id, ()))
    ]
    if not unsafe:
        return ()
    text = _(
        "Picked or worked inside an interval and not explained: {bays}. The label and local rules decide."
    )
    return (text.format(bays=words.listing(unsafe)),)
