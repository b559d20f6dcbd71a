"""What happened after the day of a picture and keeps people out now: treatments, faults of houses."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bayround.facts.bay_past import BayPast, gather
from bayround.facts.moments import local_day
from bayround.facts.season import SeasonFacts
from bayround.facts.work import JobKind
from bayround.jobs import house_fault, inside, intervals, with_blocks
from bayround.jobs.job import in_order
from bayround.week import inside_words
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.words import _


def warnings(season: SeasonFacts, as_of: date, today: date) -> tuple[str, ...]:
    """Return in words what was applied or found between *as_of* and *today*; nothing when both are one day.

    Bays of one house with the same intervals stand in one sentence.
    """
    treated = {item.id for item in season.treatments if as_of < local_day(item.ended_at) <= today}
    bays = {link.bay_id for link in season.covered if link.treatment_id in treated}
    houses = {check.house_id for check in season.house_checks if as_of < check.checked_on <= today}
    if not bays and not houses:
        return ()
    alike: dict[tuple[str, str, str], list[str]] = {}
    faults: list[str] = []
    for past in gather(season, today):
        if past.bay.id in bays:
            state = intervals.clocks(past.treatments, today)
            clocks = intervals.enter_text(state, today), intervals.pick_text(state, today)
            alike.setdefault((past.house.name, *clocks), []).append(past.bay.name)
        if past.house.id in houses:
            faults += house_fault.warnings(past)
    found = [
        _("Treated since then: {house} · {bays}. Enter from: {enter}. Pick from: {pick}.").format(
            house=house, bays=", ".join(names), enter=enter, pick=pick
        )
        for (house, enter, pick), names in alike.items()
    ]
    return tuple(dict.fromkeys((*found, *faults)))


def up_to_today(snapshot: WeekSnapshot, season: SeasonFacts, today: date) -> WeekSnapshot:
    """Return the same week with intervals, house faults and what stops each job as of *today*: to work by."""
    now = {past.bay.id: past for past in gather(season, today)}
    then, told = inside.of_farm(season, snapshot.as_of), inside.of_farm(season, today)
    bays = tuple(
        _bay_today(seen, now[seen.bay.id], today, inside_words.of_bay(seen.past, then), told)
        if seen.bay.id in now
        else seen
        for seen in snapshot.bays
    )
    earlier = inside_words.of_farm([seen.past for seen in snapshot.bays], then)
    kept = tuple(one for one in snapshot.warnings if one not in earlier)
    return replace(
        snapshot,
        bays=bays,
        jobs=in_order([job for seen in bays for job in seen.jobs]),
        warnings=inside_words.of_farm(now.values(), told) + kept,
    )


def _bay_today(
    seen: BayWeek, past: BayPast, today: date, told_then: tuple[str, ...], told: inside_words.Told
) -> BayWeek:
    ended = (*house_fault.warnings(seen.past), *told_then)
    return replace(
        seen,
        as_of=today,
        jobs=with_blocks(seen.jobs, past, today),
        clocks=intervals.clocks(past.treatments, today),
        house_closed=house_fault.blocks(JobKind.ROUND, past.house_checks),
        warnings=house_fault.warnings(past)
        + inside_words.of_bay(past, told)
        + tuple(one for one in seen.warnings if one not in ended),
    )
