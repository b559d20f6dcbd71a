"""What the pick forecast takes from a planting's own rounds and picks: ages, chances, and the days of the picks."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.ids import new_id
from bayround.facts.work import Pick
from bayround.figures import pick_chances, pick_rounds, picks
from bayround.figures.pick_clock import PickClock, stages_of
from bayround.figures.pick_days import PickDays, pick_days_of

PEPPER = load_crops().profile("sweet_pepper")
FIRST = date(2026, 10, 6)  # a Tuesday
FIELDS = ("flowers", "fruit_set", "fruit_green", "fruit_turning", "fruit_coloured")


def counted(*rows: tuple[float, ...], every: int = 7) -> BayPast:
    """Return a bay of 100 plants, four of them marked and alike, with one row of fruit by stage a round."""
    of_house = factory.house()
    of_bay = factory.bay(of_house)
    of_planting = factory.planting(of_bay, plants=100)
    marked = factory.plants(of_planting, 4)
    visits = tuple(
        factory.record(
            of_planting,
            FIRST + timedelta(days=every * place),
            {plant.id: dict(zip(FIELDS, row, strict=True)) for plant in marked},
        )
        for place, row in enumerate(rows)
    )
    return BayPast(of_house, of_bay, of_planting, marked, visits)


def picked(past: BayPast, day: date, *, kg: float, fruit: int | None = None) -> BayPast:
    return replace(past, picks=(*past.picks, Pick(new_id(), past.bay.id, "", day, kg, fruit)))


def stages_and_ages(past: BayPast):  # type: ignore[no-untyped-def]
    assert past.planting is not None
    stages = stages_of(PEPPER, past.planting, PickClock())
    return stages, pick_rounds.ages_of(seen_of(past), stages)


def seen_of(past: BayPast) -> pick_rounds.PickPast:
    return pick_rounds.pick_past(past, PEPPER, 5, PickClock())


def test_ages_come_from_the_rounds_before_and_the_picks_between() -> None:
    """By hand, a plant: green or beyond 6 now and 5 a week ago, half a fruit a plant picked: 1.5 x 4 entered of 16."""
    past = counted((0, 4, 3, 1, 1), (0, 4, 4, 1, 1))
    past = picked(past, FIRST + timedelta(days=2), kg=9.0)  # 9 kg ÷ 0.18 kg ÷ 100 plants
    _stages, ages = stages_and_ages(past)
    assert ages is not None
    newest, rest = ages[2].bins
    assert (newest.youngest, newest.oldest, rest.oldest) == (0, 7, 12)
    assert newest.share == pytest.approx(1.5 / 4)
    assert ages[2].fruit == 16


def test_without_picks_written_down_ages_are_not_known_once_fruit_are_ripe() -> None:
    assert stages_and_ages(counted((0, 4, 3, 1, 1), (0, 4, 4, 1, 1)))[1] is None
    assert stages_and_ages(counted((0, 4, 3, 1, 0), (0, 4, 4, 1, 0)))[1] is not None
    assert stages_and_ages(counted((0, 4, 3, 1, 0)))[1] is None


def test_chance_of_green_fruit_is_learned_from_what_came_through() -> None:
    """By hand: 5 green on 4 plants; 12 days on, by a straight line between the rounds, (5/7) of 3 more a plant are beyond.

    20 fruit followed, 9 of them came through; drawn to the file's 0.95 / 0.97 that is worth 200 fruit.
    """
    past = counted((0, 0, 5, 0, 0), (0, 0, 5, 0, 0), (0, 0, 2, 3, 0))
    assert past.planting is not None
    stages = stages_of(PEPPER, past.planting, PickClock())
    found = pick_chances.learned(seen_of(past), PEPPER, stages)[2]
    through = round(4 * 3 * 5 / 7)
    assert (found.followed, found.came_through) == (20, through)
    step = 0.95 / 0.97
    assert found.chance == pytest.approx((200 * step + through) / 220 * 0.97)
    assert found.own_share == pytest.approx(20 / 220)
    assert found.variance > 0


def test_without_fruit_followed_the_chances_are_the_files() -> None:
    past = counted((1, 0, 5, 0, 0))
    assert past.planting is not None
    stages = stages_of(PEPPER, past.planting, PickClock())
    found = pick_chances.learned(seen_of(past), PEPPER, stages)
    assert pick_chances.with_chances(stages, found) == stages


def test_week_ends_are_those_of_the_usual_pick() -> None:
    """Picked on Thursdays, seen from a Tuesday: 3 days to the end of that day, then week by week."""
    past = counted((0, 0, 5, 0, 0))
    for week in range(4):
        past = picked(past, date(2026, 9, 10) + timedelta(weeks=week), kg=5)
    days = pick_days_of(past, FIRST)
    assert days == PickDays(3, False)
    assert days.week_ends(FIRST, 2) == [3, 10, 17]


def test_after_the_last_pick_of_a_week_nothing_more_comes_in_it() -> None:
    friday = date(2026, 10, 9)
    assert PickDays(3, True).week_ends(friday, 1) == [pytest.approx(0, abs=0.05), 7]
    assert PickDays(3, False).week_ends(friday, 1) == [3, 7]
    assert PickDays(None, False).week_ends(friday, 1) == [3, 10]


def test_one_week_of_picks_shows_no_habit_and_the_running_week_does_not_count() -> None:
    past = picked(counted((0, 0, 5, 0, 0)), FIRST - timedelta(days=7), kg=5)
    past = picked(past, FIRST - timedelta(days=1), kg=5)
    assert pick_days_of(past, FIRST) == PickDays(None, True)


def test_the_figure_says_where_ages_and_chances_come_from() -> None:
    past = picked(counted((1, 4, 3, 1, 1), (1, 4, 4, 1, 1)), FIRST + timedelta(days=2), kg=9.0)
    figure = picks.coming(past, PEPPER)["picks_kg_next"]
    inputs = dict(figure.why.inputs)
    assert inputs["Age of the fruit in a stage"] == "from the rounds before"
    assert "turning 96 % (4 fruit followed)" in inputs["Chance to be picked, by stage"]
