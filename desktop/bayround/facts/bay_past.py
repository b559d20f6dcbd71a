"""One bay's past, gathered from the facts: its planting, its visits in order, what was done to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from bayround.facts import standing
from bayround.facts.farm import Bay, House, MarkedPlant, PlantChoice, Planting
from bayround.facts.grouping import grouped, of_visit
from bayround.facts.kept import Forecast, HouseCheck, StandCount
from bayround.facts.moments import local_day
from bayround.facts.rounds import PlantState, VisitState
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.visit_record import VisitRecord as VisitRecord
from bayround.facts.weeks import Week
from bayround.facts.work import ClimateDay, JobEvent, JobKind, JobRecord, Pick, Treatment


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
    choices: tuple[PlantChoice, ...] = ()
    stand_counts: tuple[StandCount, ...] = ()
    """Counts of the plants that stand, oldest first; *planting* holds the newest one as its number of plants."""
    planted: int = 0
    """How many plants the planting had before any count."""

    @property
    def aside(self) -> frozenset[str]:
        """The marked plants that are part of no mean."""
        return frozenset(one.marked_plant_id for one in self.choices if one.targeted)

    @property
    def latest(self) -> VisitRecord | None:
        """Newest visit, if there was one."""
        return self.visits[-1] if self.visits else None

    @property
    def previous(self) -> VisitRecord | None:
        """The visit before the newest."""
        return self.visits[-2] if len(self.visits) > 1 else None

    def standing_on(self, day: date) -> int:
        """How many plants stood on a day: as counted last by then, or as planted; 0 without a crop."""
        if self.planting is None:
            return 0
        if not self.stand_counts:
            return self.planting.plants
        counted = [one.plants for one in self.stand_counts if one.counted_on <= day]
        return counted[-1] if counted else self.planted or self.planting.plants

    def up_to(self, day: date) -> BayPast:
        """Return the same bay as it was known on *day*."""
        counts = tuple(one for one in self.stand_counts if one.counted_on <= day)
        return replace(
            self,
            planting=standing.as_counted(self.planting, self.planted, counts),
            stand_counts=counts,
            visits=tuple(one for one in self.visits if one.day <= day),
            picks=tuple(one for one in self.picks if one.picked_on <= day),
            treatments=tuple(one for one in self.treatments if local_day(one.known_from) <= day),
            forecasts=tuple(one for one in self.forecasts if one.made_on <= day),
            climate_days=tuple(one for one in self.climate_days if one.day <= day),
            house_checks=tuple(one for one in self.house_checks if one.checked_on <= day),
        )

    def visit_in(self, week: Week) -> VisitRecord | None:
        """Newest visit of the given week."""
        return next((record for record in reversed(self.visits) if Week.of(record.day) == week), None)

    def plants_on(self, day: date) -> tuple[MarkedPlant, ...]:
        """Marked plants that stand on *day*, as numbered; one found dead at an earlier visit does not."""
        dead = {
            plant_id
            for record in self.visits
            if record.day < day
            for plant_id, reading in record.readings.items()
            if reading.state is PlantState.DEAD
        }
        standing = [
            plant
            for plant in self.plants
            if plant.id not in dead
            and (plant.marked_on is None or plant.marked_on <= day)
            and (plant.ended_on is None or day < plant.ended_on)
        ]
        return tuple(sorted(standing, key=lambda plant: (plant.number, plant.row, plant.position)))


def gather(
    season: SeasonFacts, until: date, *, drafts: bool = False, whole_week: bool = False
) -> tuple[BayPast, ...]:
    """Return the past of every bay in use on *until*, in walk order.

    Nothing after *until* is let in, so that an old week comes out as it was known then
    (but with later corrections). Draft visits are left out unless *drafts* is set. With *whole_week*
    a crop removed earlier in the week of *until* still counts where no new one stands.
    """
    known = _sorted_out(season, until, drafts, whole_week)
    led: set[str] = set()
    pasts = []
    for bay in walk_order(season.houses, season.bays):
        if bay.retired_on is None or bay.retired_on > until:
            pasts.append(_past_of(bay, known, leads_house=bay.house_id not in led))
            led.add(bay.house_id)
    return tuple(pasts)


@dataclass(frozen=True, slots=True)
class _SortedOut:
    """A season's facts up to a day, by what they belong to, each group in order of time."""

    houses: Mapping[str, House]
    standing: Mapping[str, Planting]
    visits: Mapping[str, list[VisitRecord]]
    plants: Mapping[str, list[MarkedPlant]]
    treatments: Mapping[str, list[Treatment]]
    picks: Mapping[str, list[Pick]]
    jobs: Mapping[str, list[JobRecord]]
    events: Mapping[str, list[JobEvent]]
    forecasts: Mapping[str, list[Forecast]]
    climate: Mapping[str, tuple[ClimateDay, ...]]
    house_checks: Mapping[str, list[HouseCheck]]
    choices: Mapping[str, list[PlantChoice]]
    stand_counts: Mapping[str, list[StandCount]]


def _standing(season: SeasonFacts, until: date, whole_week: bool) -> dict[str, Planting]:
    """Return bay id → the planting that stands on *until* (or, for a week, stood on a day of it).

    A crop that went out on a Monday counts in that week where it was picked a last time on that day.
    """
    monday = Week.of(until).monday
    on_monday = {pick.planting_id for pick in season.picks if pick.picked_on == monday} if whole_week else ()
    found: dict[str, Planting] = {}
    for one in sorted(season.plantings, key=lambda item: (item.transplanted_on, item.id)):
        if one.stands_on(until) or (
            whole_week
            and one.removed_on is not None
            and monday <= one.removed_on <= until
            and (one.removed_on > monday or one.id in on_monday)
        ):
            found[one.bay_id] = one
    return found


def _sorted_out(season: SeasonFacts, until: date, drafts: bool, whole_week: bool) -> _SortedOut:
    picks = sorted(
        (one for one in season.picks if one.picked_on <= until), key=lambda one: (one.picked_on, one.id)
    )
    checks = sorted(
        (one for one in season.house_checks if one.checked_on <= until),
        key=lambda one: (one.checked_on, one.id),
    )
    return _SortedOut(
        houses={house.id: house for house in season.houses},
        standing=_standing(season, until, whole_week),
        visits=_visit_records(season, until, drafts),
        plants=grouped(season.marked_plants, lambda one: one.planting_id),
        treatments=_treatments(season, until),
        picks=grouped(picks, lambda one: one.planting_id),
        jobs=grouped((one for one in season.jobs if one.raised_on <= until), lambda one: one.bay_id),
        events=grouped(
            (one for one in season.job_events if one.happened_on <= until), lambda one: one.job_id
        ),
        forecasts=grouped(
            (one for one in season.forecasts if one.made_on <= until), lambda one: one.planting_id
        ),
        climate=_climate(season, until),
        house_checks=grouped(checks, lambda one: one.house_id),
        choices=grouped(season.plant_choices, lambda one: one.marked_plant_id),
        stand_counts=grouped(standing.up_to(season.stand_counts, until), lambda one: one.planting_id),
    )


def _past_of(bay: Bay, known: _SortedOut, *, leads_house: bool) -> BayPast:
    planting = known.standing.get(bay.id)
    planting_id = planting.id if planting else ""
    jobs = [
        job
        for job in known.jobs.get(bay.id, ())
        if (planting and job.raised_on >= planting.transplanted_on) or job.kind is JobKind.HOUSE
    ]
    plants = tuple(known.plants.get(planting_id, ()))
    counts = tuple(known.stand_counts.get(planting_id, ()))
    return BayPast(
        house=known.houses[bay.house_id],
        bay=bay,
        planting=standing.as_counted(planting, planting.plants if planting else 0, counts),
        planted=planting.plants if planting else 0,
        stand_counts=counts,
        plants=plants,
        visits=tuple(known.visits.get(planting_id, ())),
        treatments=tuple(known.treatments.get(bay.id, ())),
        picks=tuple(known.picks.get(planting_id, ())),
        jobs=tuple(jobs),
        forecasts=tuple(known.forecasts.get(planting_id, ())),
        job_events=tuple(step for job in jobs for step in known.events.get(job.id, ())),
        climate_days=known.climate.get(bay.house_id, ()),
        house_checks=tuple(known.house_checks.get(bay.house_id, ())),
        leads_house=leads_house,
        choices=tuple(choice for plant in plants for choice in known.choices.get(plant.id, ())),
    )


def _treatments(season: SeasonFacts, until: date) -> dict[str, list[Treatment]]:
    """Return bay id → the treatments that covered it up to *until*, oldest first."""
    done = {one.id: one for one in season.treatments if local_day(one.known_from) <= until}
    found: dict[str, list[Treatment]] = defaultdict(list)
    for link in season.covered:
        if link.treatment_id in done:
            found[link.bay_id].append(done[link.treatment_id])
    return {bay_id: sorted(items, key=lambda one: (one.ended_at, one.id)) for bay_id, items in found.items()}


def _climate(season: SeasonFacts, until: date) -> dict[str, tuple[ClimateDay, ...]]:
    """Return house id → its days up to *until*, oldest first; the bays of a house share them."""
    kept = grouped((day for day in season.climate_days if day.day <= until), lambda day: day.house_id)
    return {house_id: tuple(sorted(days, key=lambda one: one.day)) for house_id, days in kept.items()}


def _visit_records(season: SeasonFacts, until: date, drafts: bool) -> dict[str, list[VisitRecord]]:
    readings = of_visit(season.readings)
    checks = of_visit(season.pest_checks)
    cards = of_visit(season.card_counts)
    weeds = of_visit(season.weed_notes)
    answers = of_visit(season.doubt_answers)
    aside = frozenset(one.marked_plant_id for one in season.plant_choices if one.targeted)
    found: dict[str, list[VisitRecord]] = defaultdict(list)
    for visit in sorted(season.visits, key=lambda item: (item.visited_on, item.id)):
        if visit.visited_on > until or (visit.state is VisitState.DRAFT and not drafts):
            continue
        record = VisitRecord(
            visit=visit,
            readings={reading.marked_plant_id: reading for reading in readings.get(visit.id, ())},
            checks=tuple(checks.get(visit.id, ())),
            cards=tuple(cards.get(visit.id, ())),
            weeds=tuple(weeds.get(visit.id, ())),
            answers=tuple(answers.get(visit.id, ())),
            aside=aside,
        )
        if record.holds_anything or visit.state is VisitState.DRAFT:
            found[visit.planting_id].append(record)
    return found
