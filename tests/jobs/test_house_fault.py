"""Faults of a house: a job, a caution, nobody sent in; the newest look counts.

The cautions (keep people out, loaded wires, storms) are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Condition, HouseCheck
from bayround.facts.work import JobKind
from bayround.jobs import due_jobs
from bayround.jobs.house_fault import CAUTION, blocks, standing, warnings
from bayround.week.bay_figures import all_figures

CROPS = load_crops()
DAY = date(2026, 10, 14)


def check(part: str, condition: Condition, days: int = 0, note: str = "") -> HouseCheck:
    return HouseCheck(factory.key(), "h", DAY + timedelta(days=days), part, condition, note=note)


def with_checks(*checks: HouseCheck, leads: bool = True, weeds: float = 30.0) -> BayPast:
    past = factory.past(2)
    latest = replace(past.visits[-1], weeds=(factory.weed(weeds),))
    return replace(past, visits=(*past.visits[:-1], latest), house_checks=checks, leads_house=leads)


def jobs_of(past: BayPast) -> dict[JobKind, object]:
    return {job.kind: job for job in due_jobs(past, all_figures(past, CROPS, DAY), CROPS, DAY)}


def test_a_fault_makes_one_urgent_job_with_the_caution_on_the_first_bay_of_the_house() -> None:
    past = with_checks(check("wires", Condition.FAULT, note="row 3 sags"))
    job = jobs_of(past)[JobKind.HOUSE]
    assert (job.priority, job.due_on) == (1, DAY)  # type: ignore[attr-defined]
    assert "row 3 sags" in job.reason  # type: ignore[attr-defined]
    assert CAUTION in job.reason  # type: ignore[attr-defined]
    assert job.blocked_by == ()  # type: ignore[attr-defined]
    assert JobKind.HOUSE not in jobs_of(replace(past, leads_house=False))


@pytest.mark.parametrize("part", ["cover", "posts", "wires"])
def test_what_can_fall_on_people_stops_other_work_in_all_bays_of_the_house(part: str) -> None:
    past = with_checks(check(part, Condition.FAULT), leads=False)
    weeding = jobs_of(past)[JobKind.WEED]
    assert "nobody goes in until a competent person has looked" in weeding.blocked_by[0]  # type: ignore[attr-defined]
    assert CAUTION in warnings(past)[0]


def test_standing_water_makes_a_job_and_stops_nothing() -> None:
    past = with_checks(check("standing water", Condition.FAULT))
    found = jobs_of(past)
    assert found[JobKind.HOUSE].priority == 2  # type: ignore[attr-defined]
    assert found[JobKind.WEED].blocked_by == ()  # type: ignore[attr-defined]


def test_only_a_new_look_that_finds_it_good_ends_a_fault() -> None:
    fault = check("posts", Condition.FAULT)
    assert standing([fault, check("posts", Condition.NOT_LOOKED_AT, 3)]) == (fault,)
    assert standing([check("posts", Condition.GOOD, 3), fault]) == ()
    assert standing([check("posts", Condition.GOOD, -3), fault]) == (fault,)
    assert blocks(JobKind.WEED, [fault, check("posts", Condition.GOOD, 3)]) == ()


def test_a_house_whose_first_bay_is_empty_gets_its_job_too() -> None:
    past = replace(with_checks(check("posts", Condition.FAULT)), planting=None, visits=())
    assert [job.kind for job in due_jobs(past, all_figures(past, CROPS, DAY), CROPS, DAY)] == [JobKind.HOUSE]
