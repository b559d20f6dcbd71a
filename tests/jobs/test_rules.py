"""Each rule speaks when it should, is silent when it should, and says the numbers it used."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

import factory
from bayround.crops import apply_overrides, load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.farm import ColourAim
from bayround.facts.work import JobKind
from bayround.jobs import due_jobs
from bayround.jobs.job import Job
from bayround.week.bay_figures import all_figures

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")


def jobs_of(past: BayPast, as_of: date | None = None) -> dict[JobKind, Job]:
    day = as_of or (past.latest.day if past.latest else factory.FIRST_ROUND)
    found = due_jobs(past, all_figures(past, CROPS, day), CROPS, day)
    return {job.kind: job for job in found}


def with_readings(past: BayPast, **numbers: float) -> BayPast:
    """Return the bay with the newest visit's readings changed for every plant."""
    assert past.latest is not None
    readings = {plant: replace(reading, **numbers) for plant, reading in past.latest.readings.items()}  # type: ignore[arg-type]
    return replace(past, visits=(*past.visits[:-1], replace(past.latest, readings=readings)))


def with_latest(past: BayPast, **rows: object) -> BayPast:
    assert past.latest is not None
    return replace(past, visits=(*past.visits[:-1], replace(past.latest, **rows)))  # type: ignore[arg-type]


@pytest.mark.parametrize(("above_cm", "priority"), [(5.0, None), (25.0, 2), (39.9, 2), (40.0, 1), (60.0, 1)])
def test_trellis_by_head_above_tie(above_cm: float, priority: int | None) -> None:
    """Limits from the profile (common practice, no source): a tie every 25 cm, urgent from 40 cm."""
    assert PEPPER.number("tie_every_cm").value == 25
    assert PEPPER.number("tie_urgent_cm").value == 40
    past = with_readings(factory.past(2, growth_cm=2.0), height_cm=100.0 + above_cm, last_tie_cm=100.0)
    job = jobs_of(past).get(JobKind.TRELLIS)
    assert (job.priority if job else None) == priority
    if job:
        assert f"{above_cm:.1f} cm above the last tie" in job.reason
        assert job.hours.value == pytest.approx(2300 * 2 * 4.5 / 1000)


def test_trellis_foreseen_before_the_next_round() -> None:
    """Ten plants at 21, 27 … cm above a tie at 90 cm grow 6 cm a week: 25 cm are passed within days."""
    past = factory.past(4, start_cm=92.5, growth_cm=6.0, tie_cm=90.0)
    job = jobs_of(past)[JobKind.TRELLIS]
    assert job.priority == 3
    assert "before the next round" in job.reason
    assert past.latest is not None
    assert past.latest.day < job.due_on <= past.latest.day + timedelta(days=7)


def test_balance_only_when_the_whole_interval_is_above_the_band() -> None:
    heavy = with_readings(factory.past(2), fruit_set=6.0, fruit_green=6.0)
    job = jobs_of(heavy)[JobKind.BALANCE]
    assert "leave at most" in job.reason
    assert len(job.plants) == 10
    assert JobKind.BALANCE not in jobs_of(factory.past(2))


@pytest.mark.parametrize(
    ("cover", "seeding", "priority"), [(9.0, False, None), (10.0, False, 2), (25.0, False, 1), (3.0, True, 1)]
)
def test_weeding(cover: float, seeding: bool, priority: int | None) -> None:
    past = with_latest(factory.past(2), weeds=(factory.weed(cover, seeding=seeding, where="north corner"),))
    job = jobs_of(past).get(JobKind.WEED)
    assert (job.priority if job else None) == priority
    if job:
        assert "north corner" in job.reason


def test_pest_job_names_organism_and_defers_to_the_label() -> None:
    past = with_latest(factory.past(2), checks=(factory.check("aphids", 20, 12),))
    job = jobs_of(past)[JobKind.PEST]
    assert job.target == "aphids"
    assert "12 of 20" in job.reason
    assert "label" in job.reason
    clean = with_latest(factory.past(2), checks=(factory.check("aphids", 60, 0),))
    assert JobKind.PEST not in jobs_of(clean)


def test_pick_when_ready_and_not_before() -> None:
    ready = with_readings(factory.past(2), fruit_coloured=1.0)
    job = jobs_of(ready)[JobKind.PICK]
    assert job.priority == 1
    assert "5.8 fruit ready to pick per m²" in job.reason
    assert JobKind.PICK not in jobs_of(factory.past(2))
    assert ready.planting is not None
    green = replace(ready, planting=replace(ready.planting, colour_aim=ColourAim.GREEN))
    assert "green fruit of picking size" in jobs_of(green)[JobKind.PICK].reason


def test_round_overdue_after_the_late_day() -> None:
    past = factory.past(2)
    assert past.latest is not None
    assert JobKind.ROUND not in jobs_of(past, past.latest.day + timedelta(days=8))
    assert jobs_of(past, past.latest.day + timedelta(days=9))[JobKind.ROUND].priority == 2
    assert jobs_of(past, past.latest.day + timedelta(days=14))[JobKind.ROUND].priority == 1


def test_bay_without_crop_has_no_jobs() -> None:
    assert jobs_of(replace(factory.past(2), planting=None, visits=())) == {}


@pytest.mark.parametrize(
    ("kind", "name", "before", "after"),
    [
        (JobKind.TRELLIS, "trellis_due_days_urgent", 1, 2),
        (JobKind.WEED, "weed_due_days_urgent", 2, 3),
        (JobKind.BALANCE, "balance_due_days", 4, 9),
        (JobKind.PICK, "pick_due_days_urgent", 1, 2),
        (JobKind.PEST, "pest_due_days", 2, 5),
    ],
)
def test_days_to_do_it_in_come_from_the_crop_file(kind: JobKind, name: str, before: int, after: int) -> None:
    """Values of the file: common practice, no source. A farm's own number moves the day."""
    past = with_readings(factory.past(1, start_cm=150.0), fruit_set=6.0, fruit_green=6.0, fruit_coloured=2.0)
    past = with_latest(past, weeds=(factory.weed(60.0),), checks=(factory.check("aphids", 60, 12),))
    own = apply_overrides(CROPS, [("sweet_pepper", name, float(after))])
    for crops, days in ((CROPS, before), (own, after)):
        figures = all_figures(past, crops, factory.FIRST_ROUND)
        found = due_jobs(past, figures, crops, factory.FIRST_ROUND)
        (job,) = [one for one in found if one.kind is kind]
        assert job.due_on == factory.FIRST_ROUND + timedelta(days=days)


def test_when_picks_and_rounds_are_urgent_comes_from_the_crop_file() -> None:
    past = with_readings(factory.past(2), fruit_coloured=1.0)
    assert past.latest is not None
    late = past.latest.day + timedelta(days=14)
    for kind, name in ((JobKind.PICK, "pick_urgent_times"), (JobKind.ROUND, "round_urgent_times")):
        own = apply_overrides(CROPS, [("sweet_pepper", name, 9.0)])
        priorities = [
            next(
                job.priority
                for job in due_jobs(past, all_figures(past, crops, late), crops, late)
                if job.kind is kind
            )
            for crops in (CROPS, own)
        ]
        assert priorities == [1, 2]
