"""The sheet of one visit: rows of marked plants, the crop's fields, what was there last time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from bayround.crops.organisms import Organism
from bayround.crops.profile import CropProfile, ReadingField
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Bay, House, MarkedPlant, Planting
from bayround.facts.rounds import CardCount, PestCheck, PlantState, Reading, Visit, WeedNote
from bayround.figures import doubts
from bayround.figures.doubts import CellDoubt
from bayround.figures.figure import Figure
from bayround.jobs.job import Job
from bayround.week import chosen


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One marked plant on the sheet: what is keyed in now and what was there last time."""

    plant: MarkedPlant
    reading: Reading | None
    last: Reading | None


@dataclass(frozen=True, slots=True)
class LookFor:
    """An organism to look for: what to inspect and on how many units."""

    organism: Organism
    part: str
    at_least: int


@dataclass(frozen=True, slots=True)
class Corrected:
    """One value that was changed after the visit was finished: what it was, and who changed it, when and why.

    *row_id* is the visit, reading, check, card or weed note; no *field*: the whole record was added then.
    """

    row_id: str
    field: str
    before: str
    who: str
    at: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class VisitSheet:
    """Everything the Visit screen shows of one bay; frozen, made anew after each change."""

    visit: Visit
    house: House
    bay: Bay
    planting: Planting
    crop_name: str
    fields: tuple[ReadingField, ...]
    rows: tuple[SheetRow, ...]
    checks: tuple[PestCheck, ...]
    cards: tuple[CardCount, ...]
    weeds: tuple[WeedNote, ...]
    look_for: tuple[LookFor, ...]
    doubts: tuple[CellDoubt, ...]
    last_visit_on: date | None
    corrected: tuple[Corrected, ...] = ()
    """Oldest first."""
    stand_confirmed: bool = False
    """Somebody counted on this day how many plants stand."""
    seeds: tuple[int, ...] = ()
    """Those its plants were drawn with."""
    aside: frozenset[str] = frozenset()
    """Plants chosen for what was seen on them: part of no mean."""
    planted: int = 0
    """How many plants the planting began with."""

    @property
    def found_dead(self) -> int:
        """How many marked plants were found dead at this visit."""
        return sum(row.reading is not None and row.reading.state is PlantState.DEAD for row in self.rows)

    def corrections_of(self, row_id: str, field: str) -> tuple[Corrected, ...]:
        """Return what happened to one value after the visit was finished, oldest first."""
        return tuple(one for one in self.corrected if one.row_id == row_id and one.field in (field, ""))

    @property
    def open_doubts(self) -> tuple[CellDoubt, ...]:
        """Doubtful values nobody has answered yet."""
        return tuple(doubt for doubt in self.doubts if not doubt.answered)

    @property
    def missing_cells(self) -> int:
        """How many cells of standing plants are still empty."""
        return sum(
            1
            for row in self.rows
            for field in self.fields
            if row.reading is None
            or (row.reading.state.value == "standing" and row.reading.value(field.key) is None)
        )


@dataclass(frozen=True, slots=True)
class Panel:
    """The live side panel: figures of the half-keyed visit, pest decisions, what will fall due."""

    figures: tuple[Figure, ...]
    decisions: tuple[tuple[str, str], ...]
    jobs: tuple[Job, ...]


def build(
    past: BayPast, record: VisitRecord, profile: CropProfile, organisms: Mapping[str, Organism]
) -> VisitSheet:
    """Return the sheet of *record*, a visit (draft or done) of the bay in *past*.

    *past* holds the earlier visits; whether it holds *record* too makes no difference.
    """
    if past.planting is None:
        raise ValueError("A visit needs a planting.")
    earlier = [seen for seen in past.visits if seen.visit.id != record.visit.id and seen.day <= record.day]
    last_by_plant: dict[str, Reading] = {}
    for seen in earlier:
        last_by_plant.update(seen.readings)
    rows = tuple(
        SheetRow(plant, record.readings.get(plant.id), last_by_plant.get(plant.id))
        for plant in past.plants_on(record.day)
    )
    return VisitSheet(
        visit=record.visit,
        house=past.house,
        bay=past.bay,
        planting=past.planting,
        crop_name=profile.name,
        fields=profile.fields,
        rows=rows,
        checks=record.checks,
        cards=record.cards,
        weeds=record.weeds,
        look_for=_look_for(profile, organisms),
        doubts=doubts.of_visit(past, record, profile),
        last_visit_on=earlier[-1].day if earlier else None,
        seeds=chosen.seeds_of(past.choices),
        aside=past.aside,
        planted=past.planted or past.planting.plants,
        stand_confirmed=any(count.counted_on == record.day for count in past.stand_counts),
    )


def _look_for(profile: CropProfile, organisms: Mapping[str, Organism]) -> tuple[LookFor, ...]:
    found = []
    for key in profile.organisms:
        organism = organisms[key]
        threshold = organism.threshold_for(profile.key, "incidence_percent")
        at_least = threshold.plan.max_inspected if threshold is not None and threshold.plan is not None else 0
        found.append(LookFor(organism, organism.default_inspect, at_least))
    return tuple(found)
