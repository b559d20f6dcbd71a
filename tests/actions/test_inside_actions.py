"""A treatment written down late: picks, finished and planned jobs inside its intervals are told until explained."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import inside, jobs, picks, treatments
from bayround.actions import week as week_actions
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickChange, PickEntry
from bayround.facts.ids import new_id
from bayround.facts.moments import instant_of
from bayround.facts.problems import Refused, Stopped, TwiceTheSame
from bayround.facts.rounds import Round
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind, Pick, Treatment
from bayround.records import write_setup

EVENING = instant_of(TODAY, time(20))
ENTRY = PickEntry(50.0, 250, "first", "red")


def moment(small: SmallFarm, now: datetime = EVENING) -> Moment:
    return Moment(TODAY, now, small.person.id)


def keep(small: SmallFarm, began: time | None = None, **more: object) -> tuple[Pick, ...]:
    return picks.record(small.open, TODAY, small.bays[0].id, [ENTRY], moment(small), began=began, **more)  # type: ignore[arg-type]


def treat(small: SmallFarm, **changes: object) -> Treatment:
    """Written down in the evening: it began at nine and ended at eleven of the same day."""
    item = factory.treatment(
        instant_of(TODAY, time(11)),
        started_at=instant_of(TODAY, time(9)),
        re_entry_hours=4.0,
        pre_harvest_days=3.0,
    )
    item = replace(item, **changes)  # type: ignore[arg-type]
    return treatments.record(small.open, item, [small.bays[0].id], moment(small))


def told(small: SmallFarm) -> list[str]:
    return [one.line for one in inside.read(small.open)]


def a_round(small: SmallFarm) -> None:
    write_setup.add(small.open.store, Round(new_id(), date(2026, 10, 19), small.person.id))


def test_a_pick_of_that_day_written_down_before_the_treatment_is_told(small: SmallFarm) -> None:
    keep(small)
    assert told(small) == []
    a_round(small)
    treat(small)
    (line,) = told(small)
    assert "Picked (50.0 kg) on 2026-10-20 inside an interval: no re-entry before 2026-10-20 15:00" in line
    shown = picks.read_day(small.open, TODAY).lines[0]
    assert "Not explained" in shown.inside[0]
    week = week_actions.picture(small.open, Week.of(TODAY), TODAY)
    assert [text for text in week.warnings if "not explained" in text], week.warnings
    assert any("Picked (50.0 kg)" in text for text in week.bays[0].warnings)
    assert week.bays[1].warnings == ()


@pytest.mark.parametrize(("began", "found"), [(time(8, 59), 1), (time(9), 1), (time(15), 1), (None, 1)])
def test_whenever_it_began_that_day_it_is_asked_about(
    small: SmallFarm, began: time | None, found: int
) -> None:
    keep(small, began)
    treat(small)
    assert len(told(small)) == found


def test_re_entry_alone_leaves_a_pick_after_it_free_to_the_minute(small: SmallFarm) -> None:
    keep(small, time(15))
    keep(small, time(14, 59), again=True)
    treat(small, pre_harvest_days=0.0)
    (one,) = inside.read(small.open)
    assert "2026-10-20 15:00" in one.line


def test_an_explanation_is_kept_with_who_and_told(small: SmallFarm) -> None:
    keep(small)
    treat(small)
    (one,) = inside.read(small.open)
    with pytest.raises(Refused, match="few words"):
        inside.explain(small.open, [one.inside], "  ", moment(small))
    (row,) = inside.explain(small.open, [one.inside], "picked before six", moment(small))
    assert (row.said, row.person_id) == ("picked before six", small.person.id)
    assert told(small) == []
    (explained,) = inside.read(small.open, explained=True)
    assert explained.line.endswith("Explanation: picked before six")
    with pytest.raises(Refused, match="nothing left"):
        inside.explain(small.open, [explained.inside], "again", moment(small))


def test_putting_the_treatment_right_asks_again(small: SmallFarm) -> None:
    keep(small)
    before = treat(small)
    inside.explain(small.open, [one.inside for one in inside.read(small.open)], "before six", moment(small))
    treatments.correct(
        small.open, before, replace(before, pre_harvest_days=7.0), moment(small), "label read again"
    )
    assert "no pick before 2026-10-27 11:00" in told(small)[0]


def test_a_bay_added_later_and_one_taken_out(small: SmallFarm) -> None:
    keep(small)
    item = factory.treatment(instant_of(TODAY, time(11)), re_entry_hours=None, pre_harvest_days=None)
    treatments.record(small.open, item, [small.bays[1].id], moment(small))
    assert told(small) == []
    both = [bay.id for bay in small.bays]
    treatments.correct(small.open, item, item, moment(small), "forgotten", both)
    assert "counts as not safe" in told(small)[0]
    treatments.correct(small.open, item, item, moment(small), "not there", [small.bays[1].id])
    assert told(small) == []


def test_a_pick_put_right_to_nothing_is_told_no_more(small: SmallFarm) -> None:
    (made,) = keep(small)
    treat(small)
    picks.record(
        small.open, TODAY, small.bays[0].id, [], moment(small), changes=[PickChange(made, 0.0, None)],
        reason="typed in the wrong bay",
    )  # fmt: skip
    assert told(small) == []


def test_what_was_explained_when_it_was_written_down_is_not_asked_again(small: SmallFarm) -> None:
    treat(small)
    with pytest.raises(Stopped):
        keep(small)
    keep(small, explanation="culls, thrown away")
    keep(small, time(8), over_before=True, again=True)
    assert told(small) == []
    assert len(inside.read(small.open, explained=True)) == 2


def test_before_the_treatment_without_a_word_stays_a_question(small: SmallFarm) -> None:
    treat(small)
    keep(small, time(8))
    assert "when picking was over is not kept" in told(small)[0]


def a_job(small: SmallFarm) -> jobs.Job:
    a_round(small)
    snapshot = week_actions.work(small.open, None, TODAY)
    return next(one for one in snapshot.jobs if one.bay_id == small.bays[0].id and one.kind is JobKind.ROUND)


def test_a_finished_job_of_that_day_is_told(small: SmallFarm) -> None:
    jobs.done(small.open, a_job(small), moment(small), 1.0)
    treat(small)
    assert (
        "Worked (round) on 2026-10-20 inside an interval: no re-entry before 2026-10-20 15:00"
        in told(small)[0]
    )


@pytest.mark.parametrize(("start", "tick", "found"), [(7, 8, 0), (14, 16, 1), (15, 16, 0), (8, 10, 1)])
def test_a_job_whose_start_was_noted_is_judged_between_start_and_tick(
    small: SmallFarm, start: int, tick: int, found: int
) -> None:
    job = a_job(small)
    record = jobs.start(small.open, job, moment(small, instant_of(TODAY, time(start))))
    jobs.done(small.open, replace(job, record_id=record), moment(small, instant_of(TODAY, time(tick))), 1.0)
    treat(small)
    assert len(told(small)) == found


def test_a_job_ticked_off_after_an_interval_that_was_known_was_judged_then(small: SmallFarm) -> None:
    job = a_job(small)
    treat(small)
    jobs.done(small.open, job, moment(small), 1.0)
    assert told(small) == []
    (one,) = inside.read(small.open, explained=True)
    assert "ticked off at 2026-10-20 20:00: the interval was over by then" in one.line


def test_planned_jobs_are_named_with_what_stops_them(small: SmallFarm) -> None:
    job = a_job(small)
    jobs.assign(small.open, job, small.person.id, moment(small))
    item = treat(small, re_entry_hours=48.0)
    (line,) = inside.planned_inside(small.open, item.id, TODAY)
    assert "is stopped: no re-entry before 2026-10-22 11:00" in line
    later = TODAY + timedelta(days=3)
    assert inside.planned_inside(small.open, item.id, later) == ()


def test_the_same_pick_twice_is_refused_until_somebody_says_there_were_two(small: SmallFarm) -> None:
    keep(small)
    with pytest.raises(
        TwiceTheSame, match=r"a pick of 50[.]0 kg of this grade and colour is written down already"
    ):
        keep(small)
    keep(small, again=True)
    assert len(picks.read_day(small.open, TODAY).lines[0].picked) == 2


def test_looking_again_at_what_changed_finds_what_a_look_at_everything_finds(small: SmallFarm) -> None:
    item, farm, bays = treat(small), small.open, small.bays
    seen = inside.look(farm)

    def in_bay(place: int) -> None:
        picks.record(farm, TODAY, bays[place].id, [ENTRY], moment(small), explanation="invented")

    steps: tuple[Callable[[], object], ...] = (
        lambda: in_bay(0),
        lambda: treat(small),
        lambda: treatments.record(farm, factory.treatment(instant_of(TODAY, time(7))), [bays[1].id], moment(small)),
        lambda: picks.record(farm, TODAY, bays[1].id, [ENTRY], moment(small), explanation="only culls"),
        lambda: a_round(small),
        lambda: inside.explain(farm, [one.inside for one in inside.read(farm)][:1], "before six", moment(small)),
        lambda: jobs.start(farm, a_job(small), moment(small), "in spite of it"),
        lambda: treatments.correct(farm, item, replace(item, pre_harvest_days=7.0), moment(small), "label"),
        lambda: treat(small, re_entry_hours=9.0),
    )  # fmt: skip
    for step in steps:
        step()
        seen = inside.look(farm, seen)
        assert seen == inside.look(farm)
        assert inside.look(farm, seen) is seen
    assert {one.inside.bay_id for one in inside.read(farm, explained=True)} == {bay.id for bay in bays}
