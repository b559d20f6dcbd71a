"""What the check finds in a farm file that can be opened and yet can't be true."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

import factory
from bayround.facts.ids import new_id
from bayround.facts.rounds import DoubtAnswer, Reading, Round
from bayround.facts.season import SeasonFacts
from bayround.facts.work import JobKind, JobRecord, Pick, WeekClose
from bayround.records.check import check
from bayround.records.store import Store
from bayround.records.write_setup import add

NOW = datetime(2026, 10, 20, tzinfo=UTC)


def other_planting(season: SeasonFacts, **changes: Any) -> list[Any]:
    bay = factory.bay(season.houses[0], name="Bay 2")
    planting = factory.planting(bay, **changes)
    return [bay, planting, *factory.plants(planting, 2)]


def strange_reading(season: SeasonFacts) -> list[Any]:
    others = other_planting(season)
    return [*others, Reading(new_id(), season.visits[0].id, others[-1].id, flowers=1.0)]


def strange_answer(season: SeasonFacts) -> list[Any]:
    others = other_planting(season)
    return [*others, DoubtAnswer(new_id(), season.visits[0].id, others[-1].id, "flowers", 1.0, "band")]


def strange_visit(season: SeasonFacts) -> list[Any]:
    others = other_planting(season)
    walk = Round(new_id(), date(2026, 10, 20), season.people[0].id)
    visit = replace(season.visits[0], id=new_id(), round_id=walk.id, planting_id=others[1].id)
    return [*others, walk, visit]


def strange_pick(season: SeasonFacts) -> list[Any]:
    others = other_planting(season)
    return [*others, Pick(new_id(), season.bays[0].id, others[1].id, date(2026, 10, 20), 3.0)]


def visit_too_early(season: SeasonFacts) -> list[Any]:
    walk = Round(new_id(), date(2026, 7, 6), season.people[0].id)
    return [walk, replace(season.visits[0], id=new_id(), round_id=walk.id, visited_on=walk.held_on)]


def two_crops(season: SeasonFacts) -> list[Any]:
    return [factory.planting(season.bays[0], transplanted_on=date(2026, 9, 1), removed_on=date(2026, 9, 20))]


def doubled_number(season: SeasonFacts) -> list[Any]:
    return [replace(season.marked_plants[0], id=new_id(), row=2)]


def row_beyond(season: SeasonFacts) -> list[Any]:
    return [replace(season.marked_plants[0], id=new_id(), number=99, row=11)]


def strange_replacement(season: SeasonFacts) -> list[Any]:
    others = other_planting(season)
    return [*others, replace(others[-1], id=new_id(), number=9, replaces_id=season.marked_plants[0].id)]


def job_without_step(season: SeasonFacts) -> list[Any]:
    return [JobRecord(new_id(), season.bays[0].id, JobKind.WEED, "", NOW.date(), NOW.date(), "")]


def treatment_of_nothing(season: SeasonFacts) -> list[Any]:
    return [factory.treatment()]


def week_of_no_calendar(season: SeasonFacts) -> list[Any]:
    return [WeekClose(new_id(), "2026-W54", NOW, 1, "")]


def week_closed_ahead(season: SeasonFacts) -> list[Any]:
    return [WeekClose(new_id(), "2026-W43", NOW, 99, "")]


IMPOSSIBLE: list[tuple[Callable[[SeasonFacts], list[Any]], str]] = [
    (strange_reading, "Reading .* plant in another planting"),
    (strange_answer, "Answer .* plant in another planting"),
    (strange_visit, "Visit .* planting in another bay"),
    (strange_pick, "Pick .* planting in another bay"),
    (visit_too_early, "Visit .* did not stand"),
    (two_crops, "in one bay at the same time"),
    (doubled_number, "Two marked plants .* number 1"),
    (row_beyond, "in a row that its bay has not"),
    (strange_replacement, "replaces one of another planting"),
    (job_without_step, "Job .* no first step"),
    (treatment_of_nothing, "Treatment .* covers no bay"),
    (week_of_no_calendar, "“2026-W54” is not in the calendar"),
    (week_closed_ahead, "2026-W43 was closed at a later state"),
]


@pytest.mark.parametrize(("made", "words"), IMPOSSIBLE, ids=[made.__name__ for made, _words in IMPOSSIBLE])
def test_what_cannot_be_true_is_found(
    stocked: Store, season: SeasonFacts, made: Callable[[SeasonFacts], list[Any]], words: str
) -> None:
    assert check(stocked) == ()
    add(stocked, *made(season))
    findings = check(stocked)
    assert len(findings) == 1
    with pytest.raises(AssertionError, match=words):
        raise AssertionError(findings[0])


def test_what_follows_in_the_same_bay_is_fine(stocked: Store, season: SeasonFacts) -> None:
    gone, again = date(2026, 10, 31), date(2026, 10, 31)
    old = season.plantings[0]
    bay = factory.bay(season.houses[0], name="Bay 2")
    add(
        stocked,
        bay,
        replace(old, id="one", bay_id=bay.id, removed_on=gone),
        replace(old, id="two", bay_id=bay.id, transplanted_on=again),
        replace(season.marked_plants[0], id="ended", ended_on=gone),
    )
    assert check(stocked) == ()


def test_a_value_of_a_wrong_type_is_found(stocked: Store) -> None:
    """SQLite keeps text in a column of numbers ("Datatypes In SQLite", flexible typing)."""
    with stocked.writing() as connection:
        connection.exec_driver_sql("UPDATE reading SET height_cm = 'tall' WHERE rowid = 3")
    assert check(stocked) == ("“reading” holds values of a wrong type.",)


def test_a_reference_to_nothing_is_found(stocked: Store, season: SeasonFacts) -> None:
    with stocked.reading() as connection:
        raw: Any = connection.connection.driver_connection
    raw.execute("PRAGMA foreign_keys = OFF")
    raw.execute("DELETE FROM person")
    findings = check(stocked)
    assert len(findings) == 4
    assert "“round”, line 1, refers to a record in “person” that is not there." in findings


def test_a_broken_rule_of_a_table_is_found(stocked: Store) -> None:
    with stocked.writing() as connection:
        connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
        connection.exec_driver_sql("UPDATE reading SET flowers = -1 WHERE rowid = 3")
        connection.exec_driver_sql("PRAGMA ignore_check_constraints = OFF")
    (finding,) = check(stocked)
    assert "CHECK constraint failed in reading" in finding


def test_a_second_farm_is_found(stocked: Store) -> None:
    with stocked.writing() as connection:
        connection.exec_driver_sql(
            "INSERT INTO farm SELECT 'x', name, invented, currency, revision, NULL FROM farm"
        )
    assert check(stocked) == ("The farm's own record is there 2 times instead of once.",)
