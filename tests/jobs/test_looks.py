"""A rule rests on the newest visit that looked at its subject; a visit that did not look ends nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.farm import ColourAim
from bayround.facts.rounds import CardCount
from bayround.facts.work import JobKind
from bayround.figures import families
from bayround.jobs import due_jobs, looks
from bayround.jobs.job import Job
from bayround.week.bay_figures import all_figures

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")
RESTS_ON = {
    JobKind.TRELLIS: "head_above_tie_cm",
    JobKind.BALANCE: "fruit_per_m2",
    JobKind.WEED: "weed_cover_percent",
    JobKind.PICK: "ripe_per_m2",
}
"""Kind of job → the figure without which its rule can say nothing."""


def needy() -> BayPast:
    """A bay that needs every kind of job that a visit can show."""
    past = factory.past(1, start_cm=150.0)
    assert past.latest is not None
    readings = {
        plant: replace(reading, fruit_set=6.0, fruit_green=6.0, fruit_coloured=2.0)
        for plant, reading in past.latest.readings.items()
    }
    visit = replace(
        past.latest,
        readings=readings,
        weeds=(factory.weed(60.0, seeding=True),),
        checks=(factory.check("aphids", 20, 12), factory.check("thrips", 40, 40, inspected_part="flower")),
    )
    return replace(past, visits=(visit,))


def visited_again(past: BayPast, days: int, numbers: dict[str, float], **rows: object) -> BayPast:
    assert past.planting is not None
    day = factory.FIRST_ROUND + timedelta(days=days)
    readings = {plant.id: numbers for plant in past.plants} if numbers else {}
    return replace(past, visits=(*past.visits, factory.record(past.planting, day, readings, **rows)))


def jobs_of(past: BayPast, days: int) -> dict[tuple[JobKind, str], Job]:
    day = factory.FIRST_ROUND + timedelta(days=days)
    jobs = due_jobs(past, all_figures(past, CROPS, day), CROPS, day)
    return {(job.kind, job.target): job for job in jobs}


def test_a_visit_that_only_counted_flowers_ends_no_job() -> None:
    before = jobs_of(needy(), 0)
    assert len(before) == 6
    after = jobs_of(visited_again(needy(), 2, {"flowers": 1.0}), 2)
    assert after.keys() == before.keys()
    for key, job in after.items():
        assert job.reason == f"{before[key].reason} Not looked at since {factory.FIRST_ROUND}."
        assert (job.due_on, job.priority, job.raised_on) == (
            before[key].due_on, before[key].priority, factory.FIRST_ROUND,
        )  # fmt: skip


def test_each_rule_and_each_organism_goes_by_its_own_newest_look() -> None:
    again = visited_again(
        needy(), 7, {}, weeds=(factory.weed(2.0),), checks=(factory.check("aphids", 60, 0),)
    )
    found = jobs_of(visited_again(again, 9, {"flowers": 1.0}), 9)
    assert (JobKind.WEED, "") not in found
    assert (JobKind.PEST, "aphids") not in found
    thrips = found[JobKind.PEST, "thrips"]
    assert thrips.raised_on == factory.FIRST_ROUND
    assert "Not looked at since" in thrips.reason
    assert {key[0] for key in found} == {JobKind.TRELLIS, JobKind.BALANCE, JobKind.PICK, JobKind.PEST}


def test_the_newest_look_counts_and_says_nothing_of_others() -> None:
    job = jobs_of(visited_again(needy(), 7, {}, weeds=(factory.weed(30.0),)), 7)[JobKind.WEED, ""]
    assert job.raised_on == factory.FIRST_ROUND + timedelta(days=7)
    assert "Not looked at" not in job.reason


@pytest.mark.parametrize("aim", list(ColourAim))
@pytest.mark.parametrize(
    "numbers",
    [
        {},
        {"height_cm": 120.0},
        {"last_tie_cm": 120.0},
        {"height_cm": 120.0, "last_tie_cm": 90.0},
        {"flowers": 3.0},
        {"fruit_green": 2.0},
        {"fruit_coloured": 2.0},
    ],
)
def test_looked_at_means_that_the_figure_has_a_value(aim: ColourAim, numbers: dict[str, float]) -> None:
    past = factory.past(1)
    assert past.planting is not None
    planting = replace(past.planting, colour_aim=aim)
    for weeds in ((), (factory.weed(0.0),)):
        day = factory.FIRST_ROUND
        visit = factory.record(planting, day, {plant.id: numbers for plant in past.plants}, weeds=weeds)
        seen = replace(past, planting=planting, visits=(visit,))
        figures = families.of_visit(seen, CROPS, day)
        for kind, figure_id in RESTS_ON.items():
            looked = bool(looks.targets(kind, visit, planting, PEPPER))
            assert looked is (figures[figure_id].value is not None), (kind, numbers)


def test_a_sticky_card_is_a_look_at_its_organism() -> None:
    past = factory.past(1)
    assert past.planting is not None
    assert past.latest is not None
    card = CardCount(factory.key(), factory.key(), "C1", "whiteflies", 3, 7.0, 100.0)
    visit = replace(past.latest, cards=(card,), checks=(factory.check("aphids", 20, 0),))
    assert looks.targets(JobKind.PEST, visit, past.planting, PEPPER) == {"whiteflies", "aphids"}
