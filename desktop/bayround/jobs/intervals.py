"""Re-entry and pre-harvest clocks of a bay, to the minute. The later of several wins; unknown counts as not safe.

A treatment counts from its start; where nobody wrote that down, from the start of the day on which it ended.
Hours are hours gone by; days are 24 hours each and never less than the same time of day by the clock on the wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from bayround import words
from bayround.facts.moments import days_later, local_day, start_of_day, whole_minute
from bayround.facts.work import JobKind, Treatment
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Clocks:
    """When a bay may be entered and picked. *unknown* treatments block until somebody enters their interval."""

    re_entry_from: datetime | None = None
    earliest_pick: datetime | None = None
    unknown_re_entry: tuple[Treatment, ...] = ()
    unknown_pre_harvest: tuple[Treatment, ...] = ()

    @property
    def pick_from(self) -> datetime | None:
        """The later of both clocks: who picks has to enter too."""
        return max((one for one in (self.re_entry_from, self.earliest_pick) if one is not None), default=None)


NO_CLOCKS = Clocks()
"""A bay without treatments."""


def re_entry_end(treatment: Treatment) -> datetime | None:
    """Return the minute from which a treatment lets people in; nothing where its interval is unknown.

    A release of living organisms with an interval of nothing closes nothing: people make it by hand.
    """
    if treatment.re_entry_hours is None or (treatment.biological and treatment.re_entry_hours == 0):
        return None
    return whole_minute(treatment.ended_at + timedelta(hours=treatment.re_entry_hours))


def pre_harvest_end(treatment: Treatment, zone: tzinfo | None = None) -> datetime | None:
    """Return the minute from which a treatment lets fruit be picked; nothing as in `re_entry_end`."""
    if treatment.pre_harvest_days is None or (treatment.biological and treatment.pre_harvest_days == 0):
        return None
    return whole_minute(days_later(treatment.ended_at, treatment.pre_harvest_days, zone))


def clocks(treatments: Sequence[Treatment], as_of: date, zone: tzinfo | None = None) -> Clocks:
    """Return the clocks that treatments up to *as_of* set; biological releases without interval set none."""
    return _clocks([item for item in treatments if local_day(item.known_from, zone) <= as_of], zone)


def counts_from(treatment: Treatment, zone: tzinfo | None = None) -> datetime:
    """Return the moment from which a treatment closes its bays."""
    return treatment.started_at or start_of_day(local_day(treatment.ended_at, zone), zone)


def _clocks(counted: Sequence[Treatment], zone: tzinfo | None) -> Clocks:
    entries = [end for item in counted if (end := re_entry_end(item)) is not None]
    picks = [end for item in counted if (end := pre_harvest_end(item, zone)) is not None]
    asked = [item for item in counted if not item.biological]
    return Clocks(
        re_entry_from=max(entries, default=None),
        earliest_pick=max(picks, default=None),
        unknown_re_entry=tuple(item for item in asked if item.re_entry_hours is None),
        unknown_pre_harvest=tuple(item for item in asked if item.pre_harvest_days is None),
    )


def stops(
    kind: JobKind,
    treatments: Sequence[Treatment],
    at: datetime,
    zone: tzinfo | None = None,
    *,
    since: datetime | None = None,
) -> tuple[str, ...]:
    """Return in words what stands in the way of work of this kind at one moment, or at any from *since* to it."""
    state = _clocks([item for item in treatments if counts_from(item, zone) <= at], zone)
    began = at if since is None else min(since, at)
    found = []
    if state.re_entry_from is not None and state.re_entry_from > began:
        found.append(_("no re-entry before {moment}").format(moment=moment_text(state.re_entry_from, zone)))
    found += [_unknown(_("re-entry"), item, zone) for item in state.unknown_re_entry]
    if kind is JobKind.PICK:
        if state.earliest_pick is not None and state.earliest_pick > began:
            found.append(_("no pick before {moment}").format(moment=moment_text(state.earliest_pick, zone)))
        found += [_unknown(_("pre-harvest"), item, zone) for item in state.unknown_pre_harvest]
    return tuple(found)


def what_blocks(
    kind: JobKind, treatments: Sequence[Treatment], as_of: date, zone: tzinfo | None = None
) -> tuple[str, ...]:
    """Return in words what stands in the way of a job on *as_of*, at any moment of that day.

    A job due later is named too while the interval runs: somebody may want to do it early.
    """
    last = start_of_day(as_of + timedelta(days=1), zone) - timedelta(minutes=1)
    return stops(kind, treatments, last, zone, since=start_of_day(as_of, zone))


def began_after(treatments: Sequence[Treatment], at: datetime, zone: tzinfo | None = None) -> tuple[str, ...]:
    """Return in words the treatments that are known to have begun later on the day of a moment."""
    later = [
        item.started_at
        for item in treatments
        if item.started_at is not None and item.started_at > at
        and local_day(item.started_at, zone) == local_day(at, zone)
    ]  # fmt: skip
    return tuple(
        _("a treatment began at {moment}").format(moment=moment_text(one, zone)) for one in sorted(later)
    )


def enter_text(state: Clocks, as_of: date, zone: tzinfo | None = None) -> str:
    """Return from when a bay may be entered, as a column shows it; it never says that it is safe."""
    return _clock_text(state.re_entry_from, bool(state.unknown_re_entry), as_of, zone)


def pick_text(state: Clocks, as_of: date, zone: tzinfo | None = None) -> str:
    """Return from when a bay may be picked, as a column shows it; it never says that it is safe."""
    unknown = bool(state.unknown_re_entry or state.unknown_pre_harvest)
    return _clock_text(state.pick_from, unknown, as_of, zone)


def moment_text(instant: datetime, zone: tzinfo | None = None) -> str:
    """Return an instant by the clock on the wall; where clocks show it twice, the offset stands with it."""
    local = instant.astimezone(zone)
    text = words.moment(local)
    other = instant + timedelta(hours=1), instant - timedelta(hours=1)
    twice = any(words.moment(one.astimezone(zone)) == text for one in other)
    return f"{text} (UTC{local:%z})" if twice else text


def _clock_text(end: datetime | None, unknown: bool, as_of: date, zone: tzinfo | None) -> str:
    if unknown:
        return _("not known: look at the label")
    if end is not None and end > start_of_day(as_of, zone):
        return moment_text(end, zone)
    return _("no interval runs")


def _unknown(which: str, treatment: Treatment, zone: tzinfo | None) -> str:
    return _(
        "{which} interval of {what} ({day}) not entered: look at the label; it counts as not safe"
    ).format(
        which=which,
        what=treatment.active_ingredient or treatment.product,
        day=words.day(local_day(treatment.ended_at, zone)),
    )
