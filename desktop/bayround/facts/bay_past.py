"""One bay's past, gathered from the facts: its planting, its visits in order, what was done to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Protocol, TypeVar

from bayround.facts.farm import Bay, House, MarkedPlant, Planting
from bayround.facts.kept import Forecast, HouseCheck
from bayround.facts.moments import local_day
from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, Reading, Visit, VisitState, WeedNote
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.weeks import Week
from bayround.facts.work import ClimateDay, JobEvent, JobKind, JobRecord, Pick, Treatment


@dataclass(frozen=True, slots=True)
class VisitRecord:
    """One visit with everything seen at it. Readings are keyed by marked plant."""

    visit: Visit
    readings: Mapping[str, Reading]
    checks: tuple[PestCheck, ...] = ()
    cards: tuple[CardCount, ...] = ()
    weeds: tuple[WeedNote, ...] = ()
    answers: tuple[DoubtAnswer, ...] = ()

    @property
    def day(self) -> date:
        """Day of the visit."""
        return self.visit.visited_on


@dataclass(frozen=True, slots=True)
class BayPast:
    """One bay with the planting that stands in it (or none) and all that is known up to a day.

    *visits* are in order of time and belong to this planting; *plants* are all its marked plants,
    ended ones included; *climate_days* and *house_checks* are those of its house, oldest first.
    *leads_house*: it is the first bay of its house in the walk, which carries the jobs of the house.
    """

    house: House
    bay: Bay
    planting: Planting | None
    plants: tuple[MarkedPlant, ...] = ()
    visits: tuple[VisitRecord, ...] = ()
    treatments: tuple[Treatment, ...] = ()
    picks: tuple[Pick, ...] = ()
    jobs: tuple[JobRecord, ...] = ()
    job_events: tuple[JobEvent, ...] = ()
    forecasts: tuple[Forecast, ...] = ()
    climate_days: tuple[ClimateDay, ...] = ()
    house_checks: tuple[HouseCheck, ...] = ()
    leads_house: bool = False

    @property
    def latest(self) -> VisitRecord | None:
        """Newest visit, if there was one."""
        return self.visits[-1] if self.visits else None

    @property
    def previous(self) -> VisitRecord | None:
        """The visit before the newest."""
        return self.visits[-2] if len(self.visits) > 1 else None

    def visit_in(self, week: Week) -> VisitRecord | None:
        """Newest visit of the given week."""
        found = [record for record in self.visits if Week.of(record.day) == week]
        return found[-1] if found else None

    def plants_on(self, day: date) -> tuple[MarkedPlant, ...]:
        """Marked plants that stand on *day*, in the order the scout walks (row, then position)."""
        standing = [
            plant
            for plant in self.plants
            if (plant.marked_on is None or plant.marked_on <= day)
            and (plant.ended_on is None or day < plant.ended_on)
        ]
        return tuple(sorted(standing, key=lambda plant: (plant.number, plant.row, plant.position)))


def gather(season: SeasonFacts, until: date, *, drafts: bool = False) -> tuple[BayPast, ...]:
    """Return the past of every bay in use on *until*, in walk order.

    Nothing after *until* is let in, so that an old week comes out as it was known then
    (but with later corrections). Draft visits are left out unless *drafts* is set.
    """
    standing = {planting.bay_id: planting for planting in season.plantings if planting.stands_on(until)}
    records = _visit_records(season, until, drafts)
    plants = _grouped(season.marked_plants, lambda plant: plant.planting_id)
    treated = {
        treatment.id: treatment for treatment in season.treatments if local_day(treatment.ended_at) <= until
    }
    treatments = defaultdict(list)
    for link in season.treatment_bays:
        if link.treatment_id in treated:
            treatments[link.bay_id].append(treated[link.treatment_id])
    picks = _grouped(
        (pick for pick in season.picks if pick.picked_on <= until), lambda pick: pick.planting_id
    )
    jobs = _grouped((job for job in season.jobs if job.raised_on <= until), lambda job: job.bay_id)
    events = _grouped(
        (step for step in season.job_events if step.happened_on <= until), lambda step: step.job_id
    )
    forecasts = _grouped(
        (said for said in season.forecasts if said.made_on <= until), lambda said: said.planting_id
    )
    climate = _climate(season, until)
    checks = _grouped(
        sorted(
            (one for one in season.house_checks if one.checked_on <= until),
            key=lambda one: (one.checked_on, one.id),
        ),
        lambda one: one.house_id,
    )
    led: set[str] = set()
    houses = {house.id: house for house in season.houses}
    pasts = []
    for bay in walk_order(season.houses, season.bays):
        if bay.retired_on is not None and bay.retired_on <= until:
            continue
        planting = standing.get(bay.id)
        bay_jobs = [
            job
            for job in jobs.get(bay.id, [])
            if (planting and job.raised_on >= planting.transplanted_on) or job.kind is JobKind.HOUSE
        ]
        pasts.append(
            BayPast(
                house=houses[bay.house_id],
                bay=bay,
                planting=planting,
                plants=tuple(plants.get(planting.id, ())) if planting else (),
                visits=tuple(records.get(planting.id, ())) if planting else (),
                treatments=tuple(
                    sorted(treatments.get(bay.id, ()), key=lambda item: (item.ended_at, item.id))
                ),
                picks=tuple(sorted(picks.get(planting.id, ()), key=lambda item: (item.picked_on, item.id)))
                if planting
                else (),
                jobs=tuple(bay_jobs),
                forecasts=tuple(forecasts.get(planting.id, ())) if planting else (),
                job_events=tuple(step for job in bay_jobs for step in events.get(job.id, ())),
                climate_days=climate.get(bay.house_id, ()),
                house_checks=tuple(checks.get(bay.house_id, ())),
                leads_house=bay.house_id not in led,
            )
        )
        led.add(bay.house_id)
    return tuple(pasts)


def _climate(season: SeasonFacts, until: date) -> dict[str, tuple[ClimateDay, ...]]:
    """Return house id → its days up to *until*, oldest first; the bays of a house share them."""
    kept = _grouped((day for day in season.climate_days if day.day <= until), lambda day: day.house_id)
    return {house_id: tuple(sorted(days, key=lambda one: one.day)) for house_id, days in kept.items()}


def _visit_records(season: SeasonFacts, until: date, drafts: bool) -> dict[str, list[VisitRecord]]:
    readings = _of_visit(season.readings)
    checks = _of_visit(season.pest_checks)
    cards = _of_visit(season.card_counts)
    weeds = _of_visit(season.weed_notes)
    answers = _of_visit(season.doubt_answers)
    found: dict[str, list[VisitRecord]] = defaultdict(list)
    for visit in sorted(season.visits, key=lambda item: (item.visited_on, item.id)):
        if visit.visited_on > until or (visit.state is VisitState.DRAFT and not drafts):
            continue
        found[visit.planting_id].append(
            VisitRecord(
                visit=visit,
                readings={reading.marked_plant_id: reading for reading in readings.get(visit.id, ())},
                checks=tuple(checks.get(visit.id, ())),
                cards=tuple(cards.get(visit.id, ())),
                weeds=tuple(weeds.get(visit.id, ())),
                answers=tuple(answers.get(visit.id, ())),
            )
        )
    return found


class _OfVisit(Protocol):
    @property
    def visit_id(self) -> str: ...


Seen = TypeVar("Seen", bound=_OfVisit)
Item = TypeVar("Item")


def _of_visit(items: Iterable[Seen]) -> dict[str, list[Seen]]:
    return _grouped(items, lambda item: item.visit_id)


def _grouped(items: Iterable[Item], key: _Key[Item]) -> dict[str, list[Item]]:
    groups: dict[str, list[Item]] = defaultdict(list)
    for item in items:
        groups[key(item)].append(item)
    return groups


ItemIn = TypeVar("ItemIn", contravariant=True)


class _Key(Protocol[ItemIn]):
    def __call__(self, item: ItemIn, /) -> str: ...
