"""The story as typed values: reads scenario.toml, and stops at the first thing that doesn't fit."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from bayround.facts.weeks import Week, weeks_between


@dataclass(frozen=True, slots=True)
class PersonPlan:
    """Somebody on the farm; *reads_high_cm* is a scout's habit with the measuring stick."""

    name: str
    role: str
    hours_per_week: float
    reads_high_cm: float = 0.0


@dataclass(frozen=True, slots=True)
class HousePlan:
    """A house, its place on the map and how its air differs from the weather outside."""

    name: str
    kind: str
    length_m: float
    width_m: float
    wire_height_m: float
    cover: str
    cover_fitted_on: date
    map_east_m: float
    map_north_m: float
    warmer_at_night_c: float
    warmer_by_day_c: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class BayPlan:
    """A bay and the crop in it."""

    name: str
    house: str
    rows: int
    length_m: float
    width_m: float
    crop: str
    variety: str
    transplanted_on: date
    plants: int
    stems_per_plant: int
    training: str
    stops_setting_at_per_m2: float
    vigour: float
    pace: float = 1.0
    fruit_size: float = 1.0
    colour_aim: str = "coloured"
    not_tied_from: date | None = None

    @property
    def area_m2(self) -> float:
        """Length × width."""
        return self.length_m * self.width_m


@dataclass(frozen=True, slots=True)
class VarietyPlan:
    """Colour when ripe and weight of a fruit."""

    colour: str
    fruit_g: float


@dataclass(frozen=True, slots=True)
class CropPlan:
    """How a crop grows, flowers, sets and ripens (degree-days count from the open flower)."""

    start_cm: float
    rise_cm: float
    fastest_in_week: float
    steepness_per_week: float
    tied_when: str
    tie_every_cm: float
    left_free_cm: float
    put_off_chance: float
    first_flower_day: int
    flowers_per_100_cd_per_stem: float
    full_flowering_after_days: int
    set_chance_empty: float
    drop_young: float
    drop_green: float
    base_c: float
    upper_c: float
    set_cd: float
    green_cd: float
    turning_cd: float
    coloured_cd: float
    picked_at: str
    pick_weekdays: list[int]
    second_grade_share: float
    extra_fields: list[str]
    flowers_per_truss: float = 0.0
    leaves_per_week: float = 0.0
    leaves_kept: int = 0


@dataclass(frozen=True, slots=True)
class CheckPlan:
    """One organism looked for at every visit."""

    part: str
    inspected: int
    usual_share: float
    per_find: float | None = None
    severity_at_full: float | None = None


@dataclass(frozen=True, slots=True)
class TreatmentPlan:
    """What was applied, as typed from an invented label."""

    bays: list[str]
    ended_at: datetime
    target: str
    active_ingredient: str
    product: str
    registration_number: str
    applied_by: str
    note: str
    re_entry_hours: float | None = None
    pre_harvest_days: float | None = None
    biological: bool = False
    removes: float = 0.0


@dataclass(frozen=True, slots=True)
class JobPlan:
    """A job that somebody took up, with its steps."""

    bay: str
    kind: str
    week: Week
    due_in_days: int
    reason: str
    hours_estimated: float
    steps: list[dict[str, Any]]
    target: str = ""


@dataclass(frozen=True, slots=True)
class Scenario:
    """The whole story. Tables used in one place only stay plain mappings."""

    farm: Mapping[str, Any]
    weeks: tuple[Week, ...]
    last_day: date
    people: tuple[PersonPlan, ...]
    houses: tuple[HousePlan, ...]
    bays: tuple[BayPlan, ...]
    varieties: Mapping[str, VarietyPlan]
    crops: Mapping[str, CropPlan]
    checks: Mapping[str, Mapping[str, CheckPlan]]
    treatments: tuple[TreatmentPlan, ...]
    jobs: tuple[JobPlan, ...]
    tables: Mapping[str, Any]

    def house_of(self, bay: BayPlan) -> HousePlan:
        """Return the house a bay is part of."""
        return next(house for house in self.houses if house.name == bay.house)

    def person(self, name: str) -> PersonPlan:
        """Return one person."""
        return next(person for person in self.people if person.name == name)


def read(path: Path) -> Scenario:
    """Read the story.

    Raises:
        ValueError: when a bay, house, crop, variety or person is spoken of but not introduced.
        TypeError: when a table has an unknown or a missing entry.
    """
    with path.open("rb") as file:
        table = tomllib.load(file)
    farm = table["farm"]
    scenario = Scenario(
        farm=farm,
        weeks=weeks_between(Week.parse(farm["first_week"]), Week.parse(farm["last_week"])),
        last_day=farm["last_day"],
        people=tuple(PersonPlan(**entry) for entry in table["person"]),
        houses=tuple(HousePlan(**entry) for entry in table["house"]),
        bays=tuple(BayPlan(**entry) for entry in table["bay"]),
        varieties={name: VarietyPlan(**entry) for name, entry in table["variety"].items()},
        crops={name: CropPlan(**entry) for name, entry in table["crop"].items()},
        checks={
            crop: {organism: CheckPlan(**entry) for organism, entry in found.items()}
            for crop, found in table["check"].items()
        },
        treatments=tuple(TreatmentPlan(**entry) for entry in table["treatment"]),
        jobs=tuple(JobPlan(**{**entry, "week": Week.parse(entry["week"])}) for entry in table["job"]),
        tables=table,
    )
    _all_introduced(scenario)
    return scenario


def start_of_rounds(scenario: Scenario) -> time:
    """Return the time of day (UTC) at which a round begins."""
    started: time = scenario.tables["rounds"]["started_at"]
    return started


def _all_introduced(scenario: Scenario) -> None:
    houses = {house.name for house in scenario.houses}
    bays = {bay.name for bay in scenario.bays}
    people = {person.name for person in scenario.people}
    tables = scenario.tables
    spoken_of = [(bay.house, houses) for bay in scenario.bays]
    spoken_of += [(bay.crop, set(scenario.crops)) for bay in scenario.bays]
    spoken_of += [(bay.crop, set(scenario.checks)) for bay in scenario.bays]
    spoken_of += [(bay.variety, set(scenario.varieties)) for bay in scenario.bays]
    spoken_of += [(walk["scout"], people) for walk in tables["walk"]]
    spoken_of += [(name, houses) for walk in tables["walk"] for name in walk["houses"]]
    for name in ("missed", "skipped", "died", "visit_note", "weedy", "picking_stopped", "job"):
        spoken_of += [(entry["bay"], bays) for entry in tables[name]]
    spoken_of += [(bay, bays) for treatment in scenario.treatments for bay in treatment.bays]
    spoken_of += [(treatment.applied_by, people) for treatment in scenario.treatments]
    spoken_of += [(place["bay"], bays) for outbreak in tables["outbreak"] for place in outbreak["bays"]]
    spoken_of += [(step["person"], people) for job in scenario.jobs for step in job.steps]
    for name, known in spoken_of:
        if name not in known:
            raise ValueError(f"The story speaks of “{name}”, which it never introduced.")
