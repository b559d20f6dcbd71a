"""Everything a week is built from, read in one transaction; columns only, one question a table."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Connection, Select, and_, or_, select, true

from bayround.facts import farm, kept, money, rounds, trials, work
from bayround.facts.season import SeasonFacts
from bayround.records import tables as t
from bayround.records.codec import facts_of, in_order, kind_of, select_facts
from bayround.records.store import Store

Fact = TypeVar("Fact")
_ALWAYS = true()


def read_season(store: Store, first: date | None = None, last: date | None = None) -> SeasonFacts:
    """Read a farm, with the visits, picks and climate from *first* to *last* (both included).

    Set-up, jobs, treatments, corrections, overrides and closed weeks always come whole. Rounds are
    those held on these days and those with a visit on them. Events, corrections, overrides and closes
    come in the order in which they happened.

    Raises:
        FarmFileProblem: when the file can't be read.
    """
    with store.reading() as connection, _collector_resting():
        visits = _within(t.visit.c.visited_on, first, last)
        return SeasonFacts(
            farm=_all(connection, farm.FarmInfo)[0],
            people=_all(connection, farm.Person),
            houses=_all(connection, farm.House),
            bays=_all(connection, farm.Bay),
            plantings=_all(connection, farm.Planting),
            marked_plants=_all(connection, farm.MarkedPlant),
            plant_choices=_all(connection, farm.PlantChoice),
            rounds=_rounds(connection, first, last),
            visits=_read(connection, rounds.Visit, select_facts(kind_of(rounds.Visit)).where(visits)),
            readings=_of_visits(connection, rounds.Reading, visits),
            pest_checks=_of_visits(connection, rounds.PestCheck, visits),
            card_counts=_of_visits(connection, rounds.CardCount, visits),
            weed_notes=_of_visits(connection, rounds.WeedNote, visits),
            doubt_answers=_of_visits(connection, rounds.DoubtAnswer, visits),
            jobs=_all(connection, work.JobRecord),
            job_events=_all(connection, work.JobEvent, t.job_event.c.recorded_at, t.job_event.c.id),
            treatments=_all(connection, work.Treatment),
            treatment_bays=_all(connection, work.TreatmentBay),
            picks=_dated(connection, work.Pick, _within(t.pick.c.picked_on, first, last)),
            explanations=_all(connection, work.Explanation, t.explanation.c.kept_at),
            climate_days=_dated(connection, work.ClimateDay, _within(t.climate_day.c.day, first, last)),
            corrections=_all(connection, work.Correction, t.correction.c.sequence),
            profile_overrides=_all(connection, work.ProfileOverride, t.profile_override.c.changed_at),
            week_closes=_all(connection, work.WeekClose, t.week_close.c.closed_at),
            forecasts=_all(connection, kept.Forecast, t.forecast.c.made_on, t.forecast.c.for_week),
            house_checks=_all(connection, kept.HouseCheck, t.house_check.c.checked_on),
            stand_counts=_all(connection, kept.StandCount, t.stand_count.c.counted_on),
            trials=_all(connection, trials.Trial, t.trial.c.started_on),
            trial_plots=_all(connection, trials.TrialPlot, t.trial_plot.c.name),
            costs=_all(connection, money.Cost, t.cost.c.spent_on),
            prices=_all(connection, money.Price, t.price.c.valid_from),
            wage_rates=_all(connection, money.WageRate, t.wage_rate.c.valid_from),
            merged_histories=_all(connection, kept.MergedHistory, t.merged_history.c.id),
        )


@contextmanager
def _collector_resting() -> Iterator[None]:
    """Keep Python from looking for rubbish meanwhile: all that is made here stays (a third of the time)."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _within(day: ColumnElement[date], first: date | None, last: date | None) -> ColumnElement[bool]:
    if first is None and last is None:
        return _ALWAYS
    lower = _ALWAYS if first is None else day >= first
    upper = _ALWAYS if last is None else day <= last
    return and_(lower, upper)


def _read(connection: Connection, fact: type[Fact], query: Select[Any]) -> tuple[Fact, ...]:
    kind = kind_of(fact)
    return facts_of(kind, connection.execute(in_order(connection, kind, query)))


def _all(connection: Connection, fact: type[Fact], *order: ColumnElement[Any]) -> tuple[Fact, ...]:
    return _read(connection, fact, select_facts(kind_of(fact)).order_by(*order))


def _dated(connection: Connection, fact: type[Fact], within: ColumnElement[bool]) -> tuple[Fact, ...]:
    return _read(connection, fact, select_facts(kind_of(fact)).where(within))


def _of_visits(connection: Connection, fact: type[Fact], visits: ColumnElement[bool]) -> tuple[Fact, ...]:
    kind = kind_of(fact)
    query = select_facts(kind)
    if visits is not _ALWAYS:
        query = query.join(t.visit, t.visit.c.id == kind.table.c.visit_id).where(visits)
    return _read(connection, fact, query)


def _rounds(connection: Connection, first: date | None, last: date | None) -> tuple[rounds.Round, ...]:
    visited = select(t.visit.c.round_id).where(_within(t.visit.c.visited_on, first, last))
    held = _within(t.round_.c.held_on, first, last)
    query = select_facts(kind_of(rounds.Round)).where(or_(held, t.round_.c.id.in_(visited)))
    return _read(connection, rounds.Round, query)
