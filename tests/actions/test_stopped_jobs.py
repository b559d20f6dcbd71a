"""Jobs inside a re-entry interval: stopped to the minute, recorded only with an explanation that is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import jobs, treatments
from bayround.actions import week as week_actions
from bayround.actions.jobs import Job, Moment
from bayround.facts.ids import new_id
from bayround.facts.moments import instant_of
from bayround.facts.problems import Refused
from bayround.facts.rounds import Round
from bayround.facts.weeks import Week
from bayround.facts.work import JobStep
from bayround.records import read_work, write_setup

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


def test_one_minute_before_and_after(small: SmallFarm, job: Job) -> None:
    for step in (jobs.start, lambda *given: jobs.done(*given, 1.0)):
        with pytest.raises(Refused, match="no re-entry before 2026-10-20 12:00"):
            step(small.open, job, at(small, NOON - MINUTE))
    jobs.done(small.open, job, at(small, NOON), 1.0)


def test_an_explanation_lets_it_through_and_is_kept(small: SmallFarm, job: Job) -> None:
    record_id = jobs.done(small.open, job, at(small, NOON - MINUTE), 1.0, "went in with masks")
    (event,) = read_work.read_job_events(small.open.store, record_id)
    assert (event.step, event.note) == (JobStep.DONE, "went in with masks")


def test_work_that_began_inside_is_judged_by_its_start(small: SmallFarm, job: Job) -> None:
    """Work noted as begun before the treatment was written down: the start counts, not the moment of ticking off."""
    record_id = jobs.start(small.open, job, at(small, NOON + MINUTE))
    begun = replace(job, record_id=record_id)
    later = factory.treatment(NOON, re_entry_hours=1.0, pre_harvest_days=0.0)
    treatments.record(small.open, later, [small.bays[0].id], at(small, NOON + 2 * MINUTE))
    with pytest.raises(Refused, match="no re-entry before 2026-10-20 13:00"):
        jobs.done(small.open, begun, at(small, NOON + timedelta(hours=2)), 1.0)
