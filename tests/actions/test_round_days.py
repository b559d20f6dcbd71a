"""The day of a round, and what it knows of the other rounds of its week."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import round_days, rounds
from bayround.facts.problems import Refused
from bayround.records import read_season, write_setup

NOW = datetime(2026, 10, 20, 12, tzinfo=UTC)
TOMORROW = TODAY + timedelta(days=1)


def test_a_round_of_tomorrow_is_refused_and_one_of_today_begun(small: SmallFarm) -> None:
    with pytest.raises(Refused, match="still to come"):
        rounds.start_round(small.open, TOMORROW, small.person.id, today=TODAY)
    assert rounds.rounds(small.open) == ()
    rounds.start_round(small.open, TODAY, small.person.id, today=TODAY)
    assert [held.held_on for held in rounds.rounds(small.open)] == [TODAY]


def test_an_empty_round_gets_another_day_and_the_history_says_so(small: SmallFarm) -> None:
    held = rounds.start_round(small.open, TODAY - timedelta(days=30), small.person.id)
    round_days.change_round(small.open, held.id, TODAY, small.person.id, small.moment)
    assert [(found.id, found.held_on) for found in rounds.rounds(small.open)] == [(held.id, TODAY)]
    (entry,) = read_season.read_season(small.open.store).corrections
    assert (entry.field, entry.before, entry.after) == (
        "held_on",
        (TODAY - timedelta(days=30)).isoformat(),
        TODAY.isoformat(),
    )
    with pytest.raises(Refused, match="still to come"):
        round_days.change_round(small.open, held.id, TOMORROW, small.person.id, small.moment)


def test_the_day_of_a_round_with_a_visit_stands(small: SmallFarm) -> None:
    held = rounds.start_round(small.open, TODAY, small.person.id)
    rounds.open_visit(small.open, held.id, small.bays[0].id, NOW)
    with pytest.raises(Refused, match="keyed in on this round already"):
        round_days.change_round(small.open, held.id, TODAY - timedelta(days=1), small.person.id, small.moment)
    assert [found.held_on for found in rounds.rounds(small.open)] == [TODAY]


@pytest.mark.parametrize(
    ("day", "seen"),
    [(date(2026, 10, 19), True), (date(2026, 10, 25), True), (date(2026, 10, 18), False)],
)
def test_a_bay_done_in_another_round_of_the_iso_week_is_known(
    small: SmallFarm, day: date, seen: bool
) -> None:
    """2026-W43 runs from Monday 2026-10-19 to Sunday 2026-10-25 (ISO 8601)."""
    other, bay = factory.person(name="Birch"), small.bays[0]
    write_setup.add(small.open.store, other)
    earlier = rounds.start_round(small.open, day, other.id)
    visit = rounds.open_visit(small.open, earlier.id, bay.id, NOW).visit
    this = rounds.start_round(small.open, date(2026, 10, 23), small.person.id)
    assert all(stop.is_to_do for stop in rounds.walk(small.open, this.id)), (
        "a draft elsewhere is no visit yet"
    )
    rounds.save_note(small.open, visit.id, "walked")
    rounds.finish(small.open, visit.id, NOW)
    stops = {stop.bay.id: stop for stop in rounds.walk(small.open, this.id)}
    assert (stops[bay.id].done_on, stops[bay.id].done_by) == ((day, "Birch") if seen else (None, ""))
    assert stops[bay.id].is_to_do is not seen
    assert stops[small.bays[1].id].is_to_do


def test_a_sheet_that_is_looked_at_writes_nothing_until_it_is_begun(small: SmallFarm) -> None:
    held = rounds.start_round(small.open, TODAY, small.person.id)
    sheet = rounds.sheet_to_open(small.open, held.id, small.bays[0].id, NOW)
    assert rounds.read_sheet(small.open, sheet.visit.id, sheet.visit).visit == sheet.visit
    assert read_season.read_season(small.open.store).visits == ()
    with pytest.raises(KeyError):
        rounds.read_sheet(small.open, sheet.visit.id)
    rounds.begin(small.open, sheet.visit)
    rounds.begin(small.open, sheet.visit)
    assert [visit.id for visit in read_season.read_season(small.open.store).visits] == [sheet.visit.id]
    other = replace(sheet.visit, id=factory.key())
    assert rounds.begin(small.open, other) == sheet.visit.id, "begun already: what is typed goes there"
    assert [visit.id for visit in read_season.read_season(small.open.store).visits] == [sheet.visit.id]
