"""What was done and found, for the screens that show only that: treatments, picks, house checks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Connection, func, select

from bayround.facts import farm, kept, work
from bayround.facts.season import SeasonFacts
from bayround.records import tables as t
from bayround.records.codec import facts_of, in_order, kind_of, select_facts
from bayround.records.store import Store

Fact = TypeVar("Fact")


def _set_up(connection: Connection) -> SeasonFacts:
    """Return farm, people, houses, bays and what was planted: what every reading of work begins with."""
    return SeasonFacts(
        farm=_all(connection, farm.FarmInfo)[0],
        people=_all(connection, farm.Person),
        houses=_all(connection, farm.House),
        bays=_all(connection, farm.Bay),
        plantings=_all(connection, farm.Planting),
    )


def read_treatments(store: Store) -> SeasonFacts:
    """Return all treatments with their bays, the set-up without marked plants, and their corrections."""
    with store.reading() as connection:
        return replace(
            _set_up(connection),
            treatments=_all(connection, work.Treatment),
            treatment_bays=_all(connection, work.TreatmentBay),
            corrections=_corrections(connection, t.treatment.name, t.treatment_bay.name),
        )


def read_picks(store: Store, planted_on: date) -> SeasonFacts:
    """Return the picks and kept forecasts of the plantings that stand on a day or were removed on it, with treatments and set-up."""
    standing = select(t.planting.c.id).where(
        t.planting.c.transplanted_on <= planted_on,
        t.planting.c.removed_on.is_(None) | (t.planting.c.removed_on >= planted_on),
    )
    with store.reading() as connection:
        return replace(
            _set_up(connection),
            picks=_all(connection, work.Pick, t.pick.c.planting_id.in_(standing)),
            forecasts=_all(connection, kept.Forecast, t.forecast.c.planting_id.in_(standing)),
            treatments=_all(connection, work.Treatment),
            treatment_bays=_all(connection, work.TreatmentBay),
            house_checks=_all(connection, kept.HouseCheck),
            explanations=_all(connection, work.Explanation),
            corrections=_corrections(connection, t.pick.name),
        )


def read_what_was_done(store: Store, bay_ids: Collection[str] | None = None) -> SeasonFacts:
    """Return all picks, jobs and treatments with the explanations kept of them, and the set-up without plants.

    *bay_ids*: only what was done in these bays; explanations and treatments are all there.
    """

    def of_bays(column: ColumnElement[str]) -> list[ColumnElement[bool]]:
        return [] if bay_ids is None else [column.in_(bay_ids)]

    events = (
        []
        if bay_ids is None
        else [t.job_event.c.job_id.in_(select(t.job.c.id).where(*of_bays(t.job.c.bay_id)))]
    )
    with store.reading() as connection:
        return replace(
            _set_up(connection),
            picks=_all(connection, work.Pick, *of_bays(t.pick.c.bay_id)),
            jobs=_all(connection, work.JobRecord, *of_bays(t.job.c.bay_id)),
            job_events=_all(connection, work.JobEvent, *events),
            treatments=_all(connection, work.Treatment),
            treatment_bays=_all(connection, work.TreatmentBay, *of_bays(t.treatment_bay.c.bay_id)),
            explanations=_all(connection, work.Explanation),
        )


def count_what_was_done(store: Store) -> tuple[int, ...]:
    """Return how many of all that `read_what_was_done` rests on there are: a few milliseconds.

    Nothing of it is changed without a correction (`count_corrections`), so equal counts of both in one file mean
    that it is as it was.
    """
    tables = (t.pick, t.job, t.job_event, t.treatment, t.treatment_bay, t.explanation)
    counts = [select(func.count()).select_from(table).scalar_subquery() for table in tables]
    with store.reading() as connection:
        return tuple(connection.execute(select(*counts)).one())


def count_corrections(store: Store) -> tuple[int, int]:
    """Return how many corrections there are of what `read_what_was_done` reads, and how many merges."""
    corrected = (t.pick, t.job, t.job_event, t.treatment, t.treatment_bay, t.explanation, t.house, t.bay)
    names = [table.name for table in corrected]
    of_these = select(func.count()).where(t.correction.c.table_name.in_(names)).scalar_subquery()
    merges = select(func.count()).select_from(t.merged_history).scalar_subquery()
    with store.reading() as connection:
        corrections, merged = connection.execute(select(of_these, merges)).one()
    return corrections, merged


def count_by_bay(store: Store) -> dict[str, tuple[int, ...]]:
    """Return bay id → how many picks, steps of jobs, treatments and explanations are written down for it."""
    said = t.explanation.c.row_id
    queries = (
        select(t.pick.c.bay_id, func.count()).group_by(t.pick.c.bay_id),
        select(t.job.c.bay_id, func.count()).join_from(t.job, t.job_event).group_by(t.job.c.bay_id),
        select(t.treatment_bay.c.bay_id, func.count()).group_by(t.treatment_bay.c.bay_id),
        select(t.pick.c.bay_id, func.count())
        .join_from(t.explanation, t.pick, t.pick.c.id == said)
        .group_by(t.pick.c.bay_id),
        select(t.job.c.bay_id, func.count())
        .join_from(t.explanation, t.job_event, t.job_event.c.id == said)
        .join(t.job, t.job.c.id == t.job_event.c.job_id)
        .group_by(t.job.c.bay_id),
    )
    found: dict[str, list[int]] = {}
    with store.reading() as connection:
        for place, query in enumerate(queries):
            for bay_id, count in connection.execute(query):
                found.setdefault(bay_id, [0] * len(queries))[place] = count
    return {bay_id: tuple(counts) for bay_id, counts in found.items()}


def read_explanations(store: Store, row_ids: Sequence[str]) -> tuple[work.Explanation, ...]:
    """Return the explanations kept of some records."""
    with store.reading() as connection:
        return _all(connection, work.Explanation, t.explanation.c.row_id.in_(row_ids))


def read_bay_treatments(store: Store, bay_id: str) -> tuple[work.Treatment, ...]:
    """Return the treatments of one bay, oldest first."""
    treated = select(t.treatment_bay.c.treatment_id).where(
        t.treatment_bay.c.bay_id == bay_id, t.treatment_bay.c.taken_out.is_(False)
    )
    with store.reading() as connection:
        found = _all(connection, work.Treatment, t.treatment.c.id.in_(treated))
    return tuple(sorted(found, key=lambda item: (item.ended_at, item.id)))


def read_covered(store: Store, treatment_id: str) -> tuple[work.TreatmentBay, ...]:
    """Return the bays written down for a treatment, those taken out again too."""
    with store.reading() as connection:
        return _all(connection, work.TreatmentBay, t.treatment_bay.c.treatment_id == treatment_id)


def read_checks_of_bay(store: Store, bay_id: str) -> tuple[kept.HouseCheck, ...]:
    """Return the checks of the house in which a bay lies, oldest first."""
    house = select(t.bay.c.house_id).where(t.bay.c.id == bay_id)
    with store.reading() as connection:
        found = _all(connection, kept.HouseCheck, t.house_check.c.house_id.in_(house))
    return tuple(sorted(found, key=lambda one: (one.checked_on, one.id)))


def read_house_checks(store: Store) -> SeasonFacts:
    """Return all house checks with people, houses and bays."""
    with store.reading() as connection:
        return SeasonFacts(
            farm=_all(connection, farm.FarmInfo)[0],
            people=_all(connection, farm.Person),
            houses=_all(connection, farm.House),
            bays=_all(connection, farm.Bay),
            house_checks=_all(connection, kept.HouseCheck),
        )


def read_climate(store: Store, first: date, last: date) -> SeasonFacts:
    """Return the days of climate from *first* to *last* (both included) with houses and bays."""
    within = t.climate_day.c.day.between(first, last)
    with store.reading() as connection:
        return SeasonFacts(
            farm=_all(connection, farm.FarmInfo)[0],
            houses=_all(connection, farm.House),
            bays=_all(connection, farm.Bay),
            climate_days=_all(connection, work.ClimateDay, within),
        )


def _all(connection: Connection, fact: type[Fact], *conditions: Any) -> tuple[Fact, ...]:
    kind = kind_of(fact)
    return facts_of(
        kind, connection.execute(in_order(connection, kind, select_facts(kind).where(*conditions)))
    )


def _corrections(connection: Connection, *tables: str) -> tuple[work.Correction, ...]:
    kind = kind_of(work.Correction)
    query = select_facts(kind).where(t.correction.c.table_name.in_(tables))
    return facts_of(kind, connection.execute(query.order_by(t.correction.c.sequence)))
