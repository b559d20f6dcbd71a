"""What is read for a week: whole or for some days, in few questions, fast enough."""

from __future__ import annotations

import time
from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import event
from stocking import all_of

import factory
from bayround.facts.farm import House, HouseKind
from bayround.facts.ids import new_id
from bayround.facts.rounds import (
    CardCount,
    DoubtAnswer,
    PestCheck,
    Reading,
    Round,
    Visit,
    VisitState,
    WeedNote,
)
from bayround.facts.season import SeasonFacts
from bayround.facts.visit import VisitFacts
from bayround.facts.work import (
    ClimateDay,
    JobEvent,
    JobKind,
    JobRecord,
    JobStep,
    Pick,
    ProfileOverride,
    TreatmentBay,
    WeekClose,
)
from bayround.records.read_season import read_season
from bayround.records.read_visit import read_open_visits, read_visit
from bayround.records.store import Store
from bayround.records.write_setup import add

NOON = datetime(2026, 10, 14, 12, tzinfo=UTC)


def rich(season: SeasonFacts) -> list[Any]:
    """Return facts of every other kind, on the days of the two rounds of *season* (6 and 13 October)."""
    bay, planting, person = season.bays[0], season.plantings[0], season.people[0]
    job = JobRecord(
        new_id(), bay.id, JobKind.WEED, "", date(2026, 10, 6), date(2026, 10, 9), "cover 12 %", 4.0
    )
    treatment = factory.treatment()
    facts: list[Any] = [job, treatment, TreatmentBay(new_id(), treatment.id, bay.id)]
    for visit in season.visits:
        plant = season.marked_plants[0].id
        facts += [
            PestCheck(new_id(), visit.id, "aphids", "leaf", 20, 3),
            CardCount(new_id(), visit.id, "1", "whitefly", 12, 7.0),
            WeedNote(new_id(), visit.id, 5.0),
            DoubtAnswer(new_id(), visit.id, plant, "height_cm", 140.0, "growth", NOON),
            Pick(new_id(), bay.id, planting.id, visit.visited_on, 41.5),
            ClimateDay(new_id(), bay.house_id, visit.visited_on, 12.5, 27.0),
            JobEvent(new_id(), job.id, JobStep.RAISED, visit.visited_on, NOON - timedelta(days=len(facts))),
            ProfileOverride(new_id(), planting.crop, "load", 12.0, person.id, NOON, "as agreed"),
            WeekClose(new_id(), "2026-W41", NOON, 1, "abc", person.id),
        ]
    return facts


PARTS_BY_DAY = (
    "rounds", "visits", "readings", "pest_checks", "card_counts", "weed_notes", "doubt_answers", "picks",
    "climate_days",
)  # fmt: skip
PARTS_WHOLE = (
    "people", "houses", "bays", "plantings", "marked_plants", "jobs", "job_events", "treatments",
    "treatment_bays", "profile_overrides", "week_closes",
)  # fmt: skip


@pytest.mark.parametrize(
    ("first", "last", "rounds"),
    [
        (None, None, 2),
        (date(2026, 10, 6), date(2026, 10, 13), 2),
        (date(2026, 10, 7), None, 1),
        (None, date(2026, 10, 12), 1),
        (date(2026, 10, 7), date(2026, 10, 12), 0),
    ],
)
def test_days_limit_what_was_seen_and_nothing_else(
    stocked: Store, season: SeasonFacts, first: date | None, last: date | None, rounds: int
) -> None:
    add(stocked, *rich(season))
    whole, part = read_season(stocked), read_season(stocked, first, last)
    for name in PARTS_BY_DAY:
        assert len(getattr(part, name)) * 2 == len(getattr(whole, name)) * rounds, name
        assert set(getattr(part, name)) <= set(getattr(whole, name))
    for name in PARTS_WHOLE:
        assert getattr(part, name) == getattr(whole, name)
        assert getattr(part, name), name
    days = [visit.visited_on for visit in part.visits]
    assert all((first or date.min) <= day <= (last or date.max) for day in days)


def test_a_round_walked_over_two_days_comes_with_its_late_visit(stocked: Store, season: SeasonFacts) -> None:
    late = Round(new_id(), date(2026, 10, 18), season.people[0].id)
    bay, planting = season.bays[0], season.plantings[0]
    add(stocked, late, Visit(new_id(), late.id, bay.id, planting.id, date(2026, 10, 19), late.scout_id))
    part = read_season(stocked, date(2026, 10, 19), date(2026, 10, 19))
    assert part.rounds == (late,)
    assert len(part.visits) == 1


def test_events_come_in_the_order_in_which_they_happened(stocked: Store, season: SeasonFacts) -> None:
    add(stocked, *rich(season))
    moments = [happened.recorded_at for happened in read_season(stocked).job_events]
    assert len(moments) == 2
    assert moments == sorted(moments)


def test_one_question_a_table_however_large_the_farm(stocked: Store, season: SeasonFacts) -> None:
    add(stocked, *rich(season))
    asked: list[str] = []
    event.listen(stocked._engine, "before_cursor_execute", lambda *args: asked.append(args[2]))
    read_season(stocked)
    assert len([text for text in asked if text.startswith("SELECT")]) == len(fields(SeasonFacts))
    asked.clear()
    read_visit(stocked, season.visits[0].id)
    assert len([text for text in asked if text.startswith("SELECT")]) == 8


def test_one_visit_with_all_that_hangs_off_it(stocked: Store, season: SeasonFacts) -> None:
    add(stocked, *rich(season))
    visit = season.visits[1]
    whole = read_season(stocked)

    def own(facts: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(sorted((fact for fact in facts if fact.visit_id == visit.id), key=lambda fact: fact.id))

    assert read_visit(stocked, visit.id) == VisitFacts(
        visit,
        own(whole.readings),
        own(whole.pest_checks),
        own(whole.card_counts),
        own(whole.weed_notes),
        own(whole.doubt_answers),
        revision=2,
    )
    with pytest.raises(KeyError):
        read_visit(stocked, "nowhere")


def test_open_visits_are_the_drafts(stocked: Store, season: SeasonFacts) -> None:
    assert read_open_visits(stocked) == ()
    walk = Round(new_id(), date(2026, 10, 20), season.people[0].id)
    draft = Visit(new_id(), walk.id, season.bays[0].id, season.plantings[0].id, walk.held_on, walk.scout_id)
    add(stocked, walk, draft)
    assert read_open_visits(stocked) == (draft,)


def large_farm() -> list[Any]:
    """200 bays, 10 marked plants each, 26 weekly rounds: 52,000 readings."""
    scout = factory.person()
    facts: list[Any] = []
    walked = []
    for number in range(20):
        house = House(new_id(), f"House {number}", HouseKind.NET_HOUSE, 100.0, 40.0)
        facts.append(house)
        for place in range(10):
            bay = factory.bay(house, name=f"Bay {place}")
            planting = factory.planting(bay)
            marked = factory.plants(planting)
            facts += [bay, planting, *marked]
            walked.append((bay, planting, marked))
    for week in range(26):
        walk = Round(new_id(), factory.FIRST_ROUND + timedelta(weeks=week), scout.id)
        facts.append(walk)
        for bay, planting, marked in walked:
            visit = Visit(
                new_id(), walk.id, bay.id, planting.id, walk.held_on, scout.id, VisitState.DONE, NOON, NOON
            )
            facts.append(visit)
            facts += [
                Reading(new_id(), visit.id, plant.id, height_cm=30.5 + week, flowers=2.0, fruit_green=3.0)
                for plant in marked
            ]
    return [scout, *facts]


def test_a_large_farm_is_written_and_read_in_time(store: Store) -> None:
    """Measured alone: about 1.7 s to write 60,000 rows and 0.4 s to read them; the limits allow a busy machine."""
    facts = large_farm()
    started = time.process_time()
    add(store, *facts)
    written = time.process_time()
    found = read_season(store)
    read = time.process_time()
    assert len(found.readings) == 52_000
    assert len(all_of(found)) == len(facts)
    assert written - started < 8
    assert read - written < 2
