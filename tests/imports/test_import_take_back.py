"""An import is taken back whole: what it brought goes, what people did with it stays, the history keeps all it said."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from bayround.actions import farm as farm_actions
from bayround.actions import merge, rounds
from bayround.actions.imports import coming_back, preview_words
from bayround.facts.problems import Refused
from bayround.records import check, corrections, history, read_season, write_setup

PICKS = "date,bay,kg\n2026-11-20,Net house 1 · Bay 2,12.5\n2026-11-21,Net house 1 · Bay 2,9\n"
HEIGHTS = "date,house,bay,plant,height,note\n2026-11-24,1,1,1,101,\n2026-11-24,1,1,2,102,low\n"


def season(desk):
    """Return all facts, without what only the history and the counter know."""
    found = read_season.read_season(desk.farm.store)
    return replace(found, corrections=(), farm=replace(found.farm, revision=0))


def take_back(desk):
    newest = coming_back.imports(desk.farm)[0]
    return coming_back.back(desk.farm, newest.number, desk.moment)[1]


def test_all_of_it_goes_and_the_history_keeps_it(desk, bring):
    before = season(desk)
    bring(desk.text("picks.csv", PICKS))
    bring(desk.text("heights.csv", HEIGHTS))
    assert season(desk) != before
    done = take_back(desk)
    assert (done.removed, done.set_back, done.stayed) == (4, 0, 0)  # round, visit, two readings
    coming_back.back(desk.farm, 1, desk.moment)
    assert season(desk) == before
    entries = read_season.read_season(desk.farm.store).corrections
    assert {one.field for one in entries} == {history.REMOVED}
    assert sorted(json.loads(one.before)["kg"] for one in entries if one.table_name == "pick") == [
        "12.5",
        "9.0",
    ]
    assert {one.reason for one in entries} == {
        "import of heights.csv taken back",
        "import of picks.csv taken back",
    }
    assert check.check(desk.farm.store) == ()
    lines = [one.line for one in coming_back.imports(desk.farm)]
    assert all("taken back" in line for line in lines)


def test_it_can_come_in_again_but_not_be_taken_back_twice(desk, bring, look):
    path = desk.text("picks.csv", PICKS)
    bring(path)
    take_back(desk)
    with pytest.raises(Refused, match="taken back already"):
        take_back(desk)
    with pytest.raises(Refused, match="no import number 9"):
        coming_back.back(desk.farm, 9, desk.moment)
    assert look(path).earlier is None
    assert len(bring(path).added) == 2


def test_what_was_typed_since_stays(desk, bring):
    bring(desk.text("heights.csv", HEIGHTS))
    found = season(desk)
    visit = next(one for one in found.visits if f"{one.visited_on}" == "2026-11-24")
    plants = {
        plant.number: plant.id for plant in found.marked_plants if plant.planting_id == visit.planting_id
    }
    rounds.save_cells(desk.farm, visit.id, [(plants[1], "last_tie_cm", 92.0), (plants[3], "height_cm", 99.0)])
    done = take_back(desk)
    assert done.stayed >= 2
    left = {one.marked_plant_id: one for one in season(desk).readings if one.visit_id == visit.id}
    assert set(left) == {plants[1], plants[3]}
    assert (left[plants[1]].height_cm, left[plants[1]].last_tie_cm) == (None, 92.0)
    assert check.check(desk.farm.store) == ()


def test_values_are_set_back_unless_somebody_changed_them(desk, bring):
    bring(desk.text("heights.csv", HEIGHTS))
    before = season(desk)
    bring(desk.text("heights.csv", HEIGHTS.replace("101", "103").replace("102", "104")))
    visit = next(one for one in season(desk).visits if f"{one.visited_on}" == "2026-11-24")
    plants = {
        plant.number: plant.id for plant in before.marked_plants if plant.planting_id == visit.planting_id
    }
    rounds.save_cell(desk.farm, visit.id, plants[2], "height_cm", 105.0)
    done = take_back(desk)
    assert (done.removed, done.set_back, done.stayed) == (0, 1, 1)
    heights = {
        one.marked_plant_id: one.height_cm for one in season(desk).readings if one.visit_id == visit.id
    }
    assert (heights[plants[1]], heights[plants[2]]) == (101.0, 105.0)
    words = preview_words.taken_back_words(coming_back.imports(desk.farm)[0], done)
    assert "1 value set back, 1 stays" in words


def test_climate_days_are_set_back_with_a_history(desk, bring):
    head = "day,house,min,max\n"
    bring(desk.text("a.csv", f"{head}2026-11-12,1,10,30\n"))
    before = season(desk)
    bring(desk.text("b.csv", f"{head}2026-11-12,1,31,32\n"))
    assert take_back(desk).set_back == 2
    assert season(desk) == before
    told = [
        (one.field, one.before, one.after) for one in read_season.read_season(desk.farm.store).corrections
    ]
    assert sorted(told) == [
        ("high_c", "30.0", "32.0"), ("high_c", "32.0", "30.0"), ("low_c", "10.0", "31.0"), ("low_c", "31.0", "10.0"),
    ]  # fmt: skip
    assert check.check(desk.farm.store) == ()


def test_a_day_of_climate_changed_since_stays_where_setting_back_would_turn_it_round(desk, bring):
    """A lowest of 20 °C set back below a highest that somebody put right to 18 °C: no day can be so."""
    bring(desk.text("first.csv", "date,house,min,max\n2026-11-20,Net house 1,20,30\n"))
    bring(
        desk.text(
            "second.csv", "date,house,min,max\n2026-11-20,Net house 1,10,15\n2026-11-21,Net house 1,9,14\n"
        )
    )
    day = season(desk).climate_days[0]
    write_setup.change(desk.farm.store, replace(day, high_c=18.0), None, desk.moment.now, "read again")
    done = take_back(desk)
    assert (done.removed, done.set_back, done.stayed) == (1, 0, 2)
    (left,) = season(desk).climate_days
    assert (left.low_c, left.high_c) == (10.0, 18.0)
    assert check.check(desk.farm.store) == ()


def test_it_does_not_come_back_from_another_laptop(desk, bring, tmp_path):
    bring(desk.text("picks.csv", PICKS))
    other = Path(shutil.copy(desk.farm.path, tmp_path / "other.bayround"))
    take_back(desk)
    merge.merge_into(desk.farm, [other], desk.moment.now)
    assert season(desk).picks == ()
    assert [one.batch.taken_back_at is None for one in coming_back.imports(desk.farm)] == [False]
    there = farm_actions.open_farm(other)
    merge.merge_into(there, [desk.farm.path], desk.moment.now)
    assert read_season.read_season(there.store).picks == ()
    there.close()


def test_what_was_put_right_by_hand_since_stays(desk, bring):
    """A pick, a reading of a finished visit: the person's correction is not taken out with the import."""
    bring(desk.text("picks.csv", PICKS))
    pick = next(one for one in season(desk).picks if one.kg == 9.0)
    corrections.correct(desk.farm.store, "pick", pick.id, "kg", 90.0, None, desk.moment.now, "scales misread")
    done = take_back(desk)
    assert (done.removed, done.stayed) == (1, 1)
    assert [one.kg for one in season(desk).picks if one.id == pick.id] == [90.0]
    bring(desk.text("heights.csv", HEIGHTS))
    visit = next(one for one in season(desk).visits if f"{one.visited_on}" == "2026-11-24")
    reading = next(one for one in season(desk).readings if one.visit_id == visit.id)
    rounds.finish(desk.farm, visit.id, desk.moment.now)
    corrections.correct(
        desk.farm.store, "reading", reading.id, "height_cm", 111.0, None, desk.moment.now, "tape slipped"
    )
    take_back(desk)
    left = [one for one in season(desk).readings if one.visit_id == visit.id]
    assert [(one.id, one.height_cm) for one in left] == [(reading.id, 111.0)]
    assert check.check(desk.farm.store) == ()


def test_a_remark_that_is_part_of_a_longer_word_is_still_a_remark(desk, bring):
    """“low” is not said already by “slow growth”; the same remark brought twice is not doubled."""
    head = "date,house,bay,plant,height,note\n"
    bring(desk.text("a.csv", f"{head}2026-11-24,1,1,1,101,slow growth\n"))
    bring(desk.text("b.csv", f"{head}2026-11-24,1,1,1,101,low\n"))
    (reading,) = [one for one in season(desk).readings if one.note]
    assert reading.note == "slow growth · low"
    again = bring(desk.text("c.csv", f"{head}2026-11-24,1,1,1,102,slow growth · low\n"))
    assert len(again.changes) == 1
