"""Two people on one visit: the second one sees what the first one typed, and chooses; nothing is overwritten."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from uuid import uuid4

import pytest

import factory
import postgres
from bayround.facts.problems import TypedMeanwhile
from bayround.facts.rounds import PestCheck, PlantState, Round, Visit
from bayround.facts.season import SeasonFacts
from bayround.facts.server_address import ServerAddress
from bayround.facts.typed import Typed
from bayround.records import write_visit as write
from bayround.records.read_visit import read_visit
from bayround.records.server import ServerStore, open_server_farm

NOW = datetime(2026, 10, 20, 14, 5, tzinfo=UTC)


@pytest.fixture
def anna(server_farm: ServerAddress) -> Iterator[ServerStore]:
    with open_server_farm(server_farm) as farm:
        yield farm


@pytest.fixture
def ben(server_farm: ServerAddress) -> Iterator[ServerStore]:
    with open_server_farm(server_farm) as farm:
        yield farm


@pytest.fixture
def visit(anna: ServerStore, server_season: SeasonFacts) -> Visit:
    round_ = write.start_round(anna, Round(uuid4().hex, NOW.date(), server_season.people[0].id))
    planting = server_season.plantings[0]
    wanted = Visit(
        uuid4().hex, round_.id, planting.bay_id, planting.id, NOW.date(), round_.scout_id, started_at=NOW
    )
    return write.start_visit(anna, wanted)


def saw(season: SeasonFacts, place: tuple[str, str], value: object) -> Typed:
    return Typed(season.people[0].id, NOW, {place: value})


def test_the_second_one_is_told_who_typed_what_and_when(
    anna: ServerStore, ben: ServerStore, visit: Visit, server_season: SeasonFacts
) -> None:
    plant = server_season.marked_plants[0].id
    place = (plant, "height_cm")
    write.save_cell(anna, visit.id, *place, 61.0, saw(server_season, place, None))
    with pytest.raises(TypedMeanwhile, match=r"now “61.0”.*“63.0” was not saved") as told:
        write.save_cell(ben, visit.id, *place, 63.0, saw(server_season, place, None))
    assert (told.value.now, told.value.wanted, told.value.place) == (61.0, 63.0, place)
    assert (told.value.person_id, told.value.at) == (server_season.people[0].id, NOW)
    assert read_visit(ben, visit.id).readings[0].height_cm == 61.0
    write.save_cell(ben, visit.id, *place, 63.0, saw(server_season, place, 61.0))  # chosen with open eyes
    assert read_visit(anna, visit.id).readings[0].height_cm == 63.0


def test_different_cells_of_one_plant_and_the_same_value_twice_are_no_quarrel(
    anna: ServerStore, ben: ServerStore, visit: Visit, server_season: SeasonFacts
) -> None:
    plant = server_season.marked_plants[0].id
    for farm, field, value in ((anna, "height_cm", 61.0), (ben, "fruit_set", 4.0), (ben, "height_cm", 61.0)):
        write.save_cell(farm, visit.id, plant, field, value, saw(server_season, (plant, field), None))
    (reading,) = read_visit(anna, visit.id).readings
    assert (reading.height_cm, reading.fruit_set) == (61.0, 4.0)


def test_a_block_is_refused_as_a_whole(
    anna: ServerStore, ben: ServerStore, visit: Visit, server_season: SeasonFacts
) -> None:
    first, second = (plant.id for plant in server_season.marked_plants[:2])
    write.save_cell(anna, visit.id, second, "height_cm", 61.0)
    seen = {(first, "height_cm"): None, (second, "height_cm"): None}
    block = [(first, "height_cm", 50.0), (second, "height_cm", 51.0)]
    with pytest.raises(TypedMeanwhile):
        write.save_cells(ben, visit.id, block, Typed(None, NOW, seen))
    (reading,) = read_visit(anna, visit.id).readings
    assert (reading.marked_plant_id, reading.height_cm) == (second, 61.0)


def test_plant_states_rows_and_notes_are_looked_after_too(
    anna: ServerStore, ben: ServerStore, visit: Visit, server_season: SeasonFacts
) -> None:
    plant = server_season.marked_plants[0].id
    write.save_plant_state(anna, visit.id, plant, PlantState.DEAD)
    with pytest.raises(TypedMeanwhile):
        write.save_plant_state(
            ben,
            visit.id,
            plant,
            PlantState.SKIPPED,
            saw(server_season, (plant, "state"), PlantState.STANDING),
        )
    check = factory.check("thrips", 30, 2, id=uuid4().hex, visit_id=visit.id)
    write.save_check(anna, check, saw(server_season, (check.id, ""), None))
    write.save_check(anna, replace(check, infested=3), saw(server_season, (check.id, ""), check))
    with pytest.raises(TypedMeanwhile) as told:
        write.save_check(ben, replace(check, infested=4), saw(server_season, (check.id, ""), check))
    assert isinstance(told.value.now, PestCheck)
    assert told.value.now.infested == 3
    write.save_visit_note(anna, visit.id, "wet at the door")
    with pytest.raises(TypedMeanwhile, match="wet at the door"):
        write.save_visit_note(ben, visit.id, "dry", saw(server_season, (visit.id, "note"), ""))


def test_both_finish_and_it_is_finished_once(
    anna: ServerStore, ben: ServerStore, visit: Visit, server_farm: ServerAddress, server_season: SeasonFacts
) -> None:
    write.save_cell(anna, visit.id, server_season.marked_plants[0].id, "height_cm", 61.0,
                    saw(server_season, (server_season.marked_plants[0].id, "height_cm"), None))  # fmt: skip
    write.finish_visit(anna, visit.id, NOW)
    write.finish_visit(ben, visit.id, NOW.replace(hour=18))
    assert read_visit(ben, visit.id).visit.finished_at == NOW
    assert postgres.shared().ask(server_farm.database, "SELECT count(*) FROM keyed_cell") == [(0,)]


def test_both_begin_a_bay_and_it_is_begun_once(anna: ServerStore, ben: ServerStore, visit: Visit) -> None:
    assert write.start_visit(ben, replace(visit, id=uuid4().hex)) == visit
