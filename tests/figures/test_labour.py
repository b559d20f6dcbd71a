"""The farm's own labour rates: hand-reckoned, drawn towards the norm, said in “how do you know?”.

Check value: the shrunken mean of a normal sample with known variances (conjugate prior; e.g. Gelman et al.,
Bayesian Data Analysis, 3rd ed., eq. 2.11–2.12).
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.moments import start_of_day
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Pick
from bayround.figures.labour import learned, norm_hours
from bayround.jobs import due_jobs
from bayround.week.bay_figures import all_figures

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")


def done(past: BayPast, kind: JobKind, hours: float | None, day: date = factory.FIRST_ROUND) -> BayPast:
    record = JobRecord(factory.key(), past.bay.id, kind, "", day, day, "x")
    at: datetime = start_of_day(day)
    event = JobEvent(factory.key(), record.id, JobStep.DONE, day, at, hours=hours)
    return replace(past, jobs=(*past.jobs, record), job_events=(*past.job_events, event))


def test_the_factor_is_the_shrunken_mean_of_the_log_ratios() -> None:
    """4,600 stems at 4.5 h per 1,000 are 20.7 h; two jobs took 30 h and 36 h."""
    past = done(done(factory.past(2), JobKind.TRELLIS, 30.0), JobKind.TRELLIS, 36.0)
    norm = 4.5 * 4600 / 1000
    ratios = [math.log(30 / norm), math.log(36 / norm)]
    job, farm = (PEPPER.number(name).value for name in ("labour_job_deviation", "labour_farm_deviation"))
    weight = (2 / job**2) / (2 / job**2 + 1 / farm**2)
    rate = learned([past], CROPS)["sweet_pepper"][JobKind.TRELLIS]
    assert rate.factor == pytest.approx(math.exp(weight * sum(ratios) / 2))
    assert 1 < rate.factor < 33 / norm
    assert rate.jobs == 2


def test_many_jobs_outweigh_the_norm_and_one_does_not() -> None:
    norm = 4.5 * 4600 / 1000
    past, one = factory.past(2), done(factory.past(2), JobKind.TRELLIS, norm * 2)
    for _again in range(40):
        past = done(past, JobKind.TRELLIS, norm * 2)
    assert learned([past], CROPS)["sweet_pepper"][JobKind.TRELLIS].factor == pytest.approx(2, rel=0.05)
    assert 1.3 < learned([one], CROPS)["sweet_pepper"][JobKind.TRELLIS].factor < 1.7


@pytest.mark.parametrize(
    ("kind", "hours"),
    [
        (JobKind.BALANCE, 5.0 * 2300 / 1000),
        (JobKind.ROUND, 10 / 60),
        (JobKind.PICK, 0.5),
        (JobKind.PEST, None),
    ],
)
def test_hours_by_the_norm_for_what_was_there(kind: JobKind, hours: float | None) -> None:
    past = done(factory.past(2), kind, 1.0)
    assert past.planting is not None
    pick = Pick(factory.key(), past.bay.id, past.planting.id, factory.FIRST_ROUND, 50.0)
    past = replace(past, picks=(pick,))
    found = norm_hours(past, PEPPER, past.jobs[0], past.job_events[0])
    assert found == (None if hours is None else pytest.approx(hours))


def test_weeding_goes_by_the_cover_that_raised_the_job() -> None:
    past = factory.past(2)
    first = replace(past.visits[0], weeds=(factory.weed(30.0), factory.weed(10.0)))
    past = done(replace(past, visits=(first, past.visits[1])), JobKind.WEED, 3.0)
    assert norm_hours(past, PEPPER, past.jobs[0], past.job_events[0]) == pytest.approx(2.0 * 400 * 0.3 / 100)
    later = done(factory.past(2), JobKind.WEED, 3.0, factory.FIRST_ROUND + timedelta(days=1))
    assert norm_hours(later, PEPPER, later.jobs[0], later.job_events[0]) is None


def test_jobs_without_hours_teach_nothing() -> None:
    assert learned([done(factory.past(2), JobKind.TRELLIS, None)], CROPS) == {}


def test_hours_of_a_due_job_use_it_and_say_so() -> None:
    past = factory.past(2, tie_cm=60.0)
    day = factory.FIRST_ROUND + timedelta(weeks=1)
    figures = all_figures(past, CROPS, day)
    rates = learned([done(past, JobKind.TRELLIS, 41.4)], CROPS)
    factor = rates["sweet_pepper"][JobKind.TRELLIS].factor

    def hours(of_rates: object) -> float | None:
        jobs = due_jobs(past, figures, CROPS, day, {}, of_rates)  # type: ignore[arg-type]
        job = next(one for one in jobs if one.kind is JobKind.TRELLIS)
        texts = " ".join(text for _name, text in job.hours.explained())
        assert ("finished job of this farm" in texts) is bool(of_rates)
        return job.hours.value

    assert hours(None) == pytest.approx(20.7)
    assert hours(rates) == pytest.approx(20.7 * factor)
