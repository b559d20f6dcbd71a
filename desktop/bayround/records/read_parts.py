"""Parts of a farm, for screens that do not need all of it: the set-up, the rounds, one bay, overrides."""

from __future__ import annotations

from datetime import date
from typing import Any, TypeVar

from sqlalchemy import Connection, select

from bayround.facts import farm, kept, rounds, work
from bayround.facts.season import SeasonFacts
from bayround.records import tables as t
from bayround.records.codec import facts_of, in_order, kind_of, select_facts
from bayround.records.store import Store

Fact = TypeVar("Fact")


def read_setup(store: Store) -> SeasonFacts:
    """Return people, houses, bays, plantings and marked plants, nothing of the rounds."""
    with store.reading() as connection:
        return _set_up(connection)


def read_rounds(store: Store) -> tuple[rounds.Round, ...]:
    """Return all rounds, oldest first."""
    query = select_facts(kind_of(rounds.Round)).order_by(t.round_.c.held_on, t.round_.c.id)
    with store.reading() as connection:
        return facts_of(kind_of(rounds.Round), connection.execute(query))


def read_round_visits(store: Store, round_id: str) -> tuple[rounds.Visit, ...]:
    """Return the visits of one round."""
    with store.reading() as connection:
        return _where(connection, rounds.Visit, t.visit.c.round_id == round_id)


def read_days_used(store: Store, planting_id: str) -> tuple[date, ...]:
    """Return the days on which a planting was visited or picked, in order."""
    visited = select(t.visit.c.visited_on).where(t.visit.c.planting_id == planting_id)
    picked = select(t.pick.c.picked_on).where(t.pick.c.planting_id == planting_id)
    with store.reading() as connection:
        return tuple(sorted(connection.execute(visited.union(picked)).scalars()))


def read_overrides(store: Store) -> tuple[work.ProfileOverride, ...]:
    """Return the numbers this farm changed, in the order in which it did."""
    kind = kind_of(work.ProfileOverride)
    with store.reading() as connection:
        query = in_order(connection, kind, select_facts(kind).order_by(t.profile_override.c.changed_at))
        return facts_of(kind, connection.execute(query))


def read_bay(store: Store, bay_id: str) -> SeasonFacts:
    """Return everything known of one bay, with the set-up of the farm around it."""
    with store.reading() as connection:
        around = _set_up(connection)
        visits = _where(connection, rounds.Visit, t.visit.c.bay_id == bay_id)
        jobs = _where(connection, work.JobRecord, t.job.c.bay_id == bay_id)
        job_ids = select(t.job.c.id).where(t.job.c.bay_id == bay_id)
        links = _where(connection, work.TreatmentBay, t.treatment_bay.c.bay_id == bay_id)
        treated = select(t.treatment_bay.c.treatment_id).where(t.treatment_bay.c.bay_id == bay_id)
        return SeasonFacts(
            farm=around.farm,
            people=around.people,
            houses=around.houses,
            bays=around.bays,
            plantings=around.plantings,
            marked_plants=around.marked_plants,
            plant_choices=around.plant_choices,
            visits=visits,
            readings=_of_bay(connection, rounds.Reading, bay_id),
            pest_checks=_of_bay(connection, rounds.PestCheck, bay_id),
            card_counts=_of_bay(connection, rounds.CardCount, bay_id),
            weed_notes=_of_bay(connection, rounds.WeedNote, bay_id),
            doubt_answers=_of_bay(connection, rounds.DoubtAnswer, bay_id),
            jobs=jobs,
            job_events=_where(connection, work.JobEvent, t.job_event.c.job_id.in_(job_ids)),
            treatments=_where(connection, work.Treatment, t.treatment.c.id.in_(treated)),
            treatment_bays=links,
            picks=_where(connection, work.Pick, t.pick.c.bay_id == bay_id),
            explanations=_where(connection, work.Explanation),
            forecasts=_forecasts_of_bay(connection, bay_id),
            climate_days=_climate_of_bay(connection, bay_id),
            house_checks=_house_checks_of_bay(connection, bay_id),
            stand_counts=_stand_counts_of_bay(connection, bay_id),
        )


def _forecasts_of_bay(connection: Connection, bay_id: str) -> tuple[kept.Forecast, ...]:
    plantings = select(t.planting.c.id).where(t.planting.c.bay_id == bay_id)
    return _where(connection, kept.Forecast, t.forecast.c.planting_id.in_(plantings))


def _stand_counts_of_bay(connection: Connection, bay_id: str) -> tuple[kept.StandCount, ...]:
    plantings = select(t.planting.c.id).where(t.planting.c.bay_id == bay_id)
    return _where(connection, kept.StandCount, t.stand_count.c.planting_id.in_(plantings))


def _climate_of_bay(connection: Connection, bay_id: str) -> tuple[work.ClimateDay, ...]:
    house = select(t.bay.c.house_id).where(t.bay.c.id == bay_id)
    return _where(connection, work.ClimateDay, t.climate_day.c.house_id.in_(house))


def _house_checks_of_bay(connection: Connection, bay_id: str) -> tuple[kept.HouseCheck, ...]:
    house = select(t.bay.c.house_id).where(t.bay.c.id == bay_id)
    return _where(connection, kept.HouseCheck, t.house_check.c.house_id.in_(house))


def _set_up(connection: Connection) -> SeasonFacts:
    return SeasonFacts(
        farm=_where(connection, farm.FarmInfo)[0],
        people=_where(connection, farm.Person),
        houses=_where(connection, farm.House),
        bays=_where(connection, farm.Bay),
        plantings=_where(connection, farm.Planting),
        marked_plants=_where(connection, farm.MarkedPlant),
        plant_choices=_where(connection, farm.PlantChoice),
    )


def _where(connection: Connection, fact: type[Fact], *conditions: Any) -> tuple[Fact, ...]:
    kind = kind_of(fact)
    return facts_of(
        kind, connection.execute(in_order(connection, kind, select_facts(kind).where(*conditions)))
    )


def _of_bay(connection: Connection, fact: type[Fact], bay_id: str) -> tuple[Fact, ...]:
    kind = kind_of(fact)
    joined = select_facts(kind).join(t.visit, t.visit.c.id == kind.table.c.visit_id)
    query = in_order(connection, kind, joined.where(t.visit.c.bay_id == bay_id))
    return facts_of(kind, connection.execute(query))
