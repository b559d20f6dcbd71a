"""Counts of standing plants: kept with day and person, used from that day on, in closed weeks before it never."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import rounds, stand_counts
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.problems import Problem, Refused
from bayround.facts.rounds import PlantState
from bayround.facts.weeks import Week
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Pick
from bayround.figures import labour, pick_rounds
from bayround.records import read_season, write_setup
from bayround.week import digest

NOW = datetime(2026, 10, 14, 12, tzinfo=UTC)
HOUSE, SCOUT = factory.house(), factory.person()
BAY = factory.bay(HOUSE)
PLANTING = factory.planting(BAY)


@pytest.fixture
def visited(tmp_path: Path) -> Iterator[tuple[OpenFarm, str]]:
    """A farm with two finished visits a week apart; at the second a marked plant was found dead. Its visit's id."""
    farm = farm_actions.create(tmp_path / "s.bayround", "Standing farm")
    marked = factory.plants(PLANTING)
    write_setup.add(farm.store, SCOUT, HOUSE, BAY, PLANTING, *marked)
    visit_id = ""
    for week in range(2):
        begun = rounds.start_round(farm, factory.FIRST_ROUND + timedelta(weeks=week), SCOUT.id)
        visit_id = rounds.open_visit(farm, begun.id, BAY.id, NOW).visit.id
        rounds.save_cells(farm, visit_id, [(plant.id, "fruit_green", 6.0) for plant in marked])
        if week == 1:
            rounds.save_plant_state(farm, visit_id, marked[0].id, PlantState.DEAD)
        rounds.finish(farm, visit_id, NOW)
    yield farm, visit_id
    farm.close()


def moment(person_id: str | None = None) -> Moment:
    return Moment(NOW.date(), NOW, person_id)


def seen(farm: OpenFarm, weeks: int):  # type: ignore[no-untyped-def]
    week = Week.of(factory.FIRST_ROUND).plus(weeks)
    snapshot = week_actions.picture(farm, week, week.sunday)
    return snapshot.bays[0], digest.of_week(snapshot)


def test_figures_take_the_count_from_its_day_on_and_the_warning_goes(visited: tuple[OpenFarm, str]) -> None:
    farm, visit_id = visited
    (before, digest_before), (dead, _now) = seen(farm, 0), seen(farm, 1)
    assert "1 marked plant was found dead" in dead.warnings[0]
    fewer = PLANTING.plants - 200
    stand_counts.confirm(farm, visit_id, fewer, moment(SCOUT.id))
    (earlier, digest_after), (now, _digest) = seen(farm, 0), seen(farm, 1)
    assert now.warnings == ()
    area = BAY.length_m * BAY.width_m
    assert now.figures["plants_per_m2"].value == pytest.approx(fewer / area, rel=1e-12)
    assert now.figures["fruit_per_m2"].value == pytest.approx(6.0 * fewer / area, rel=1e-9)
    counted_on = ("Standing plants counted on", str(factory.FIRST_ROUND + timedelta(weeks=1)))
    assert counted_on in now.figures["plants_per_m2"].explained()
    assert earlier.figures["fruit_per_m2"] == before.figures["fruit_per_m2"]
    assert digest_after == digest_before


def test_what_was_before_the_count_is_reckoned_by_the_plants_that_stood_then(
    visited: tuple[OpenFarm, str],
) -> None:
    """460 kg of 2,300 planted plants are 0.20 kg a plant, however many stand later (hand reckoning)."""
    farm, visit_id = visited
    before, counted_on = factory.FIRST_ROUND, factory.FIRST_ROUND + timedelta(weeks=1)
    job = JobRecord(factory.key(), BAY.id, JobKind.BALANCE, "", before, before, "x")
    done = JobEvent(factory.key(), job.id, JobStep.DONE, before, NOW, hours=5.0)
    write_setup.add(farm.store, Pick(factory.key(), BAY.id, PLANTING.id, before, 460.0, 2300), job, done)
    stand_counts.confirm(farm, visit_id, 1150, moment())
    past = seen(farm, 1)[0].past
    assert (past.standing_on(before), past.standing_on(counted_on)) == (PLANTING.plants, 1150)
    assert seen(farm, 1)[0].figures["picked_kg_plant"].value == pytest.approx(0.2)
    profile = farm.crops.profile("sweet_pepper")
    norm = profile.number("labour_balance_h_per_1000_plants").value * 2.3
    assert labour.norm_hours(past, profile, job, done) == pytest.approx(norm)
    assert pick_rounds._picked(past, profile, [counted_on, before]) == (1.0, 0.0)


def test_a_later_number_of_the_same_day_counts_and_the_earlier_one_stays(
    visited: tuple[OpenFarm, str],
) -> None:
    farm, visit_id = visited
    stand_counts.confirm(farm, visit_id, 50, moment())
    stand_counts.confirm(farm, visit_id, 60, moment(SCOUT.id))
    assert seen(farm, 1)[0].past.planting.plants == 60
    kept = read_season.read_season(farm.store).stand_counts
    assert sorted((one.plants, one.counted_by_id) for one in kept) == [(50, None), (60, SCOUT.id)]
    assert read_season.read_season(farm.store).plantings == (PLANTING,)


def test_a_wrong_count_is_put_right_with_the_earlier_number_who_when_and_why(
    visited: tuple[OpenFarm, str],
) -> None:
    farm, visit_id = visited
    stand_counts.confirm(farm, visit_id, 50, moment())
    (earlier, digest_before), (_now, closed) = seen(farm, 0), seen(farm, 1)
    stand_counts.put_right(farm, visit_id, 50, 60, moment(SCOUT.id), " digits turned round ")
    season = read_season.read_season(farm.store)
    (count,) = season.stand_counts
    (entry,) = season.corrections
    assert (count.plants, entry.row_id) == (60, count.id)
    assert (entry.before, entry.after, entry.person_id) == ("50", "60", SCOUT.id)
    assert (entry.corrected_at, entry.reason) == (NOW, "digits turned round")
    week = Week.of(factory.FIRST_ROUND).plus(1)
    (told,) = week_actions.picture(farm, week, week.sunday).corrected
    assert (told.place.bay, told.place.what, told.week) == (BAY.name, "standing plants", week)
    assert seen(farm, 1)[0].past.planting.plants == 60
    assert seen(farm, 1)[1] != closed
    assert (seen(farm, 0)[0].figures, seen(farm, 0)[1]) == (earlier.figures, digest_before)


def test_putting_a_count_right_is_refused_without_a_reason_over_another_and_above_what_was_planted(
    visited: tuple[OpenFarm, str],
) -> None:
    farm, visit_id = visited
    stand_counts.confirm(farm, visit_id, 50, moment())
    for before, plants, reason, said in (
        (50, 60, " ", "needs a reason"),
        (70, 60, "misread", "changed since you opened it: 50"),
        (50, PLANTING.plants + 1, "misread", "can't stand here"),
    ):
        with pytest.raises(Problem, match=said):
            stand_counts.put_right(farm, visit_id, before, plants, moment(), reason)
    season = read_season.read_season(farm.store)
    assert ([one.plants for one in season.stand_counts], season.corrections) == ([50], ())


def test_what_was_not_counted_is_kept_with_its_reason(visited: tuple[OpenFarm, str]) -> None:
    farm, visit_id = visited
    stand_counts.put_right(farm, visit_id, PLANTING.plants, 40, moment(SCOUT.id), "was left out")
    (count,) = read_season.read_season(farm.store).stand_counts
    assert (count.plants, count.counted_by_id, count.note) == (40, SCOUT.id, "was left out")


@pytest.mark.parametrize("plants", [0, -1, PLANTING.plants + 1])
def test_what_can_not_stand_is_refused(visited: tuple[OpenFarm, str], plants: int) -> None:
    farm, visit_id = visited
    with pytest.raises(Refused, match="can't stand here"):
        stand_counts.confirm(farm, visit_id, plants, moment())
    assert read_season.read_season(farm.store).stand_counts == ()
