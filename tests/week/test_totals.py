"""What counts as due: open, assigned or started jobs; what is done waits for the next visit and is counted apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.weeks import Week
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep
from bayround.week.build import build
from bayround.week.columns import column

DAY = factory.FIRST_ROUND


@pytest.mark.parametrize(
    ("step", "due", "to_confirm"),
    [
        (None, 1, 0),
        (JobStep.ASSIGNED, 1, 0),
        (JobStep.STARTED, 1, 0),
        (JobStep.DONE, 0, 1),
        (JobStep.SKIPPED, 0, 0),
    ],
)
def test_due_and_to_be_confirmed(step: JobStep | None, due: int, to_confirm: int) -> None:
    """A trellis job of 2,300 plants with 2 stems at 4.5 h per 1,000 stems (from memory)."""
    past = factory.past(1, start_cm=150.0)
    season = factory.season(past)
    if step is not None:
        record = JobRecord(factory.key(), past.bay.id, JobKind.TRELLIS, "", DAY, DAY, "x")
        event = JobEvent(factory.key(), record.id, step, DAY, datetime(2026, 10, 6, 9, tzinfo=UTC))
        season = replace(season, jobs=(record,), job_events=(event,))
    week = build(season, load_crops(), Week.of(DAY), DAY)
    totals = week.totals
    assert len(week.jobs) == 1
    assert (totals["jobs_due"].value, totals["jobs_to_confirm"].value) == (due, to_confirm)
    hours = 2300 * 2 * 4.5 / 1000 * due
    assert totals["hours_due"].value == totals["hours_open"].value == pytest.approx(hours)
    assert ("hours_due_trellis" in totals) is bool(due)
    assert column("jobs_due").text(week.bays[0]) == str(due)
