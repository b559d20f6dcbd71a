"""One planting's season, added up from the facts: picks, jobs, treatments, hours; nothing is judged here."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bayround.facts.farm import Bay, House, Planting
from bayround.facts.moments import local_day
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Pick


@dataclass(frozen=True, slots=True)
class PlantingSeason:
    """A planting up to *last_day*. *late* jobs were done after their day or are open past it.

    *hours* are (day, hours) of jobs ticked off with their hours; ticked twice, a job counts once.
    """

    house: House
    bay: Bay
    planting: Planting
    last_day: date
    picks: tuple[Pick, ...]
    treatments: int
    jobs: int
    late: int
    hours: tuple[tuple[date, float], ...]

    @property
    def kg(self) -> float:
        """Kilograms picked."""
        return sum(pick.kg for pick in self.picks)

    @property
    def fruit(self) -> int | None:
        """Fruit picked; nothing when they were not counted at every pick."""
        counted = [pick.fruit for pick in self.picks]
        known = [number for number in counted if number is not None]
        return sum(known) if known and len(known) == len(counted) else None

    @property
    def kg_by_grade(self) -> Mapping[str, float]:
        """Grade → kilograms."""
        found: dict[str, float] = defaultdict(float)
        for pick in self.picks:
            found[pick.grade] += pick.kg
        return found

    @property
    def days_to_first_pick(self) -> int | None:
        """Days from transplanting to the first pick."""
        days = [pick.picked_on for pick in self.picks if pick.kg > 0]
        return (min(days) - self.planting.transplanted_on).days if days else None

    @property
    def pick_days(self) -> int:
        """Days on which something was picked."""
        return len({pick.picked_on for pick in self.picks if pick.kg > 0})

    @property
    def days_to_half(self) -> int | None:
        """Days from transplanting until half of the kilograms written down were picked."""
        picked, half = 0.0, self.kg / 2
        for pick in self.picks:
            picked += pick.kg
            if picked >= half > 0:
                return (pick.picked_on - self.planting.transplanted_on).days
        return None


def plantings(
    season: SeasonFacts, until: date, ages: Mapping[str, int] | None = None
) -> tuple[PlantingSeason, ...]:
    """Return every planting that stood by *until*, in walk order, then by transplanting.

    With *ages* (crop → days after transplanting) each is seen as it stood at that age: picks, jobs, hours
    and treatments after it are left out, and a job done later still counts as open.
    """
    order = {bay.id: place for place, bay in enumerate(walk_order(season.houses, season.bays))}
    bays, houses = {bay.id: bay for bay in season.bays}, {house.id: house for house in season.houses}
    steps: dict[str, list[JobEvent]] = defaultdict(list)
    for step in season.job_events:
        steps[step.job_id].append(step)
    picks: dict[str, list[Pick]] = defaultdict(list)
    for pick in season.picks:
        picks[pick.planting_id].append(pick)
    stood = [one for one in season.plantings if one.transplanted_on <= until]
    found = []
    for planting in sorted(stood, key=lambda one: (order[one.bay_id], one.transplanted_on, one.id)):
        age = (ages or {}).get(planting.crop)
        end = until if age is None else min(until, planting.transplanted_on + timedelta(days=age))
        last = min(end, planting.removed_on or end)
        bay = bays[planting.bay_id]
        jobs, late, hours = _jobs(season, planting, last, end, steps)
        own = [pick for pick in picks[planting.id] if pick.picked_on <= end]
        found.append(
            PlantingSeason(
                house=houses[bay.house_id],
                bay=bay,
                planting=planting,
                last_day=last,
                picks=tuple(sorted(own, key=lambda one: (one.picked_on, one.id))),
                treatments=_treatments(season, planting, last),
                jobs=jobs,
                late=late,
                hours=hours,
            )
        )
    return tuple(found)


def _belongs(season: SeasonFacts, planting: Planting, day: date, last: date) -> bool:
    """Tell whether what happened on a day belongs to a planting; the day of a change is the new crop's."""
    if not planting.transplanted_on <= day <= last:
        return False
    return day != planting.removed_on or not any(
        other.bay_id == planting.bay_id and other.transplanted_on == day and other.id != planting.id
        for other in season.plantings
    )


def _treatments(season: SeasonFacts, planting: Planting, last: date) -> int:
    covered = {link.treatment_id for link in season.covered if link.bay_id == planting.bay_id}
    return sum(
        one.id in covered and _belongs(season, planting, local_day(one.ended_at), last)
        for one in season.treatments
    )


def _jobs(
    season: SeasonFacts, planting: Planting, last: date, end: date, steps: Mapping[str, Sequence[JobEvent]]
) -> tuple[int, int, tuple[tuple[date, float], ...]]:
    """Return how many jobs there were, how many of them were late, and the hours they took.

    Records of one need (kind, target, day raised) that two laptops made are one job.
    """
    needs: dict[tuple[JobKind, str, date], list[JobRecord]] = defaultdict(list)
    for job in season.jobs:
        if job.bay_id == planting.bay_id and _belongs(season, planting, job.raised_on, last):
            needs[job.kind, job.target, job.raised_on].append(job)
    late = 0
    hours: list[tuple[date, float]] = []
    for records in needs.values():
        own = [step for job in records for step in steps.get(job.id, ()) if step.happened_on <= end]
        own.sort(key=lambda step: (step.recorded_at, step.id))
        hours += _hours(own)
        due_on = min(job.due_on for job in records)
        done = [step.happened_on for step in own if step.step is JobStep.DONE]
        skipped = any(step.step is JobStep.SKIPPED for step in own)
        if done:
            late += done[0] > due_on
        elif not skipped:
            late += due_on < last
    return len(needs), late, tuple(hours)


def _hours(own: Sequence[JobEvent]) -> list[tuple[date, float]]:
    """Return (day, hours) of each time a job was done; ticked off again without a new start, the last one counts."""
    found: list[tuple[date, float]] = []
    is_done = False
    for step in own:
        if step.step in {JobStep.STARTED, JobStep.REOPENED}:
            is_done = False
        if step.step is JobStep.DONE and step.hours:
            if is_done and found:
                found.pop()
            found.append((step.happened_on, step.hours))
        is_done = is_done or (step.step is JobStep.DONE and bool(step.hours))
    return found
