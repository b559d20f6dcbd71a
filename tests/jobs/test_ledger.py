"""One job for bay, kind and target stays open; the next visit confirms it or brings it back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Condition, HouseCheck
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


def with_ties(*heads_above_cm: float) -> BayPast:
    """A bay whose visits, a week apart, saw the heads so far above the last tie; no pick or load makes a job."""
    past = factory.past(len(heads_above_cm), growth_cm=0.0)
    visits = []
    for visit, above in zip(past.visits, heads_above_cm, strict=True):
        readings = {
            plant: replace(reading, last_tie_cm=(reading.height_cm or 0.0) - above)
            for plant, reading in visit.readings.items()
        }
        visits.append(replace(visit, readings=readings))
    return replace(past, visits=tuple(visits))


def of_kind(past: BayPast, kind: JobKind, days_after_first: int) -> Job | None:
    day = factory.FIRST_ROUND + timedelta(days=days_after_first)
    jobs = due_jobs(past, all_figures(past, CROPS, day), CROPS, day, {"w": "Rowan"})
    return next((job for job in jobs if job.kind is kind), None)


def event(job_id: str, step: JobStep, days_after_first: int, hour: int = 12, **changes: object) -> JobEvent:
    day = factory.FIRST_ROUND + timedelta(days=days_after_first)
    at = datetime(day.year, day.month, day.day, hour, tzinfo=UTC)
    return JobEvent(factory.key(), job_id, step, day, at, **changes)  # type: ignore[arg-type]


def record_of(past: BayPast, kind: JobKind, job_id: str = "job", raised_after: int = 0) -> JobRecord:
    raised = factory.FIRST_ROUND + timedelta(days=raised_after)
    return JobRecord(job_id, past.bay.id, kind, "", raised, raised + timedelta(days=1), "x")


def test_an_old_record_lends_nothing_to_a_new_need() -> None:
    """Given out in week 1, no need in weeks 2 and 3, needed anew in week 4: due three days after week 4."""
    past = with_ties(30.0, 1.0, 1.0, 30.0)
    past = replace(
        past,
        jobs=(record_of(past, JobKind.TRELLIS),),
        job_events=(event("job", JobStep.ASSIGNED, 0, person_id="w"),),
    )
    job = of_kind(past, JobKind.TRELLIS, 21)
    assert job is not None
    assert (job.state, job.assigned_to, job.record_id) == (JobState.OPEN, "", None)
    assert job.due_on == factory.FIRST_ROUND + timedelta(days=21 + 3)


def test_a_record_holds_while_no_look_was_silent() -> None:
    past = with_ties(30.0, 30.0, 30.0)
    blind = replace(past.visits[1], readings={})
    past = replace(
        past,
        visits=(past.visits[0], blind, past.visits[2]),
        jobs=(record_of(past, JobKind.TRELLIS),),
        job_events=(event("job", JobStep.ASSIGNED, 0, person_id="w"),),
    )
    job = of_kind(past, JobKind.TRELLIS, 14)
    assert job is not None
    assert (job.state, job.assigned_to) == (JobState.ASSIGNED, "Rowan")


def test_an_old_house_record_lends_nothing_to_a_new_fault() -> None:
    past = factory.past(1)
    looks = [
        HouseCheck(
            factory.key(), past.house.id, factory.FIRST_ROUND + timedelta(days=days), "posts", condition
        )
        for days, condition in ((0, Condition.FAULT), (7, Condition.GOOD), (21, Condition.FAULT))
    ]
    past = replace(
        past,
        leads_house=True,
        house_checks=tuple(looks),
        jobs=(record_of(past, JobKind.HOUSE),),
        job_events=(event("job", JobStep.ASSIGNED, 0, person_id="w"),),
    )
    job = of_kind(past, JobKind.HOUSE, 21)
    assert job is not None
    assert (job.state, job.due_on) == (JobState.OPEN, factory.FIRST_ROUND + timedelta(days=21))


def test_the_steps_of_two_laptops_are_one_story() -> None:
    """Both raised the job from the same visit: one gave it out in the morning, on the other it was done at noon."""
    past = with_ties(30.0)
    records = (record_of(past, JobKind.TRELLIS, "a"), record_of(past, JobKind.TRELLIS, "b"))
    for first, second in (("a", "b"), ("b", "a")):
        steps = (event(first, JobStep.DONE, 0, 12, hours=3.0), event(second, JobStep.ASSIGNED, 0, 8))
        job = of_kind(replace(past, jobs=records, job_events=steps), JobKind.TRELLIS, 0)
        assert job is not None
        assert (job.state, job.record_id) == (JobState.DONE, first)
        assert [line.split(" · ")[1] for line in job.history] == ["assigned", "done"]


def round_after(step: JobStep, days: int, on: int, visits: int = 1) -> Job | None:
    past = factory.past(visits)
    past = replace(
        past,
        jobs=(record_of(past, JobKind.ROUND),),
        job_events=(event("job", step, days, note="no time", person_id="w"),),
    )
    return of_kind(past, JobKind.ROUND, on)


def test_a_round_ticked_off_without_a_visit_is_open_again_the_day_after() -> None:
    same_day = round_after(JobStep.DONE, 11, 11)
    assert same_day is not None
    assert same_day.state is JobState.DONE
    for on in (12, 40):
        job = round_after(JobStep.DONE, 11, on)
        assert job is not None
        assert job.state is JobState.OPEN
        assert "No visit of that day or later is kept" in job.history[-1]


def test_a_round_is_skipped_for_the_days_between_two_rounds_at_most() -> None:
    """Seven days in the crop file (common practice, no source)."""
    held, back = round_after(JobStep.SKIPPED, 11, 17), round_after(JobStep.SKIPPED, 11, 18)
    assert held is not None
    assert back is not None
    assert (held.state, back.state) == (JobState.SKIPPED, JobState.OPEN)
    assert "no time" in back.history[0]


def test_a_visit_closes_a_round_and_the_next_one_comes_back() -> None:
    """Ticked off on the day of its visit; nine days later the next round is late."""
    assert round_after(JobStep.DONE, 7, 8, visits=2) is None
    job = round_after(JobStep.DONE, 7, 16, visits=2)
    assert job is not None
    assert (job.state, job.record_id) == (JobState.OPEN, None)
    assert "due anew" in job.history[0]


def test_work_is_judged_by_the_first_visit_that_looked() -> None:
    past = with_weeds(factory.past(3), 30, 0, 30)
    blind = replace(past, visits=(past.visits[0], replace(past.visits[1], weeds=()), past.visits[2]))
    job = weeding(recorded(blind, JobStep.DONE, 3, hours=4.0))
    assert job is not None
    assert job.history == (
        f"Done on {factory.FIRST_ROUND + timedelta(days=3)}, but the visit after it still shows the need.",
    )
