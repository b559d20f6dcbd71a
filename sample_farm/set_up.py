"""The farm as set up: people, houses, bays, plantings and the marked plants."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bayround.facts.farm import (
    Bay,
    ColourAim,
    FarmInfo,
    House,
    HouseKind,
    MarkedPlant,
    Person,
    Planting,
    Role,
)
from bayround.facts.weeks import Week

from .chance import fact_id, stream
from .scenario import BayPlan, Scenario
from .walks import PlannedVisit


@dataclass(frozen=True, slots=True)
class SetUp:
    """The set-up facts with their keys by name. *marked* holds each bay's plants, replacements last."""

    farm: FarmInfo
    people: Mapping[str, Person]
    houses: Mapping[str, House]
    bays: Mapping[str, Bay]
    plantings: Mapping[str, Planting]
    marked: Mapping[str, tuple[MarkedPlant, ...]]

    @property
    def person_ids(self) -> dict[str, str]:
        """Name of a person → key."""
        return {name: person.id for name, person in self.people.items()}


def build(scenario: Scenario, seed: int, planned: tuple[PlannedVisit, ...]) -> SetUp:
    """Return the farm as it was set up before its first round."""
    start = min(bay.transplanted_on for bay in scenario.bays) - timedelta(days=14)
    farm = FarmInfo(
        id=fact_id(seed, start, "farm"),
        name=scenario.farm["name"],
        invented=True,
        currency=scenario.farm["currency"],
        opened_on=start,
    )
    people = {
        plan.name: Person(
            fact_id(seed, start, "person", plan.name), plan.name, Role(plan.role), plan.hours_per_week
        )
        for plan in scenario.people
    }
    houses = _houses(scenario, seed, start)
    bays = {
        plan.name: Bay(
            id=fact_id(seed, start, "bay", plan.name),
            house_id=houses[plan.house].id,
            name=plan.name,
            rows=plan.rows,
            length_m=plan.length_m,
            width_m=plan.width_m,
            position=place,
        )
        for place, plan in enumerate(scenario.bays, start=1)
    }
    plantings = {plan.name: _planting(plan, seed, bays[plan.name].id) for plan in scenario.bays}
    marked = {
        plan.name: _marked(scenario, plan, seed, plantings[plan.name].id, planned) for plan in scenario.bays
    }
    return SetUp(farm, people, houses, bays, plantings, marked)


def _houses(scenario: Scenario, seed: int, start: date) -> dict[str, House]:
    return {
        plan.name: House(
            id=fact_id(seed, start, "house", plan.name),
            name=plan.name,
            kind=HouseKind(plan.kind),
            length_m=plan.length_m,
            width_m=plan.width_m,
            wire_height_m=plan.wire_height_m,
            cover=plan.cover,
            cover_fitted_on=plan.cover_fitted_on,
            map_east_m=plan.map_east_m,
            map_north_m=plan.map_north_m,
            position=place,
            note=plan.note,
        )
        for place, plan in enumerate(scenario.houses, start=1)
    }


def _planting(plan: BayPlan, seed: int, bay_id: str) -> Planting:
    return Planting(
        id=fact_id(seed, plan.transplanted_on, "planting", plan.name),
        bay_id=bay_id,
        crop=plan.crop,
        variety=plan.variety,
        transplanted_on=plan.transplanted_on,
        plants=plan.plants,
        stems_per_plant=plan.stems_per_plant,
        training=plan.training,
        colour_aim=ColourAim(plan.colour_aim),
    )


def _marked(
    scenario: Scenario, plan: BayPlan, seed: int, planting_id: str, planned: tuple[PlannedVisit, ...]
) -> tuple[MarkedPlant, ...]:
    """Return the bay's marked plants in the order they are walked, then those that replaced dead ones."""
    first_visit = min(visit.day for visit in planned if visit.bay.name == plan.name)
    marked_on = max(plan.transplanted_on, first_visit - timedelta(days=1))
    plants = [
        MarkedPlant(
            id=fact_id(seed, marked_on, "marked plant", plan.name, number),
            planting_id=planting_id,
            number=number,
            row=row,
            position=position,
            stems=plan.stems_per_plant,
            marked_on=marked_on,
        )
        for number, (row, position) in enumerate(_places(scenario, plan, seed), start=1)
    ]
    for entry in scenario.tables["died"]:
        if entry["bay"] != plan.name:
            continue
        week = Week.parse(entry["week"])
        seen_on = next(v.day for v in planned if v.bay.name == plan.name and v.week == week)
        place = next(index for index, plant in enumerate(plants) if plant.number == entry["plant"])
        plants += [_replacement(plants[place], seed, plan.name, len(plants) + 1, seen_on + timedelta(days=1))]
        plants[place] = replace(plants[place], ended_on=seen_on + timedelta(days=1), ended_why=entry["why"])
    return tuple(plants)


def _replacement(dead: MarkedPlant, seed: int, bay: str, number: int, marked_on: date) -> MarkedPlant:
    """Return the grown neighbour that is measured instead of a dead plant from *marked_on* on."""
    return replace(
        dead,
        id=fact_id(seed, marked_on, "marked plant", bay, number),
        number=number,
        position=dead.position + 1,
        marked_on=marked_on,
        replaces_id=dead.id,
    )


def _places(scenario: Scenario, plan: BayPlan, seed: int) -> list[tuple[int, int]]:
    """Spread the plants over rows and along them; the walk goes up one row and down the next."""
    rng = stream(seed, plan.name, "marked plants")
    wanted = scenario.tables["rounds"]["marked_plants"]
    plants_per_row = plan.plants // plan.rows
    rows = [int((step + rng.random()) * plan.rows / wanted) + 1 for step in range(wanted)]
    stretches = list(range(wanted))
    rng.shuffle(stretches)
    places = []
    for row, stretch in zip(rows, stretches):
        along = (stretch + rng.random()) / wanted
        places.append((row, 2 + int(along * (plants_per_row - 3))))
    return sorted(places, key=lambda place: (place[0], place[1] if place[0] % 2 else -place[1]))
