"""A round keyed in cell by cell: drafts take values freely, finished visits don't."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.rounds import (
    READING_FIELDS,
    CardCount,
    DoubtAnswer,
    PestCheck,
    PlantState,
    Round,
    Visit,
    VisitState,
    WeedNote,
)
from bayround.facts.season import SeasonFacts
from bayround.records import write_visit as write
from bayround.records.history import REMOVED
from bayround.records.opening import open_place
from bayround.records.read_season import read_season
from bayround.records.read_visit import read_open_visits, read_revision, read_visit
from bayround.records.store import Store

ON_BOTH = True
NOW = datetime(2026, 10, 20, 14, 5, tzinfo=UTC)
DAY = date(2026, 10, 20)


@pytest.fixture
def visit(stocked: Store, season: SeasonFacts) -> Visit:
    """A draft visit of the farm's bay, begun a week after the last one."""
    walk = write.start_round(stocked, Round(new_id(), DAY, season.people[0].id))
    begun = Visit(
        new_id(), walk.id, season.bays[0].id, season.plantings[0].id, DAY, walk.scout_id, started_at=NOW
    )
    return write.start_visit(stocked, begun)


def test_a_visit_starts_once_a_round_and_bay(stocked: Store, visit: Visit) -> None:
    revision = read_revision(stocked)
    assert write.start_visit(stocked, replace(visit, id="another")) == visit
    assert read_open_visits(stocked) == (visit,)
    assert read_revision(stocked) == revision


def test_a_visit_needs_its_crop_in_the_bay_on_that_day(stocked: Store, season: SeasonFacts) -> None:
    walk = write.start_round(stocked, Round(new_id(), date(2026, 7, 1), season.people[0].id))
    early = Visit(new_id(), walk.id, season.bays[0].id, season.plantings[0].id, walk.held_on, walk.scout_id)
    with pytest.raises(Refused, match="does not stand"):
        write.start_visit(stocked, early)
    assert read_open_visits(stocked) == ()
    with pytest.raises(ValueError, match="draft"):
        write.start_visit(stocked, replace(early, state=VisitState.DONE))


def test_each_cell_is_kept_at_once(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    plants = season.marked_plants
    with open_place(stocked.place, read_only=True) as other:
        for number, field in enumerate(READING_FIELDS):
            write.save_cell(stocked, visit.id, plants[0].id, field, number + 0.5)
            (reading,) = read_visit(other, visit.id).readings
            assert reading.value(field) == number + 0.5
    assert reading.marked_plant_id == plants[0].id
    assert [reading.value(field) for field in READING_FIELDS] == [n + 0.5 for n in range(len(READING_FIELDS))]
    write.save_cell(stocked, visit.id, plants[0].id, "flowers", None)
    write.save_cell(stocked, visit.id, plants[0].id, "height_cm", 0.1)
    (reading,) = read_visit(stocked, visit.id).readings
    assert (reading.flowers, reading.height_cm, reading.nodes) == (None, 0.1, 3.5)


def test_emptying_an_empty_cell_makes_no_reading(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    write.save_cell(stocked, visit.id, season.marked_plants[0].id, "flowers", None)
    assert read_visit(stocked, visit.id).readings == ()


def test_zero_is_a_number(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    write.save_cell(stocked, visit.id, season.marked_plants[0].id, "flowers", 0.0)
    (reading,) = read_visit(stocked, visit.id).readings
    assert reading.flowers == 0.0


def test_a_block_is_kept_whole_or_not_at_all(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    one, two = season.marked_plants[:2]
    write.save_cells(
        stocked, visit.id, [(one.id, "height_cm", 50.0), (two.id, "flowers", 3.0), (one.id, "flowers", 2.0)]
    )
    kept = read_visit(stocked, visit.id).readings
    assert {(r.marked_plant_id, r.height_cm, r.flowers) for r in kept} == {
        (one.id, 50.0, 2.0),
        (two.id, None, 3.0),
    }
    with pytest.raises(Refused, match="height_cm_above_zero"):
        write.save_cells(stocked, visit.id, [(two.id, "flowers", 9.0), (one.id, "height_cm", -1.0)])
    assert read_visit(stocked, visit.id).readings == kept


def test_cells_of_nowhere_are_faults_of_the_program(
    stocked: Store, visit: Visit, season: SeasonFacts
) -> None:
    plant = season.marked_plants[0].id
    for where in (
        (visit.id, plant, "weight"),
        (visit.id, "nobody", "flowers"),
        ("nowhere", plant, "flowers"),
    ):
        with pytest.raises(KeyError):
            write.save_cell(stocked, *where, 1.0)
    assert read_visit(stocked, visit.id).readings == ()


def test_state_and_note_of_a_plant(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    plant = season.marked_plants[3].id
    write.save_plant_state(stocked, visit.id, plant, PlantState.DEAD)
    write.save_plant_note(stocked, visit.id, plant, "broken at the tie")
    (reading,) = read_visit(stocked, visit.id).readings
    assert (reading.state, reading.note, reading.height_cm) == (PlantState.DEAD, "broken at the tie", None)


def test_checks_cards_and_weeds_are_typed_anew_and_taken_out(
    stocked: Store, visit: Visit, season: SeasonFacts
) -> None:
    check = PestCheck(new_id(), visit.id, "aphids", "leaf", 20, 3, where="row 2")
    card = CardCount(new_id(), visit.id, "1", "whitefly", 12, 7.0)
    weed = WeedNote(new_id(), visit.id, 4.0)
    write.save_check(stocked, check)
    write.save_card(stocked, card)
    write.save_weed(stocked, weed)
    check, card, weed = replace(check, infested=5), replace(card, count=13), replace(weed, seeding=True)
    write.save_check(stocked, check)
    write.save_card(stocked, card)
    write.save_weed(stocked, weed)
    seen = read_visit(stocked, visit.id)
    assert (seen.pest_checks, seen.card_counts, seen.weed_notes) == ((check,), (card,), (weed,))
    person = season.people[0].id
    write.remove_check(stocked, check.id, person, NOW)
    write.remove_card(stocked, card.id, person, NOW)
    write.remove_weed(stocked, weed.id, None, NOW)
    seen = read_visit(stocked, visit.id)
    assert (seen.pest_checks, seen.card_counts, seen.weed_notes) == ((), (), ())
    history = read_season(stocked).corrections
    assert [(entry.table_name, entry.field, entry.after) for entry in history] == [
        ("pest_check", REMOVED, ""),
        ("card_count", REMOVED, ""),
        ("weed_note", REMOVED, ""),
    ]
    assert '"infested": "5"' in history[0].before
    assert '"where": "row 2"' in history[0].before
    write.remove_check(stocked, check.id, person, NOW)
    assert read_season(stocked).corrections == history


def test_a_visit_note_and_an_answered_doubt(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    write.save_visit_note(stocked, visit.id, "door left open")
    answer = DoubtAnswer(new_id(), visit.id, season.marked_plants[0].id, "height_cm", 180.0, "growth", NOW)
    write.answer_doubt(stocked, answer)
    seen = read_visit(stocked, visit.id)
    assert (seen.visit.note, seen.doubt_answers) == ("door left open", (answer,))


def test_a_finished_visit_takes_corrections_only(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    plant = season.marked_plants[0].id
    check = PestCheck(new_id(), visit.id, "aphids", "leaf", 20, 3)
    write.save_check(stocked, check)
    write.save_cell(stocked, visit.id, plant, "flowers", 2.0)
    write.finish_visit(stocked, visit.id, NOW)
    done = read_visit(stocked, visit.id)
    assert (done.visit.state, done.visit.finished_at) == (VisitState.DONE, NOW)
    attempts: list[Callable[[], None]] = [
        lambda: write.save_cell(stocked, visit.id, plant, "flowers", 3.0),
        lambda: write.save_plant_state(stocked, visit.id, plant, PlantState.DEAD),
        lambda: write.save_plant_note(stocked, visit.id, plant, "x"),
        lambda: write.save_check(stocked, replace(check, infested=4)),
        lambda: write.save_check(stocked, replace(check, id=new_id())),
        lambda: write.remove_check(stocked, check.id, None, NOW),
        lambda: write.save_visit_note(stocked, visit.id, "x"),
    ]
    for attempt in attempts:
        with pytest.raises(Refused, match="finished") as told:
            attempt()
        assert "Correct" in told.value.to_do
    assert read_visit(stocked, visit.id) == done


def test_finishing_again_changes_nothing(stocked: Store, visit: Visit) -> None:
    write.finish_visit(stocked, visit.id, NOW)
    done = read_visit(stocked, visit.id)
    write.finish_visit(stocked, visit.id, datetime(2027, 1, 1, tzinfo=UTC))
    assert read_visit(stocked, visit.id) == done
    with pytest.raises(KeyError):
        write.finish_visit(stocked, "nowhere", NOW)


def test_a_draft_is_found_where_it_stopped(stocked: Store, visit: Visit, season: SeasonFacts) -> None:
    write.save_cell(stocked, visit.id, season.marked_plants[0].id, "height_cm", 61.0)
    stocked.close()
    with open_place(stocked.place) as again:
        assert read_open_visits(again) == (visit,)
        assert read_visit(again, visit.id).readings[0].height_cm == 61.0
