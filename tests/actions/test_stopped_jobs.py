"""Jobs inside a re-entry interval: stopped to the minute, recorded only with an explanation that is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import jobs, sheets, treatments
from bayround.actions import week as week_actions
from bayround.actions.jobs import Job, Moment
from bayround.cli import jobs as cli_jobs
from bayround.facts.ids import new_id
from bayround.facts.moments import instant_of
from bayround.facts.problems import Refused
from bayround.facts.rounds import Round
from bayround.facts.weeks import Week
from bayround.facts.work import JobEvent, JobStep
from bayround.records import read_parts, write_setup

NOON = instant_of(TODAY, time(12))
MINUTE = timedelta(minutes=1)


def at(small: SmallFarm, now: datetime) -> Moment:
    return Moment(TODAY, now, small.person.id)


@pytest.fixture
def job(small: SmallFarm) -> Job:
    """The round that is due in the first bay; its re-entry interval ends at noon today."""
    write_setup.add(small.open.store, Round(new_id(), date(2026, 10, 19), small.person.id))
    item = factory.treatment(NOON - timedelta(hours=24), re_entry_hours=24.0, pre_harvest_days=0.0)
    treatments.record(small.open, item, [small.bays[0].id], at(small, NOON))
    snapshot = week_actions.picture(small.open, Week.of(TODAY), TODAY)
    found = next(one for one in snapshot.jobs if one.bay_id == small.bays[0].id)
    assert found.blocked_by == ("no re-entry before 2026-10-20 12:00",)
    return found


def steps_of(small: SmallFarm, record_id: str) -> list[JobEvent]:
    season = read_parts.read_bay(small.open.store, small.bays[0].id)
    return [event for event in season.job_events if event.job_id == record_id]


def test_one_minute_before_and_after(small: SmallFarm, job: Job) -> None:
    for step in (jobs.start, lambda *given: jobs.done(*given, 1.0)):
        with pytest.raises(Refused, match="no re-entry before 2026-10-20 12:00"):
            step(small.open, job, at(small, NOON - MINUTE))
    jobs.done(small.open, job, at(small, NOON), 1.0)


def test_an_explanation_lets_it_through_and_is_kept(small: SmallFarm, job: Job) -> None:
    record_id = jobs.done(small.open, job, at(small, NOON - MINUTE), 1.0, "went in with masks")
    (event,) = steps_of(small, record_id)
    assert (event.step, event.note) == (JobStep.DONE, "went in with masks")


def test_work_that_began_inside_is_judged_by_its_start(small: SmallFarm, job: Job) -> None:
    """Work noted as begun before the treatment was written down: the start counts, not the moment of ticking off."""
    record_id = jobs.start(small.open, job, at(small, NOON + MINUTE))
    begun = replace(job, record_id=record_id)
    later = factory.treatment(NOON, re_entry_hours=1.0, pre_harvest_days=0.0)
    treatments.record(small.open, later, [small.bays[0].id], at(small, NOON + 2 * MINUTE))
    with pytest.raises(Refused, match="no re-entry before 2026-10-20 13:00"):
        jobs.done(small.open, begun, at(small, NOON + timedelta(hours=2)), 1.0)


def test_a_treatment_between_start_and_end_is_judged_too(small: SmallFarm, job: Job) -> None:
    """Begun in the afternoon, treated the next morning, ticked off while that re-entry interval runs or has run."""
    begun = replace(job, record_id=jobs.start(small.open, job, at(small, NOON + MINUTE)))
    later = factory.treatment(NOON + timedelta(hours=20), re_entry_hours=10.0, pre_harvest_days=0.0)
    treatments.record(small.open, later, [small.bays[0].id], at(small, NOON + timedelta(hours=21)))
    for hours in (24, 31):
        with pytest.raises(Refused, match="no re-entry before 2026-10-21 18:00"):
            jobs.done(small.open, begun, at(small, NOON + timedelta(hours=hours)), 1.0)
    jobs.done(small.open, begun, at(small, NOON + timedelta(hours=31)), 1.0, "nobody was inside after eight")


def test_a_start_that_was_explained_explains_only_what_ran_then(small: SmallFarm, job: Job) -> None:
    begun = replace(
        job, record_id=jobs.start(small.open, job, at(small, NOON - MINUTE), "went in with masks")
    )
    later = factory.treatment(NOON + timedelta(hours=20), re_entry_hours=10.0, pre_harvest_days=0.0)
    treatments.record(small.open, later, [small.bays[0].id], at(small, NOON + timedelta(hours=21)))
    with pytest.raises(Refused, match="no re-entry before 2026-10-21 18:00"):
        jobs.done(small.open, begun, at(small, NOON + timedelta(hours=31)), 1.0)


def test_work_that_began_inside_with_an_explanation_ends_outside(small: SmallFarm, job: Job) -> None:
    begun = replace(
        job, record_id=jobs.start(small.open, job, at(small, NOON - MINUTE), "went in with masks")
    )
    jobs.done(small.open, begun, at(small, NOON + MINUTE), 1.0)


def test_a_job_is_ticked_off_once(small: SmallFarm, job: Job) -> None:
    """A second click with an old picture adds no hours; more work is started first."""
    record_id = jobs.done(small.open, job, at(small, NOON), 3.0)
    done = replace(job, record_id=record_id)
    with pytest.raises(Refused, match="ticked off on 2026-10-20 already"):
        jobs.done(small.open, done, at(small, NOON + MINUTE), 3.0)
    with pytest.raises(Refused, match="ticked off on 2026-10-20 already"):
        jobs.done(small.open, job, at(small, NOON + MINUTE), 3.0)
    assert [event.hours for event in steps_of(small, record_id)] == [3.0]
    jobs.start(small.open, done, at(small, NOON + 2 * MINUTE))
    jobs.done(small.open, done, at(small, NOON + 3 * MINUTE), 1.0)


def test_job_sheets_and_jobs_of_an_older_week_show_the_interval_that_runs_today(
    small: SmallFarm, job: Job
) -> None:
    """The round was held last week; the treatment came on Monday of this one."""
    last_week = Week.of(TODAY).plus(-1)
    write_setup.add(small.open.store, Round(new_id(), last_week.monday, small.person.id))
    item = factory.treatment(NOON - timedelta(hours=5), re_entry_hours=48.0, pre_harvest_days=7.0)
    treatments.record(small.open, item, [small.bays[0].id], at(small, NOON))
    for week in (None, last_week):
        found = next(
            one for one in week_actions.work(small.open, week, TODAY).jobs if one.bay_id == job.bay_id
        )
        assert found.blocked_by == ("no re-entry before 2026-10-22 07:00",)
        printed = cli_jobs.as_text(week_actions.work(small.open, week, TODAY))
        assert ("what stops a job as of 2026-10-20" in printed) is (week is not None)
        texts = [text for page in sheets.job_sheets(small.open, week, TODAY).pages for text in page.texts]
        assert "no re-entry before 2026-10-22 07:00" in texts
        assert "enter from: 2026-10-22 07:00; pick from: 2026-10-27 07:00" in texts


def test_the_week_to_work_in_is_that_of_today_but_before_the_first_round(small: SmallFarm, job: Job) -> None:
    round_week = Week.of(date(2026, 10, 19))
    for today, week in ((TODAY, round_week), (TODAY + timedelta(weeks=3), round_week.plus(3))):
        assert week_actions.week_to_work_in(small.open, today) == week
    early = TODAY - timedelta(weeks=1)
    assert week_actions.week_to_work_in(small.open, early) == round_week
    assert {seen.as_of for seen in week_actions.work(small.open, None, early).bays} == {early}
