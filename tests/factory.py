"""Valid facts with any field overridden, for tests."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import count

from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Bay, FarmInfo, House, HouseKind, MarkedPlant, Person, Planting
from bayround.facts.rounds import PestCheck, Reading, Round, Visit, VisitState, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Treatment

FIRST_ROUND = date(2026, 10, 6)
TRANSPLANTED = date(2026, 7, 7)
_numbers = count(1)


def key() -> str:
    """Return a key that looks like the program's own and is the same in every run of one test order."""
    return f"01900000-0000-7000-8000-{next(_numbers):012d}"


def person(**changes: object) -> Person:
    return Person(**{"id": key(), "name": "Alder", **changes})  # type: ignore[arg-type]


def house(**changes: object) -> House:
    base = {
        "id": key(),
        "name": "Net house 1",
        "kind": HouseKind.NET_HOUSE,
        "length_m": 40.0,
        "width_m": 10.0,
    }
    return House(**{**base, "wire_height_m": 2.4, **changes})  # type: ignore[arg-type]


def bay(of: House, **changes: object) -> Bay:
    base = {"id": key(), "house_id": of.id, "name": "Bay 1", "rows": 10, "length_m": 40.0, "width_m": 10.0}
    return Bay(**{**base, **changes})  # type: ignore[arg-type]


def planting(of: Bay, **changes: object) -> Planting:
    base = {"id": key(), "bay_id": of.id, "crop": "sweet_pepper", "variety": "Variety P1"}
    return Planting(**{**base, "transplanted_on": TRANSPLANTED, "plants": 2300, **changes})  # type: ignore[arg-type]


def plants(of: Planting, wanted: int = 10) -> tuple[MarkedPlant, ...]:
    return tuple(
        MarkedPlant(key(), of.id, number, number, 5, marked_on=of.transplanted_on)
        for number in range(1, wanted + 1)
    )


def record(of: Planting, day: date, readings: dict[str, dict[str, float]], **rows: object) -> VisitRecord:
    """Return a finished visit; *readings* maps marked plant id to its numbers."""
    visit = Visit(key(), key(), of.bay_id, of.id, day, key(), VisitState.DONE)
    kept = {plant: Reading(key(), visit.id, plant, **numbers) for plant, numbers in readings.items()}  # type: ignore[arg-type]
    return VisitRecord(visit, kept, **rows)  # type: ignore[arg-type]


def check(organism: str, inspected: int, infested: int, **changes: object) -> PestCheck:
    base = {"id": key(), "visit_id": key(), "organism": organism, "inspected_part": "leaf"}
    return PestCheck(**{**base, "inspected": inspected, "infested": infested, **changes})  # type: ignore[arg-type]


def weed(cover: float, **changes: object) -> WeedNote:
    return WeedNote(**{"id": key(), "visit_id": key(), "cover_percent": cover, **changes})  # type: ignore[arg-type]


def past(weeks: int = 2, *, start_cm: float = 100.0, growth_cm: float = 6.0, tie_cm: float = 90.0) -> BayPast:
    """Return a bay whose ten plants grow evenly, visited weekly from FIRST_ROUND on."""
    of_house = house()
    of_bay = bay(of_house)
    of_planting = planting(of_bay)
    marked = plants(of_planting)
    visits = []
    for week in range(weeks):
        numbers = {
            plant.id: {
                "height_cm": start_cm + growth_cm * week + place * 0.5,
                "last_tie_cm": tie_cm,
                "flowers": 2.0,
                "fruit_set": 1.0,
                "fruit_green": 2.0,
                "fruit_turning": 0.0,
                "fruit_coloured": 0.0,
            }
            for place, plant in enumerate(marked)
        }
        visits.append(record(of_planting, FIRST_ROUND + timedelta(weeks=week), numbers))
    return BayPast(of_house, of_bay, of_planting, marked, tuple(visits))


def season(of: BayPast) -> SeasonFacts:
    """Return the facts of a one-bay farm that holds *of*."""
    scout = person()
    visits = [
        Visit(
            id=seen.visit.id,
            round_id=key(),
            bay_id=of.bay.id,
            planting_id=seen.visit.planting_id,
            visited_on=seen.day,
            scout_id=scout.id,
            state=seen.visit.state,
        )
        for seen in of.visits
    ]
    return SeasonFacts(
        farm=FarmInfo(key(), "Test farm"),
        people=(scout,),
        houses=(of.house,),
        bays=(of.bay,),
        plantings=(of.planting,) if of.planting else (),
        marked_plants=of.plants,
        rounds=tuple(Round(visit.round_id, visit.visited_on, scout.id) for visit in visits),
        visits=tuple(visits),
        readings=tuple(reading for seen in of.visits for reading in seen.readings.values()),
        pest_checks=tuple(row for seen in of.visits for row in seen.checks),
        weed_notes=tuple(row for seen in of.visits for row in seen.weeds),
    )


def treatment(ended_at: datetime = datetime(2026, 10, 13, 8, 0, tzinfo=UTC), **changes: object) -> Treatment:
    base = {"id": key(), "ended_at": ended_at, "target": "aphids", "active_ingredient": "example ingredient"}
    return Treatment(**{**base, **changes})  # type: ignore[arg-type]
