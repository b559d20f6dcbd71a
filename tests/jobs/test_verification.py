"""What the first visit after a finished job says: worked, did not, can't tell, not looked at since."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Condition, HouseCheck
from bayround.facts.moments import start_of_day
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep
from bayround.jobs.verification import Verdict, Verified, of_bay

CROPS = load_crops()
FIRST = factory.FIRST_ROUND


def done(past: BayPast, kind: JobKind, days: int, target: str = "") -> BayPast:
    record = JobRecord(factory.key(), past.bay.id, kind, target, FIRST, FIRST, "x")
    day = FIRST + timedelta(days=days)
    event = JobEvent(factory.key(), record.id, JobStep.DONE, day, start_of_day(day), person_id="w", hours=3.0)
    return replace(past, jobs=(record,), job_events=(event,))


def covers(*weeds: float | None) -> BayPast:
    """A bay whose visits, a week apart, saw so much weed cover, or did not look."""
    past = factory.past(len(weeds))
    visits = tuple(
        replace(seen, weeds=() if cover is None else (factory.weed(cover),))
        for seen, cover in zip(past.visits, weeds)
    )
    return replace(past, visits=visits)


def verdict(past: BayPast, since: date = FIRST) -> Verified:
    (found,) = of_bay(past, CROPS, since, {"w": "Rowan"})
    return found


@pytest.mark.parametrize(
    ("weeds", "expected", "words"),
    [
        ((30.0, 0.0), Verdict.WORKED, "no longer showed the need"),
        ((30.0, 30.0), Verdict.DID_NOT, "still showed the need"),
        ((30.0, None), Verdict.CANT_TELL, "did not look at what the job was about"),
        ((30.0,), Verdict.WAITS, "next visit will tell"),
        ((30.0, 0.0, 30.0), Verdict.WORKED, "no longer"),  # only the first visit after the work judges it
        ((30.0, 30.0, 0.0), Verdict.DID_NOT, "still"),
    ],
)
def test_weeding(weeds: tuple[float | None, ...], expected: Verdict, words: str) -> None:
    told = verdict(done(covers(*weeds), JobKind.WEED, 3))
    assert (told.verdict, told.done_by, told.hours) == (expected, "Rowan", 3.0)
    assert words in told.text


def test_a_visit_on_the_day_of_the_work_does_not_judge_it() -> None:
    assert verdict(done(covers(30.0, 0.0), JobKind.WEED, 7)).verdict is Verdict.WAITS


def test_a_pest_job_is_judged_only_by_a_check_of_that_organism() -> None:
    past = factory.past(2)
    clean = replace(past.visits[1], checks=(factory.check("aphids", 50, 0),))
    looked = replace(past, visits=(past.visits[0], clean))
    assert verdict(done(looked, JobKind.PEST, 3, "aphids")).verdict is Verdict.WORKED
    assert verdict(done(looked, JobKind.PEST, 3, "thrips")).verdict is Verdict.CANT_TELL


def test_a_tie_that_was_not_measured_again_can_not_be_told() -> None:
    past = factory.past(2)
    blind = replace(past.visits[1], readings={})
    told = verdict(done(replace(past, visits=(past.visits[0], blind)), JobKind.TRELLIS, 3))
    assert told.verdict is Verdict.CANT_TELL


Looks = tuple[tuple[int, Condition, str], ...]
FAULT, GOOD = Condition.FAULT, Condition.GOOD


@pytest.mark.parametrize(
    ("looks", "expected", "told_on"),
    [
        ((), Verdict.WAITS, None),
        (
            ((2, FAULT, "posts"),),
            Verdict.WAITS,
            None,
        ),  # of the day of the work: nobody knows which came first
        (((4, GOOD, "posts"),), Verdict.WORKED, 4),
        (((4, FAULT, "posts"),), Verdict.DID_NOT, 4),
        (((4, Condition.NOT_LOOKED_AT, "posts"),), Verdict.WAITS, None),
        (((4, GOOD, "posts"), (20, FAULT, "posts")), Verdict.WORKED, 4),  # a later fault is a new one
        (((4, GOOD, "posts"), (4, FAULT, "cover")), Verdict.WORKED, 4),  # another part
        (((4, FAULT, "posts"), (9, GOOD, "posts")), Verdict.DID_NOT, 4),
        (((4, GOOD, "cover"),), Verdict.WAITS, None),
    ],
)
def test_a_house_is_judged_by_the_next_look_at_the_part_that_was_faulty(
    looks: Looks, expected: Verdict, told_on: int | None
) -> None:
    past = done(factory.past(2), JobKind.HOUSE, 2)
    checks = [
        HouseCheck(factory.key(), past.house.id, FIRST + timedelta(days=days), part, condition)
        for days, condition, part in ((0, FAULT, "posts"), *looks)
    ]
    told = verdict(replace(past, house_checks=tuple(checks)))
    assert told.verdict is expected
    day = "next check" if told_on is None else str(FIRST + timedelta(days=told_on))
    assert day in told.text


def test_old_jobs_are_left_out() -> None:
    assert of_bay(done(covers(30.0, 0.0), JobKind.WEED, 3), CROPS, FIRST + timedelta(days=4), {}) == ()
