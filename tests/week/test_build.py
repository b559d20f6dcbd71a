"""The week snapshot: pure, of its week, silent about what came later, honest about what is missing."""

from __future__ import annotations

from dataclasses import fields as fields_of
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.rounds import VisitState
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import Pick
from bayround.week import bay_figures, digest
from bayround.week.build import build, with_earlier
from bayround.week.columns import COLUMNS, column
from bayround.week.totals import SUMS

CROPS = load_crops()
LATER = date(2027, 3, 1)


def season(weeks: int = 4) -> tuple[SeasonFacts, Week]:
    past = factory.past(weeks)
    assert past.latest is not None
    return factory.season(past), Week.of(past.latest.day)


def test_same_facts_give_the_same_week() -> None:
    facts, week = season()
    shuffled = replace(facts, visits=facts.visits[::-1], readings=facts.readings[::-1])
    assert build(facts, CROPS, week, LATER) == build(shuffled, CROPS, week, LATER)


def test_an_old_week_does_not_know_what_came_later() -> None:
    facts, week = season()
    earlier = week.plus(-1)
    cut = {visit.id for visit in facts.visits if visit.visited_on <= earlier.sunday}
    until = replace(
        facts,
        visits=tuple(visit for visit in facts.visits if visit.id in cut),
        readings=tuple(reading for reading in facts.readings if reading.visit_id in cut),
        rounds=tuple(item for item in facts.rounds if item.held_on <= earlier.sunday),
    )
    assert build(facts, CROPS, earlier, LATER) == build(until, CROPS, earlier, LATER)


def test_as_of_is_today_while_the_week_runs_and_its_last_day_afterwards() -> None:
    facts, week = season()
    assert build(facts, CROPS, week, week.monday + timedelta(days=2)).as_of == week.monday + timedelta(days=2)
    assert build(facts, CROPS, week, LATER).as_of == week.sunday


def test_a_bay_that_was_not_visited_has_no_figures_of_the_week_but_its_jobs_stay() -> None:
    facts, week = season()
    seen = build(facts, CROPS, week, LATER).bays[0]
    after = build(facts, CROPS, week.plus(1), LATER).bays[0]
    assert seen.figures["growth_cm_week"].value is not None
    assert after.figures["growth_cm_week"].value is None
    assert "last visit" in after.figures["growth_cm_week"].missing
    assert after.figures["plants_per_m2"].value == seen.figures["plants_per_m2"].value
    assert {job.kind for job in seen.jobs} <= {job.kind for job in after.jobs}


def test_what_comes_from_an_older_visit_says_from_when() -> None:
    facts, week = season()
    day = max(visit.visited_on for visit in facts.visits)
    seen = build(facts, CROPS, week, LATER).bays[0]
    after = build(facts, CROPS, week.plus(1), LATER).bays[0]
    assert {figure.visited_on for figure in seen.latest.values()} == {None}
    assert {figure.visited_on for figure in after.figures.values()} == {None}
    dated = {key for key, figure in after.latest.items() if figure.visited_on == day}
    assert dated == {key for key, one in after.latest.items() if one.value is not None} - bay_figures.ALWAYS
    growth = after.latest["growth_cm_week"]
    assert growth.dated_text == f"{growth.text_with_unit} ({day})"
    assert ("From the visit of", str(day)) in growth.explained()
    assert {number.visited_on for job in after.jobs for number in job.numbers} <= {day, None}


def test_drafts_are_left_out_and_named() -> None:
    facts, week = season()
    newest = max(facts.visits, key=lambda visit: visit.visited_on)
    draft = replace(newest, state=VisitState.DRAFT)
    facts = replace(facts, visits=tuple(draft if visit.id == newest.id else visit for visit in facts.visits))
    snapshot = build(facts, CROPS, week, LATER)
    assert snapshot.bays[0].visit is None
    assert snapshot.totals["readings_count"].value == 0
    assert "Not finished yet" in snapshot.warnings[0]


def test_totals_are_the_sums_of_the_weeks_readings() -> None:
    facts, week = season()
    of_week = [visit.id for visit in facts.visits if Week.of(visit.visited_on) == week]
    readings = [reading for reading in facts.readings if reading.visit_id in of_week]
    totals = build(facts, CROPS, week, LATER).totals
    assert totals["height_sum_cm"].value == pytest.approx(sum(item.height_cm or 0 for item in readings))
    for figure_id, _label, fields in SUMS:
        assert totals[figure_id].value == sum(item.value(field) or 0 for item in readings for field in fields)


def test_every_column_shows_a_word_or_a_number_and_its_reason_when_missing() -> None:
    facts, week = season()
    for snapshot in (build(facts, CROPS, week, LATER), build(facts, CROPS, week.plus(1), LATER)):
        for one in COLUMNS:
            assert one.text(snapshot.bays[0])
            assert one.title
    assert len({one.id for one in COLUMNS}) == len(COLUMNS)
    with pytest.raises(KeyError):
        column("nothing")


def test_columns_sort_numbers_by_value_and_missing_ones_last() -> None:
    facts, week = season()
    seen = build(facts, CROPS, week, LATER).bays[0]
    missing = build(facts, CROPS, week.plus(1), LATER).bays[0]
    growth = column("growth_cm_week")
    assert growth.sort_key(seen) < growth.sort_key(missing)


def test_more_earlier_weeks_only_when_asked_for() -> None:
    facts, week = season()
    snapshot = build(facts, CROPS, week, LATER)
    bay_id = snapshot.bays[0].bay.id
    assert snapshot.earlier is not None
    assert [at for at, _figures in snapshot.earlier[bay_id]] == [week.plus(-1)]
    longer = with_earlier(snapshot, CROPS, 12).earlier
    assert longer is not None
    assert [at for at, _figures in longer[bay_id]] == [week.plus(step) for step in (-3, -2, -1)]


@pytest.mark.parametrize("picked", [True, False])
def test_the_last_pick_on_a_monday_on_which_the_crop_goes_out_stands_in_that_week(picked: bool) -> None:
    past = factory.past(2)
    planting = past.planting
    assert planting is not None
    monday = Week.of(factory.FIRST_ROUND).plus(3).monday
    last = Pick(factory.key(), planting.bay_id, planting.id, monday, 50.0)
    season = replace(
        factory.season(past),
        plantings=(replace(planting, removed_on=monday),),
        picks=(last,) if picked else (),
    )
    seen = build(season, CROPS, Week.of(monday), Week.of(monday).sunday).bays[0]
    assert (seen.planting is not None) is picked
    assert (seen.figures["picked_kg_week"].value or 0) == (50.0 if picked else 0)
    assert seen.jobs == ()


def test_a_week_closed_before_picks_had_a_start_keeps_its_digest(monkeypatch: pytest.MonkeyPatch) -> None:
    facts, week = season()
    pick = Pick("p", facts.bays[0].id, facts.plantings[0].id, week.monday, 5.0)
    closed = build(replace(facts, picks=(pick,)), CROPS, week, LATER)
    begun = replace(pick, began_at=datetime(2026, 10, 5, 6, tzinfo=UTC))
    now, other = (
        digest.of_week(one) for one in (closed, build(replace(facts, picks=(begun,)), CROPS, week, LATER))
    )
    known_then = tuple(one.name for one in fields_of(Pick) if one.name != "began_at")
    monkeypatch.setitem(digest._RESTS_ON, Pick, known_then)
    assert digest.of_week(closed) == now != other
