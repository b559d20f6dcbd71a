"""Conflicts between laptops as a person reads them, and the decision about one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from bayround import words
from bayround.actions.farm import OpenFarm
from bayround.records import conflicts
from bayround.records.conflicts import Conflict
from bayround.records.read_season import read_season
from bayround.words import _


@dataclass(frozen=True, slots=True)
class ConflictWords:
    """One conflict in words.

    Attributes:
        conflict: what to hand to `decide`.
        where: the record: bay, day, plant.
        field: the field's name.
        values: (value as written, who wrote it when and why); the first is shown until one is decided.
    """

    conflict: Conflict
    where: str
    field: str
    values: tuple[tuple[str, str], ...]

    @property
    def line(self) -> str:
        """The conflict in one line."""
        shown = " | ".join(
            f"{value or _('(empty)')}{f' ({told})' if told else ''}" for value, told in self.values
        )
        return f"{self.where} · {self.field}: {shown}"


def open_ones(farm: OpenFarm) -> tuple[ConflictWords, ...]:
    """Return the conflicts that wait for a person."""
    return of(farm, conflicts.open_conflicts(farm.store))


def decide(
    farm: OpenFarm, conflict: Conflict, value: str, person_id: str | None, now: datetime, reason: str
) -> None:
    """Let one value hold; the history keeps the others, with who decided and why.

    Raises:
        Refused, Overtaken: nothing was changed.
    """
    conflicts.decide(farm.store, conflict, value, person_id, now, reason)


def of(farm: OpenFarm, found: Iterable[Conflict]) -> tuple[ConflictWords, ...]:
    """Put conflicts into words."""
    several = tuple(found)
    if not several:
        return ()
    names, places = _names(farm)
    return tuple(
        ConflictWords(
            conflict,
            places.get(conflict.row_id) or f"{plural(conflict.table_name)} {conflict.row_id[-6:]}",
            conflict.field.replace("_", " "),
            tuple(
                (names.get(value, value), _told(entry.person_id, entry.corrected_at, entry.reason, names)
                 if entry else "")
                for value, entry in zip(conflict.values, conflict.told, strict=True)
            ),
        )
        for conflict in several
    )  # fmt: skip


def _told(person_id: str | None, at: datetime, reason: str, names: Mapping[str, str]) -> str:
    who = names.get(person_id or "", _("somebody"))
    told = f"{who}, {words.moment(at.astimezone())}"
    return f"{told}: {reason}" if reason else told


def _names(farm: OpenFarm) -> tuple[dict[str, str], dict[str, str]]:
    """Return key → name of people, and key → where it is of the records of a farm."""
    season = read_season(farm.store)
    people = {person.id: person.name for person in season.people}
    houses = {house.id: house.name for house in season.houses}
    bays = {bay.id: f"{houses.get(bay.house_id, '')}, {bay.name}" for bay in season.bays}
    places = {**people, **houses, **bays}
    plantings = {planting.id: planting for planting in season.plantings}
    places |= {key: f"{bays.get(one.bay_id, '')} · {one.crop}" for key, one in plantings.items()}
    plants = {plant.id: plant for plant in season.marked_plants}
    for key, plant in plants.items():
        places[key] = f"{places.get(plant.planting_id, '')} · {_('plant')} {plant.label}"
    for visit in season.visits:
        places[visit.id] = f"{bays.get(visit.bay_id, '')} · {words.day(visit.visited_on)}"
    for reading in season.readings:
        plant_label = plants[reading.marked_plant_id].label if reading.marked_plant_id in plants else ""
        places[reading.id] = f"{places.get(reading.visit_id, '')} · {_('plant')} {plant_label}"
    for check in season.pest_checks:
        places[check.id] = f"{places.get(check.visit_id, '')} · {check.organism}"
    for card in season.card_counts:
        places[card.id] = f"{places.get(card.visit_id, '')} · {card.organism}"
    for note in season.weed_notes:
        places[note.id] = f"{places.get(note.visit_id, '')} · {_('weeds')}"
    for pick in season.picks:
        places[pick.id] = f"{bays.get(pick.bay_id, '')} · {_('pick')} {words.day(pick.picked_on)}"
    for treatment in season.treatments:
        ended = words.moment(treatment.ended_at.astimezone())
        places[treatment.id] = f"{_('treatment')} {ended} · {treatment.target}"
    places[season.farm.id] = season.farm.name
    return people, places


def plural(table_name: str) -> str:
    """Return what records of a table are called."""
    known = {
        "person": _("People"), "house": _("Houses"), "bay": _("Bays"), "planting": _("Plantings"),
        "marked_plant": _("Marked plants"), "plant_choice": _("How plants were chosen"), "round": _("Rounds"), "visit": _("Visits"),
        "reading": _("Readings"), "pest_check": _("Pest checks"), "card_count": _("Card counts"),
        "weed_note": _("Weed notes"), "doubt_answer": _("Answers to doubts"), "job": _("Jobs"),
        "job_event": _("Steps of jobs"), "treatment": _("Treatments"),
        "treatment_bay": _("Bays of treatments"), "pick": _("Picks"), "explanation": _("Explanations"), "climate_day": _("Days of climate"),
        "profile_override": _("Numbers of the farm's own"), "week_close": _("Closed weeks"),
        "forecast": _("Forecasts"), "house_check": _("House checks"), "trial": _("Trials"),
        "trial_plot": _("Plots of trials"), "cost": _("Costs"), "price": _("Prices"),
        "wage_rate": _("Wage rates"), "stand_count": _("Counts of standing plants"),
    }  # fmt: skip
    return known.get(table_name, table_name.replace("_", " "))
