"""What happened after the week that is shown and keeps people out now: treatments, faults of houses."""

from __future__ import annotations

from datetime import date

from bayround.facts.bay_past import gather
from bayround.facts.moments import local_day
from bayround.facts.season import SeasonFacts
from bayround.jobs import house_fault, intervals
from bayround.words import _


def warnings(season: SeasonFacts, as_of: date, today: date) -> tuple[str, ...]:
    """Return in words what was applied or found between *as_of* and *today*; nothing when both are one day."""
    treated = {item.id for item in season.treatments if as_of < local_day(item.ended_at) <= today}
    bays = {link.bay_id for link in season.treatment_bays if link.treatment_id in treated}
    houses = {check.house_id for check in season.house_checks if as_of < check.checked_on <= today}
    if not bays and not houses:
        return ()
    found: list[str] = []
    for past in gather(season, today):
        if past.bay.id in bays:
            state = intervals.clocks(past.treatments, today)
            found.append(
                _("Since then {house} · {bay} was treated. Enter from: {enter}. Pick from: {pick}.").format(
                    house=past.house.name,
                    bay=past.bay.name,
                    enter=intervals.enter_text(state, today),
                    pick=intervals.pick_text(state, today),
                )
            )
        if past.house.id in houses:
            found += house_fault.warnings(past)
    return tuple(dict.fromkeys(found))
