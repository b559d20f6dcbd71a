"""The farm as set up and what was done in it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy.exc import IntegrityError
from stocking import all_of

import factory
from bayround.facts.farm import FarmInfo
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.facts.work import (
    Correction,
    Pick,
    ProfileOverride,
    WeekClose,
)
from bayround.records import write_work as work
from bayround.records.check import check
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.write_setup import add, change

ON_BOTH = True
NOW = datetime(2026, 10, 20, 14, 5, tzinfo=UTC)


def test_any_order_of_facts_will_do(store: Store, season: SeasonFacts) -> None:
    add(store, *reversed(all_of(season)))
    found = read_season(store)
    assert {fact.id for fact in all_of(found)} == {fact.id for fact in all_of(season)}
    assert store.info().revision == 1


def test_a_replacement_may_come_before_the_plant_it_replaces(stocked: Store, season: SeasonFacts) -> None:
    old = replace(season.marked_plants[0], id="old", number=11)
    add(stocked, replace(old, id="new", number=12, replaces_id="old"), old)
    assert {"old", "new"} <= {plant.id for plant in read_season(stocked).marked_plants}
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"):  # checked at the end of the step
        add(stocked, replace(old, id="newer", number=13, replaces_id="nobody"))


def test_what_is_no_fact_of_a_table_is_a_fault_of_the_program(store: Store, season: SeasonFacts) -> None:
    with pytest.raises(KeyError):
        add(store, season.people[0], object())
    with pytest.raises(TypeError):
        add(store, store.info())
    add(store)
    assert store.info().revision == 0


def test_each_changed_field_goes_into_the_history(stocked: Store, season: SeasonFacts) -> None:
    house, person = season.houses[0], season.people[0]
    entries = change(
        stocked, replace(house, name="North", wire_height_m=None), person.id, NOW, "measured again"
    )
    found = read_season(stocked)
    assert found.houses[0] == replace(house, name="North", wire_height_m=None)
    assert found.corrections == entries
    assert [(e.field, e.before, e.after) for e in entries] == [
        ("name", house.name, "North"),
        ("wire_height_m", "2.4", ""),
    ]
    assert {(e.table_name, e.row_id, e.person_id, e.corrected_at, e.reason) for e in entries} == {
        ("house", house.id, person.id, NOW, "measured again")
    }
    assert check(stocked) == ()


def test_nothing_changed_nothing_written(stocked: Store, season: SeasonFacts) -> None:
    before = stocked.info()
    assert change(stocked, season.houses[0], None, NOW) == ()
    assert stocked.info() == before


def test_what_is_gone_has_a_date(stocked: Store, season: SeasonFacts) -> None:
    gone = date(2026, 10, 20)
    facts: list[Any] = [
        replace(season.bays[0], retired_on=gone),
        replace(season.plantings[0], removed_on=gone),
        replace(season.marked_plants[0], ended_on=gone, ended_why="broken"),
        replace(season.people[0], active=False),
    ]
    for fact in facts:
        change(stocked, fact, None, NOW)
    found = read_season(stocked)
    assert (found.bays[0], found.plantings[0], found.marked_plants[0], found.people[0]) == tuple(facts)
    assert len(found.corrections) == 5
    assert check(stocked) == ()


def test_the_farm_itself_changes_but_not_its_count(stocked: Store) -> None:
    info = stocked.info()
    change(stocked, replace(info, name="Hill and dale", currency="EUR", revision=99), None, NOW)
    assert stocked.info() == FarmInfo(info.id, "Hill and dale", False, "EUR", info.revision + 1)


def test_what_others_hang_off_does_not_move(stocked: Store, season: SeasonFacts) -> None:
    bay = factory.bay(season.houses[0], name="Bay 2")
    add(stocked, bay)
    with pytest.raises(Refused, match="bay_id"):
        change(stocked, replace(season.plantings[0], bay_id=bay.id), None, NOW)
    with pytest.raises(KeyError):
        change(stocked, factory.person(), None, NOW)
    with pytest.raises(Refused, match="length_m_above_zero"):
        change(stocked, replace(bay, length_m=0.0), None, NOW)
    found = read_season(stocked)
    assert (found.plantings, found.corrections) == (season.plantings, ())


def test_a_treatment_covers_bays_or_is_refused(stocked: Store, season: SeasonFacts) -> None:
    treatment, bay = factory.treatment(applied_by_id=season.people[0].id), season.bays[0].id
    with pytest.raises(Refused, match="bays it covered"):
        work.add_treatment(stocked, treatment, [])
    covered = work.add_treatment(stocked, treatment, [bay, bay])
    found = read_season(stocked)
    assert (found.treatments, found.treatment_bays) == ((treatment,), covered)
    assert [(link.treatment_id, link.bay_id) for link in covered] == [(treatment.id, bay)]


def test_a_treatment_with_a_bay_that_is_not_there_is_not_kept_by_half(stocked: Store) -> None:
    with pytest.raises(IntegrityError):
        work.add_treatment(stocked, factory.treatment(), ["nowhere"])
    assert read_season(stocked).treatments == ()


def test_a_pick_is_of_the_planting_in_its_bay(stocked: Store, season: SeasonFacts) -> None:
    pick = Pick(
        new_id(), season.bays[0].id, season.plantings[0].id, date(2026, 10, 20), 62.5, 400, "A", "red"
    )
    work.add_pick(stocked, pick)
    other = factory.bay(season.houses[0], name="Bay 2")
    add(stocked, other)
    with pytest.raises(Refused, match="not in this bay"):
        work.add_pick(stocked, replace(pick, id=new_id(), bay_id=other.id))
    assert read_season(stocked).picks == (pick,)


def test_overrides_and_closed_weeks_are_added_never_replaced(stocked: Store, season: SeasonFacts) -> None:
    person = season.people[0].id
    first = ProfileOverride(new_id(), "sweet_pepper", "load_high", 14.0, person, NOW, "our variety")
    second = replace(first, id=new_id(), value=15.0, changed_at=NOW + timedelta(days=1))
    closed = WeekClose(new_id(), "2026-W43", NOW, 2, "abc", person)
    work.override_number(stocked, second)
    work.override_number(stocked, first)
    work.close_week(stocked, closed)
    found = read_season(stocked)
    assert found.profile_overrides == (first, second)
    assert found.week_closes == (closed,)


def test_corrections_brought_along_get_this_farms_chain(stocked: Store, season: SeasonFacts) -> None:
    person = season.people[0]
    change(stocked, replace(person, name="Ash"), None, NOW)
    brought = Correction(
        new_id(), "person", person.id, "name", "Ash", "Ash", None, NOW, "import", "other chain"
    )
    add(stocked, brought)
    found = read_season(stocked).corrections[-1]
    assert replace(found, chain="other chain") == brought
    assert len(found.chain) == 64
    assert check(stocked) == ()
