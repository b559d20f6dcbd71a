"""What happened after a week: one sentence for bays alike, none left out; what people work by is of today."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import factory
from bayround.crops import load_crops
from bayround.facts.kept import Condition, HouseCheck
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind, Treatment, TreatmentBay
from bayround.week import job_sheet, since
from bayround.week.build import build

CROPS = load_crops()
WEEK = Week.of(factory.FIRST_ROUND)
TODAY = WEEK.sunday + timedelta(days=3)
MORNING = datetime(TODAY.year, TODAY.month, TODAY.day, 6, tzinfo=UTC)


def treated(season: SeasonFacts, *bay_ids: str, **changes: object) -> SeasonFacts:
    item: Treatment = factory.treatment(
        MORNING, **{"re_entry_hours": 60.0, "pre_harvest_days": 7.0, **changes}
    )
    links = tuple(TreatmentBay(factory.key(), item.id, bay_id) for bay_id in bay_ids)
    return replace(
        season, treatments=(*season.treatments, item), treatment_bays=(*season.treatment_bays, *links)
    )


def faulty(season: SeasonFacts, days: int, condition: Condition = Condition.FAULT) -> SeasonFacts:
    check = HouseCheck(
        factory.key(),
        season.houses[0].id,
        WEEK.sunday + timedelta(days=days),
        "wires",
        condition,
        note="row 3",
    )
    return replace(season, house_checks=(*season.house_checks, check))


def farm() -> SeasonFacts:
    """One bay with a trellis job and seven bare ones, in one house."""
    season = factory.season(factory.past(1, start_cm=150.0))
    more = tuple(factory.bay(season.houses[0], name=f"Bay {n}", position=n) for n in range(2, 9))
    return replace(season, bays=(*season.bays, *more))


def test_bays_alike_stand_in_one_sentence_and_none_is_left_out() -> None:
    season = farm()
    season = treated(season, *(bay.id for bay in season.bays[:6]))
    season = treated(season, season.bays[6].id, re_entry_hours=None)
    alike, unknown = since.warnings(season, WEEK.sunday, TODAY)
    assert all(f"Bay {n}" in alike for n in range(1, 7))
    assert "Bay 7" not in alike
    assert unknown == (
        "Treated since then: Net house 1 · Bay 7. Enter from: not known: look at the label. "
        "Pick from: not known: look at the label."
    )
    assert since.warnings(season, TODAY, TODAY) == ()


def test_clocks_and_what_stops_a_job_are_of_today() -> None:
    season = farm()
    season = faulty(treated(season, season.bays[0].id), 2)
    of_week = build(season, CROPS, WEEK, TODAY)
    (job,) = of_week.jobs
    assert job.blocked_by == ()
    now = since.up_to_today(of_week, season, TODAY)
    (job,) = now.jobs
    assert job.kind is JobKind.TRELLIS
    assert "no re-entry before" in job.blocked_by[0]
    assert "fault in the house" in job.blocked_by[1]
    assert now.as_of == WEEK.sunday
    assert now.bays[0].jobs == now.jobs
    (sheet,) = job_sheet.build(now)
    assert sheet.jobs[0].enter != "no interval runs"
    assert sheet.jobs[0].pick != "no interval runs"
    assert any("row 3" in caution for caution in sheet.jobs[0].cautions)


def test_a_fault_that_was_mended_since_stops_nothing() -> None:
    season = faulty(faulty(farm(), 0), 2, Condition.GOOD)
    of_week = build(season, CROPS, WEEK, TODAY)
    assert all(job.blocked_by for job in of_week.jobs if job.kind is JobKind.TRELLIS)
    now = since.up_to_today(of_week, season, TODAY)
    assert [job.blocked_by for job in now.jobs] == [()] * len(now.jobs)
    assert now.bays[0].house_closed == now.bays[0].warnings == ()
