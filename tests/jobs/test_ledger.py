"""One job for bay, kind and target stays open; the next visit confirms it or brings it back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep
from bayround.jobs import due_jobs
from bayround.jobs.job import Job, JobState
from bayround.week.bay_figures import all_figures

CROPS = load_crops()


def weedy(past: BayPast) -> BayPast:
    assert past.latest is not None
    latest = replace(past.latest, weeds=(factory.weed(30.0),))
    return replace(past, visits=(*past.visits[:-1], latest))


def weeding(past: BayPast) -> Job | None:
    assert past.latest is not None
    day = past.latest.day
    jobs = due_jobs(past, all_figures(past, CROPS, day), CROPS, day, {"w": "Rowan"})
    return next((job for job in jobs if job.kind is JobKind.WEED), None)


def recorded(past: BayPast, step: JobStep, days_after_first: int, **changes: object) -> BayPast:
    first = past.visits[0].day
    record = JobRecord("job", past.bay.id, JobKind.WEED, "", first, first + timedelta(days=2), "weeds")
    day = first + timedelta(days=days_after_first)
    event = JobEvent(
        "event", "job", step, day, datetime(day.year, day.month, day.day, 12, tzinfo=UTC), **changes
    )  # type: ignore[arg-type]
    return replace(past, jobs=(record,), job_events=(event,))


def test_assigned_job_keeps_person_and_first_due_day() -> None:
    past = recorded(weedy(factory.past(2)), JobStep.ASSIGNED, 1, person_id="w")
    job = weeding(past)
    assert job is not None
    assert (job.state, job.assigned_to, job.record_id) == (JobState.ASSIGNED, "Rowan", "job")
    assert job.due_on == past.visits[0].day + timedelta(days=2)


def test_done_before_a_visit_that_still_shows_weeds_comes_back() -> None:
    job = weeding(recorded(weedy(factory.past(2)), JobStep.DONE, 3, hours=4.0))
    assert job is not None
    assert job.state is JobState.OPEN
    assert job.record_id is None
    assert "still shows the need" in job.history[0]


def test_done_on_the_day_of_the_visit_or_later_waits_to_be_confirmed() -> None:
    for days in (7, 9):
        job = weeding(recorded(weedy(factory.past(2)), JobStep.DONE, days, hours=4.0))
        assert job is not None
        assert job.state is JobState.DONE


def test_done_job_that_worked_is_gone() -> None:
    assert weeding(recorded(factory.past(2), JobStep.DONE, 3, hours=4.0)) is None


def test_skipped_job_comes_back_with_its_reason() -> None:
    job = weeding(recorded(weedy(factory.past(2)), JobStep.SKIPPED, 2, note="too wet"))
    assert job is not None
    assert job.state is JobState.OPEN
    assert "too wet" in job.history[0]


def with_weeds(past: BayPast, *covers: float) -> BayPast:
    visits = tuple(
        replace(visit, weeds=(factory.weed(cover),)) for visit, cover in zip(past.visits, covers, strict=True)
    )
    return replace(past, visits=visits)


def test_only_the_first_visit_after_the_work_judges_it() -> None:
    """Weeded after week 1, clean in weeks 2 and 3, weedy again in week 4: the work held."""
    job = weeding(recorded(with_weeds(factory.past(4), 30, 1, 4, 30), JobStep.DONE, 3, hours=4.0))
    assert job is not None
    assert job.state is JobState.OPEN
    second_visit = factory.FIRST_ROUND + timedelta(days=7)
    assert f"the visit after it ({second_visit}) showed that it worked" in job.history[0]
    assert "still" not in job.history[0]


def test_work_that_did_not_help_says_so_in_later_weeks_too() -> None:
    job = weeding(recorded(with_weeds(factory.past(4), 30, 28, 30, 30), JobStep.DONE, 3, hours=4.0))
    assert job is not None
    second_visit = factory.FIRST_ROUND + timedelta(days=7)
    assert f"the visit after it ({second_visit}) still showed the need" in job.history[0]
