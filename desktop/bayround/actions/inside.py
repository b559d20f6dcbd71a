"""What lies inside an interval and is not explained: list it, say it after a treatment, keep an explanation.

The product label, local rules and licensed or competent people decide what becomes of such fruit or work.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.actions import explaining
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.work import Explanation
from bayround.jobs.inside import Inside, of_farm
from bayround.records import read_work, write_setup
from bayround.words import _, counted

__all__ = ["Found", "Inside", "Look", "explain", "look", "planned_inside", "read", "told"]


@dataclass(frozen=True, slots=True)
class Found:
    """One thing inside an interval and the bay it belongs to, by name."""

    bay_name: str
    inside: Inside

    @property
    def line(self) -> str:
        """All of it in one line."""
        return f"{self.bay_name}: {self.inside.text}"


def read(farm: OpenFarm, *, explained: bool = False) -> tuple[Found, ...]:
    """Return what lies inside an interval and is not explained, in walk order; with *explained* all of it."""
    return found_in(read_work.read_what_was_done(farm.store), explained=explained)


def found_in(season: SeasonFacts, *, explained: bool = False) -> tuple[Found, ...]:
    """Like `read`, from facts that were read already."""
    houses = {house.id: house.name for house in season.houses}
    told_of = of_farm(season)
    return tuple(
        Found(f"{houses[bay.house_id]} · {bay.name}", one)
        for bay in walk_order(season.houses, season.bays)
        for one in told_of.get(bay.id, ())
        if explained or one.unexplained
    )


def told(found: Sequence[Found], most: int = 8) -> tuple[str, ...]:
    """Return in words what has to be explained or put right; nothing where there is nothing."""
    if not found:
        return ()
    head = counted(
        "{n} record lies inside an interval and is not explained:",
        "{n} records lie inside an interval and are not explained:",
        len(found),
    )
    more = len(found) - most
    rest = [_("and {n} more.").format(n=more)] if more > 0 else []
    return (head, *(one.line for one in found[:most]), *rest)


def planned_inside(farm: OpenFarm, treatment_id: str, today: date) -> tuple[str, ...]:
    """Return in words the jobs that are due in the bays of a treatment and now stopped by an interval."""
    from bayround.actions import week

    covered = {link.bay_id for link in read_work.read_covered(farm.store, treatment_id) if not link.taken_out}
    try:
        snapshot = week.work(farm, None, today)
    except Refused:
        return ()  # no round yet, so nothing is due
    return tuple(
        _("{bay}: {kind}, due {day}, is stopped: {why}").format(
            bay=job.bay_name, kind=job.kind_text, day=words.day(job.due_on), why=job.blocked_text
        )
        for job in snapshot.jobs
        if job.bay_id in covered and job.blocked_by and job.state.value not in {"done", "skipped"}
    )


def explain(farm: OpenFarm, found: Iterable[Inside], said: str, moment: Moment) -> tuple[Explanation, ...]:
    """Keep why something lies inside an interval; it is told with it from then on and never taken away.

    Raises:
        Refused: without words, or where there is nothing left to explain.
    """
    if not said.strip():
        raise Refused(_("An explanation needs a few words."), _("Nothing was written down."))
    rows = [
        row
        for one in found
        for row in explaining.rows(one, one.unexplained, said, moment.now, moment.person_id)
    ]
    if not rows:
        raise Refused(_("There is nothing left to explain."), _("Nothing was written down."))
    write_setup.add(farm.store, *rows)
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class Look:
    """What was found at one look, and what tells at the next what to look at again.

    *treatments*: those that are kept and what their intervals follow from; *counts*: how much there was of
    everything, *corrections* of it, and *by_bay* bay by bay.
    """

    found: tuple[Found, ...]
    treatments: frozenset[str]
    counts: tuple[int, ...]
    corrections: tuple[int, int]
    by_bay: Mapping[str, tuple[int, ...]]


def look(farm: OpenFarm, before: Look | None = None) -> Look:
    """Return what lies inside an interval and is not explained; *before* itself where nothing of it changed since.

    Only the bays in which something was added since *before* are read again; all of them after a correction or a merge.
    """
    counts = read_work.count_what_was_done(farm.store)
    corrections = read_work.count_corrections(farm.store)
    if before is not None and (counts, corrections) == (before.counts, before.corrections):
        return before
    by_bay = read_work.count_by_bay(farm.store)
    changed: set[str] | None = None
    if before is not None and corrections == before.corrections:
        bays = by_bay.keys() | before.by_bay.keys()
        changed = {bay for bay in bays if by_bay.get(bay) != before.by_bay.get(bay)}
    season = read_work.read_what_was_done(farm.store, changed)
    treatments = frozenset(item.id + item.known_as for item in season.treatments)
    found = found_in(season)
    if before is not None and changed is not None:
        order = {bay.id: place for place, bay in enumerate(walk_order(season.houses, season.bays))}
        kept = (one for one in before.found if one.inside.bay_id not in changed)
        found = tuple(sorted((*kept, *found), key=lambda one: order[one.inside.bay_id]))
    return Look(found, treatments, counts, corrections, by_bay)
