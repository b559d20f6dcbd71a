"""Re-entry and pre-harvest clocks of a bay. The later of several wins; unknown counts as not safe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bayround import words
from bayround.facts.moments import local_day
from bayround.facts.work import JobKind, Treatment
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Clocks:
    """When a bay may be entered and picked. *unknown* treatments block until somebody enters their interval."""

    re_entry_from: datetime | None
    earliest_pick: datetime | None
    unknown_re_entry: tuple[Treatment, ...] = ()
    unknown_pre_harvest: tuple[Treatment, ...] = ()


def clocks(treatments: Sequence[Treatment], as_of: date) -> Clocks:
    """Return the clocks that treatments up to *as_of* set; biological releases without interval set none."""
    counted = [item for item in treatments if local_day(item.ended_at) <= as_of]
    entries = [
        item.ended_at + timedelta(hours=item.re_entry_hours)
        for item in counted
        if item.re_entry_hours is not None
    ]
    picks = [
        item.ended_at + timedelta(days=item.pre_harvest_days)
        for item in counted
        if item.pre_harvest_days is not None
    ]
    asked = [item for item in counted if not item.biological]
    return Clocks(
        re_entry_from=max(entries, default=None),
        earliest_pick=max(picks, default=None),
        unknown_re_entry=tuple(item for item in asked if item.re_entry_hours is None),
        unknown_pre_harvest=tuple(item for item in asked if item.pre_harvest_days is None),
    )


def what_blocks(kind: JobKind, treatments: Sequence[Treatment], due_on: date, as_of: date) -> tuple[str, ...]:
    """Return in words what stands in the way of a job of this kind on its due day."""
    state = clocks(treatments, as_of)
    start_of_day = datetime.combine(max(due_on, as_of), time.min).astimezone()
    found = []
    if state.re_entry_from is not None and state.re_entry_from > start_of_day:
        found.append(
            _("no re-entry before {moment}").format(moment=words.moment(state.re_entry_from.astimezone()))
        )
    found += [_unknown(_("re-entry"), item) for item in state.unknown_re_entry]
    if kind is JobKind.PICK:
        if state.earliest_pick is not None and state.earliest_pick > start_of_day:
            found.append(
                _("no pick before {moment}").format(moment=words.moment(state.earliest_pick.astimezone()))
            )
        found += [_unknown(_("pre-harvest"), item) for item in state.unknown_pre_harvest]
    return tuple(found)


def _unknown(which: str, treatment: Treatment) -> str:
    return _(
        "{which} interval of {what} ({day}) not entered: look at the label; it counts as not safe"
    ).format(
        which=which,
        what=treatment.active_ingredient or treatment.product,
        day=words.day(local_day(treatment.ended_at)),
    )
