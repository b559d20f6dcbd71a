"""The sample season seen bay by bay, worked out from the facts alone (no figure of the program is used)."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from statistics import fmean
from typing import Any

from bayround import places
from bayround.facts.farm import Bay, House, MarkedPlant, Planting
from bayround.facts.rounds import PestCheck, PlantState, Reading, Visit, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week, weeks_between
from bayround.facts.work import JobEvent, Pick, Treatment

FIRST, LAST = Week(2026, 28), Week(2026, 47)
WEEKS = weeks_between(FIRST, LAST)
STAGES = ("fruit_set", "fruit_green", "fruit_turning", "fruit_coloured")


def crop_file(crop: str) -> dict[str, Any]:
    """Return a crop's numbers as they stand in its file."""
    with (places.resources_dir() / "crops" / f"{crop}.toml").open("rb") as file:
        return tomllib.load(file)


def fruit(reading: Reading) -> float:
    """Return the fruit on one plant."""
    return sum(reading.value(stage) or 0 for stage in STAGES)


@dataclass
class Season:
    """Look-ups into the facts of a season."""

    facts: SeasonFacts

    @cached_property
    def bays(self) -> dict[str, Bay]:
        return {bay.name: bay for bay in self.facts.bays}

    @cached_property
    def bay_names(self) -> dict[str, str]:
        return {bay.id: bay.name for bay in self.facts.bays}

    @cached_property
    def plantings(self) -> dict[str, Planting]:
        return {self.bay_names[planting.bay_id]: planting for planting in self.facts.plantings}

    @cached_property
    def people(self) -> dict[str, str]:
        return {person.id: person.name for person in self.facts.people}

    @cached_property
    def marked(self) -> dict[str, MarkedPlant]:
        return {plant.id: plant for plant in self.facts.marked_plants}

    @cached_property
    def visits(self) -> dict[str, dict[Week, Visit]]:
        """Bay → week → visit."""
        found: dict[str, dict[Week, Visit]] = {name: {} for name in self.bays}
        for visit in sorted(self.facts.visits, key=lambda item: item.visited_on):
            found[self.bay_names[visit.bay_id]][Week.of(visit.visited_on)] = visit
        return found

    @cached_property
    def _readings(self) -> dict[str, list[Reading]]:
        found: dict[str, list[Reading]] = {}
        for reading in self.facts.readings:
            found.setdefault(reading.visit_id, []).append(reading)
        return found

    def house_of(self, bay: str) -> House:
        return next(house for house in self.facts.houses if house.id == self.bays[bay].house_id)

    def bays_with(self, *crops: str) -> list[str]:
        return [name for name, planting in self.plantings.items() if planting.crop in crops]

    def all_readings(self, bay: str, week: Week) -> list[Reading]:
        visit = self.visits[bay].get(week)
        return self._readings[visit.id] if visit else []

    def readings(self, bay: str, week: Week) -> list[Reading]:
        """Return the readings of plants that stood and were read."""
        return [one for one in self.all_readings(bay, week) if one.state is PlantState.STANDING]

    def mean(self, bay: str, week: Week, field: str) -> float:
        return fmean(one.value(field) or 0 for one in self.readings(bay, week))

    def fruit_per_m2(self, bay: str, week: Week) -> float:
        on_plant = fmean(fruit(one) for one in self.readings(bay, week))
        return on_plant * self.plantings[bay].plants / self.bays[bay].area_m2

    def head_above_tie_cm(self, bay: str, week: Week) -> float:
        return self.mean(bay, week, "height_cm") - self.mean(bay, week, "last_tie_cm")

    def check(self, bay: str, week: Week, organism: str) -> PestCheck:
        visit = self.visits[bay][week]
        return next(
            one for one in self.facts.pest_checks if one.visit_id == visit.id and one.organism == organism
        )

    def share_infested(self, bay: str, week: Week, organism: str) -> float:
        check = self.check(bay, week, organism)
        return check.infested / check.inspected

    def weeds(self, bay: str, week: Week) -> WeedNote:
        visit = self.visits[bay][week]
        return next(one for one in self.facts.weed_notes if one.visit_id == visit.id)

    def picks(self, bay: str) -> list[Pick]:
        return [pick for pick in self.facts.picks if self.bay_names[pick.bay_id] == bay]

    def picked_per_plant(self, bay: str, after: date, until: date) -> float:
        """Return fruit picked per plant after one day and up to another."""
        taken = sum(pick.fruit or 0 for pick in self.picks(bay) if after < pick.picked_on <= until)
        return taken / self.plantings[bay].plants

    def treatments(self, bay: str) -> list[Treatment]:
        ids = {one.treatment_id for one in self.facts.treatment_bays if self.bay_names[one.bay_id] == bay}
        return [treatment for treatment in self.facts.treatments if treatment.id in ids]

    def steps(self, job_id: str) -> list[JobEvent]:
        found = [event for event in self.facts.job_events if event.job_id == job_id]
        return sorted(found, key=lambda event: event.recorded_at)

    def plant_series(self, field: str) -> Iterable[tuple[str, list[tuple[date, float]]]]:
        """Return (crop, readings of one plant in order of time) for every marked plant."""
        for bay, visits in self.visits.items():
            series: dict[str, list[tuple[date, float]]] = {}
            for week, visit in visits.items():
                for reading in self.readings(bay, week):
                    value = reading.value(field)
                    assert value is not None
                    series.setdefault(reading.marked_plant_id, []).append((visit.visited_on, value))
            for one in series.values():
                yield self.plantings[bay].crop, one
