"""Corrections of finished records, and the chain that shows whether their history was altered.

SHA-256: FIPS 180-4; the chain is reckoned here a second time, from its description.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest

import factory
from bayround.facts.ids import new_id
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.rounds import PestCheck, PlantState, Reading, Round, Visit, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Pick, TreatmentBay
from bayround.records.check import check
from bayround.records.corrections import Change, add_late, correct, correct_all, correctable_fields
from bayround.records.history import ADDED, chain_head, verify_chain
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.write_setup import add, change
from bayround.records.write_work import add_treatment

ON_BOTH = True
NOW = datetime(2026, 10, 21, 8, 30, tzinfo=timezone(timedelta(hours=3)))


def reading_of(store: Store, row_id: str) -> Reading:
    return next(reading for reading in read_season(store).readings if reading.id == row_id)


def test_before_after_who_when_why_are_kept(stocked: Store, season: SeasonFacts) -> None:
    reading, person = season.readings[0], season.people[0].id
    entry = correct(stocked, "reading", reading.id, "height_cm", 101.0, person, NOW, "misread tape", 100.0)
    assert reading_of(stocked, reading.id) == replace(reading, height_cm=101.0)
    assert entry is not None
    assert read_season(stocked).corrections == (entry,)
    assert (entry.table_name, entry.row_id, entry.field, entry.before, entry.after) == (
        "reading", reading.id, "height_cm", "100.0", "101.0",
    )  # fmt: skip
    assert (entry.person_id, entry.corrected_at, entry.reason) == (person, NOW, "misread tape")
    assert check(stocked) == ()


@pytest.mark.parametrize(
    ("field", "after", "kept"),
    [
        ("height_cm", None, ""),
        ("flowers", 3, "3.0"),
        ("state", PlantState.DEAD, "dead"),
        ("note", "bent", "bent"),
    ],
)
def test_every_kind_of_value(stocked: Store, season: SeasonFacts, field: str, after: Any, kept: str) -> None:
    reading = season.readings[0]
    entry = correct(stocked, "reading", reading.id, field, after, None, NOW, "seen again")
    assert entry is not None
    assert entry.after == kept
    assert getattr(reading_of(stocked, reading.id), field) == after
    assert check(stocked) == ()


def test_visits_treatments_and_picks_too(stocked: Store, season: SeasonFacts) -> None:
    treatment = factory.treatment(re_entry_hours=None)
    add_treatment(stocked, treatment, [season.bays[0].id])
    pick = Pick(new_id(), season.bays[0].id, season.plantings[0].id, date(2026, 10, 20), 62.5)
    seen: list[Any] = [
        PestCheck(new_id(), season.visits[0].id, "aphids", "leaf", 20, 3),
        WeedNote(new_id(), season.visits[0].id, 4.0),
    ]
    add(stocked, pick, *seen)
    correct(stocked, "treatment", treatment.id, "re_entry_hours", 24.0, None, NOW, "read the label")
    correct(stocked, "treatment", treatment.id, "ended_at", NOW, None, NOW, "wrong day")
    correct(stocked, "pick", pick.id, "kg", 26.5, None, NOW, "digits turned")
    correct(stocked, "visit", season.visits[0].id, "visited_on", date(2026, 10, 7), None, NOW, "wrong day")
    correct(stocked, "pest_check", seen[0].id, "infested", 4, None, NOW, "counted again")
    correct(stocked, "weed_note", seen[1].id, "seeding", True, None, NOW, "looked again")
    found = read_season(stocked)
    assert found.treatments[0] == replace(treatment, re_entry_hours=24.0, ended_at=NOW)
    assert found.picks[0].kg == 26.5
    assert {visit.visited_on for visit in found.visits} == {date(2026, 10, 7), date(2026, 10, 13)}
    assert [entry.after for entry in found.corrections] == [
        "24.0", "2026-10-21T05:30:00+00:00", "26.5", "2026-10-07", "4", "yes",
    ]  # fmt: skip
    assert check(stocked) == ()


def test_overtaken_when_the_value_is_not_what_the_person_saw(stocked: Store, season: SeasonFacts) -> None:
    reading = season.readings[0]
    correct(stocked, "reading", reading.id, "flowers", 4.0, None, NOW, "first", expected_before=2.0)
    with pytest.raises(Overtaken, match=r"4\.0"):
        correct(stocked, "reading", reading.id, "flowers", 5.0, None, NOW, "second", expected_before=2.0)
    with pytest.raises(Overtaken):
        correct(stocked, "reading", reading.id, "nodes", 5.0, None, NOW, "third", expected_before=1.0)
    assert reading_of(stocked, reading.id).flowers == 4.0
    assert chain_head(stocked)[0] == 1


def test_the_same_value_is_no_correction(stocked: Store, season: SeasonFacts) -> None:
    assert correct(stocked, "reading", season.readings[0].id, "flowers", 2.0, None, NOW, "again") is None
    assert chain_head(stocked) == (0, "")


def test_what_may_not_be_corrected(stocked: Store, season: SeasonFacts) -> None:
    reading, visit = season.readings[0], season.visits[0]
    with pytest.raises(Refused, match="reason"):
        correct(stocked, "reading", reading.id, "flowers", 3.0, None, NOW, "  ")
    with pytest.raises(Refused, match="height_cm_above_zero"):
        correct(stocked, "reading", reading.id, "height_cm", -3.0, None, NOW, "x")
    for table, row, field in (
        ("reading", reading.id, "visit_id"),
        ("reading", reading.id, "id"),
        ("reading", "nowhere", "flowers"),
        ("visit", visit.id, "state"),
        ("house", season.houses[0].id, "name"),
        ("farm", "x", "name"),
        ("nothing", "x", "name"),
    ):
        with pytest.raises(KeyError):
            correct(stocked, table, row, field, "x", None, NOW, "x")
    assert "planting_id" not in correctable_fields("visit")
    assert chain_head(stocked) == (0, "")


def test_a_draft_needs_no_correction(stocked: Store, season: SeasonFacts) -> None:
    walk = Round(new_id(), date(2026, 10, 20), season.people[0].id)
    draft = Visit(new_id(), walk.id, season.bays[0].id, season.plantings[0].id, walk.held_on, walk.scout_id)
    reading = Reading(new_id(), draft.id, season.marked_plants[0].id, flowers=1.0)
    add(stocked, walk, draft, reading)
    for table, row, field in (("visit", draft.id, "note"), ("reading", reading.id, "note")):
        with pytest.raises(Refused, match="draft"):
            correct(stocked, table, row, field, "x", None, NOW, "x")
    with pytest.raises(Refused, match="draft"):
        add_late(stocked, WeedNote(new_id(), draft.id, 3.0), None, NOW, "forgotten")


def test_what_was_left_out_is_added_with_its_history(stocked: Store, season: SeasonFacts) -> None:
    check_ = PestCheck(new_id(), season.visits[0].id, "thrips", "flower", 20, 1)
    with pytest.raises(Refused, match="reason"):
        add_late(stocked, check_, None, NOW, "")
    entry = add_late(stocked, check_, None, NOW, "on the back of the sheet")
    found = read_season(stocked)
    assert found.pest_checks == (check_,)
    assert (entry.field, entry.before) == (ADDED, "")
    assert json.loads(entry.after)["infested"] == "1"
    treatment = factory.treatment()
    other = factory.bay(season.houses[0], name="Bay 2")
    add(stocked, other)
    add_treatment(stocked, treatment, [season.bays[0].id])
    add_late(stocked, TreatmentBay(new_id(), treatment.id, other.id), None, NOW, "drift")
    assert {link.bay_id for link in read_season(stocked).treatment_bays} == {season.bays[0].id, other.id}
    assert check(stocked) == ()


def test_a_reading_of_a_plant_of_another_crop_is_not_added(stocked: Store, season: SeasonFacts) -> None:
    other = factory.bay(season.houses[0], name="Bay 2")
    planting = factory.planting(other)
    (strange,) = factory.plants(planting, 1)
    add(stocked, other, planting, strange)
    with pytest.raises(KeyError):
        add_late(stocked, Reading(new_id(), season.visits[0].id, strange.id), None, NOW, "left out")
    assert chain_head(stocked) == (0, "")


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-400, "does not stand"),
        (-8, "more than 7 days off"),
        (-7, ""),
        (1, ""),
        (2, "still to come"),
        (4000, "still to come"),
    ],
)
def test_a_visit_is_moved_within_its_round_only(
    stocked: Store, season: SeasonFacts, days: int, words: str
) -> None:
    """A round is weekly (common practice, no source); nobody was there before the crop or tomorrow."""
    visit = season.visits[1]
    day, next_day = visit.visited_on + timedelta(days=days), NOW.replace(day=14)
    assert visit.visited_on == date(2026, 10, 13)
    if words:
        with pytest.raises(Refused, match=words):
            correct(stocked, "visit", visit.id, "visited_on", day, None, next_day, "typo")
        assert chain_head(stocked) == (0, "")
        return
    assert correct(stocked, "visit", visit.id, "visited_on", day, None, next_day, "typo")
    assert check(stocked) == ()


def test_several_records_are_corrected_whole_or_not_at_all(stocked: Store, season: SeasonFacts) -> None:
    first, second = season.readings[:2]
    good = Change("reading", first.id, {"flowers": 9.0}, {"flowers": first.flowers})
    stale = Change("reading", second.id, {"flowers": 8.0}, {"flowers": 7.0})
    with pytest.raises(Overtaken, match=r"it is now “2[.]0”[.] Your value “8[.]0”"):
        correct_all(stocked, [good, stale], None, NOW, "rows shifted")
    assert reading_of(stocked, first.id) == first
    assert chain_head(stocked) == (0, "")
    entries = correct_all(stocked, [good, replace(stale, seen={})], None, NOW, "rows shifted")
    assert [entry.after for entry in entries] == ["9.0", "8.0"]
    assert verify_chain(stocked) == ()


def three_corrections(store: Store, season: SeasonFacts) -> None:
    for number in (3.0, 4.0, 5.0):
        correct(store, "reading", season.readings[0].id, "flowers", number, None, NOW, f"to {number}")


def test_the_chain_by_its_description(stocked: Store, season: SeasonFacts) -> None:
    three_corrections(stocked, season)
    head = ""
    for e in read_season(stocked).corrections:
        moment = e.corrected_at.astimezone(UTC).isoformat()
        content = [e.id, e.table_name, e.row_id, e.field, e.before, e.after, e.person_id, moment, e.reason]
        text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
        head = hashlib.sha256(f"{head}\n{text}".encode()).hexdigest()
        assert e.chain == head
    assert chain_head(stocked) == (3, head)
    assert verify_chain(stocked) == ()


@pytest.mark.parametrize(
    ("meddling", "words"),
    [
        ("UPDATE correction SET reason = 'nicer' WHERE sequence = 2", "altered at entry 2"),
        ("UPDATE correction SET before = '2' WHERE sequence = 1", "altered at entry 1"),
        (
            "UPDATE correction SET corrected_at = '2026-10-21 05:30:00.000001' WHERE sequence = 3",
            "altered at entry 3",
        ),
        ("DELETE FROM correction WHERE sequence = 2", "lacks entry 2"),
        ("DELETE FROM correction WHERE sequence = 1", "lacks entry 1"),
        ("UPDATE correction SET sequence = 3 - sequence + 10", "lacks entry 1"),
    ],
)
def test_meddling_with_the_history_shows(
    stocked: Store, season: SeasonFacts, meddling: str, words: str
) -> None:
    three_corrections(stocked, season)
    with stocked.writing() as connection:
        connection.exec_driver_sql(meddling)
    assert words in "".join(verify_chain(stocked))
    assert any(words in finding for finding in check(stocked))


def test_cutting_off_the_newest_shows_by_the_head_kept_outside(stocked: Store, season: SeasonFacts) -> None:
    three_corrections(stocked, season)
    outside = chain_head(stocked)
    with stocked.writing() as connection:
        connection.exec_driver_sql("DELETE FROM correction WHERE sequence = 3")
    assert verify_chain(stocked) == ()
    assert chain_head(stocked) != outside
    assert check(stocked) != ()  # the value that is there is no longer explained


def test_a_value_changed_behind_the_history_shows(stocked: Store, season: SeasonFacts) -> None:
    three_corrections(stocked, season)
    change(stocked, replace(season.houses[0], name="North"), None, NOW)
    assert check(stocked) == ()
    with stocked.writing() as connection:
        connection.exec_driver_sql("UPDATE house SET name = 'South'")
        connection.exec_driver_sql(f"UPDATE reading SET flowers = 9 WHERE id = '{season.readings[0].id}'")
    assert len(check(stocked)) == 2
