"""One planting's season, added up from the facts: picks, jobs, treatments, hours; nothing is judged here."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from bayround.facts.farm import Bay, House, Planting
from bayround.facts.moments import local_day
from bayround.facts.rounds import VisitState
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.work import JobEvent, JobStep, Pick


@dataclass(frozen=True, slots=True)
class PlantingSeason:
    """A planting up to a day. *late* jobs were done after their day or are open past it.

    *hours* are (day, hours) of jobs ticked off with their hours.
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
    visits: int

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
    def is_over(self) -> bool:
        """The crop was removed."""
        return self.planting.removed_on is not None and self.planting.removed_on <= self.last_day


def plantings(season: SeasonFacts, until: date) -> tuple[PlantingSeason, ...]:
    """Return every planting that stood by *until*, in walk order, then by transplanting."""
    order = {bay.id: place for place, bay in enumerate(walk_order(season.houses, season.bays))}
    bays, houses = {bay.id: bay for bay in season.bays}, {house.id: house for house in season.houses}
    steps: dict[str, list[JobEvent]] = defaultdict(list)
    for step in season.job_events:
        if step.happened_on <= until:
            steps[step.job_id].append(step)
    picks: dict[str, list[Pick]] = defaultdict(list)
    for pick in season.picks:
        if pick.picked_on <= until:
            picks[pick.planting_id].append(pick)
    stood = [one for one in season.plantings if one.transplanted_on <= until]
    found = []
    for planting in sorted(stood, key=lambda one: (order[one.bay_id], one.transplanted_on, one.id)):
        last = min(until, planting.removed_on or until)
        bay = bays[planting.bay_id]
        jobs, late, hours = _jobs(season, planting, last, steps)
        found.append(
            PlantingSeason(
                house=houses[bay.house_id],
                bay=bay,
                planting=planting,
                last_day=last,
                picks=tuple(sorted(picks[planting.id], key=lambda one: (one.picked_on, one.id))),
                treatments=_treatments(season, planting, last),
                jobs=jobs,
                late=late,
                hours=hours,
                visits=sum(
                    visit.planting_id == planting.id
                    and visit.state is VisitState.DONE
                    and visit.visited_on <= last
                    for visit in season.visits
                ),
            )
        )
    return tuple(found)


def _treatments(season: SeasonFacts, planting: Planting, last: date) -> int:
    covered = {link.treatment_id for link in season.covered if link.bay_id == planting.bay_id}
    return sum(
        one.id in covered and planting.transplanted_on <= local_day(one.ended_at) <= last
        for one in season.treatments
    )


def _jobs(
    season: SeasonFacts, planting: Planting, last: date, steps: Mapping[str, Sequence[JobEvent]]
) -> tuple[int, int, tuple[tuple[date, float], ...]]:
    """Return how many jobs there were, how many of them were late, and the hours they took."""
    count, late = 0, 0
    hours: list[tuple[date, float]] = []
    for job in season.jobs:
        if job.bay_id != planting.bay_id or not planting.transplanted_on <= job.raised_on <= last:
            continue
        count += 1
        own = sorted(steps.get(job.id, ()), key=lambda step: (step.recorded_at, step.id))
        hours += [(step.happened_on, step.hours) for step in own if step.hours]
        done = [step.happened_on for step in own if step.step is JobStep.DONE]
        skipped = any(step.step is JobStep.SKIPPED for step in own)
        if done:
            late += done[0] > job.due_on
        elif not skipped:
            late += job.due_on < last
    return count, late, tuple(hours)
