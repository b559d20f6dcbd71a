"""A marked plant that is dead is replaced while the bay is keyed in: one step, once, with the new plant at hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import replacing_plants, rounds
from bayround.facts.farm import MarkedPlant
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.rounds import PlantState, Round, Visit
from bayround.records import write_setup, write_visit
from bayround.records.check import check


def begun(small: SmallFarm) -> tuple[str, tuple[MarkedPlant, ...]]:
    """Return a draft visit of the first bay and its ten marked plants."""
    marked = factory.plants(small.plantings[0])
    write_setup.add(small.open.store, *marked)
    return draft(small, TODAY), marked


def draft(small: SmallFarm, day: date) -> str:
    """Begin a round on a day and a visit of the first bay in it."""
    held = Round(new_id(), day, small.person.id)
    write_setup.add(small.open.store, held)
    bay, planting = small.bays[0], small.plantings[0]
    visit = Visit(new_id(), held.id, bay.id, planting.id, day, small.person.id)
    rounds.begin(small.open, visit)
    return visit.id


def test_the_dead_plant_stays_in_this_visit_and_the_new_one_is_read_from_now_on(small: SmallFarm) -> None:
    visit_id, marked = begun(small)
    third = marked[2]
    neighbour = MarkedPlant(new_id(), third.planting_id, 11, third.row, third.position + 1, marked_on=TODAY)
    write_setup.add(small.open.store, neighbour)
    new = replacing_plants.replace_plant(small.open, visit_id, third.id)
    assert (new.number, new.row, new.position) == (12, third.row, third.position + 2)
    assert (new.replaces_id, new.marked_on) == (third.id, TODAY)
    rows = {row.plant.id: row for row in rounds.read_sheet(small.open, visit_id).rows}
    reading = rows[third.id].reading
    assert reading is not None
    assert reading.state is PlantState.DEAD
    assert rows[new.id].reading is None
    rounds.save_cell(small.open, visit_id, new.id, "height_cm", 90.0)
    assert check(small.open.store) == ()


def test_a_plant_is_replaced_once_and_not_in_a_finished_visit(small: SmallFarm) -> None:
    visit_id, marked = begun(small)
    replacing_plants.replace_plant(small.open, visit_id, marked[0].id)
    revision = small.open.info.revision
    with pytest.raises(Refused, match="already"):
        replacing_plants.replace_plant(small.open, visit_id, marked[0].id)
    write_visit.finish_visit(small.open.store, visit_id, small.moment.now)
    with pytest.raises(Refused):
        replacing_plants.replace_plant(small.open, visit_id, marked[1].id)
    assert small.open.info.revision == revision + 1


def test_a_plant_whose_replacing_was_taken_back_can_be_replaced_a_week_later(small: SmallFarm) -> None:
    visit_id, marked = begun(small)
    old = marked[0]
    replacing_plants.replace_plant(small.open, visit_id, old.id, None, small.moment.now)
    replacing_plants.take_back_replacing(
        small.open, visit_id, old.id, PlantState.STANDING, None, small.moment.now
    )
    write_visit.finish_visit(small.open.store, visit_id, small.moment.now)
    later = TODAY + timedelta(days=7)
    next_visit = draft(small, later)
    new = replacing_plants.replace_plant(small.open, next_visit, old.id, None, small.moment.now)
    assert (new.marked_on, new.ended_on, new.replaces_id) == (later, None, old.id)
    with pytest.raises(Refused, match="already"):
        replacing_plants.replace_plant(small.open, next_visit, old.id, None, small.moment.now)
    assert check(small.open.store) == ()
