"""Re-entry and pre-harvest clocks: one minute before and after, the later of several, unknown is not safe.

Source of the rules: US EPA 40 CFR 156.208 and the Worker Protection Standard as summarised (label wins,
the longer interval applies); "unknown = not safe" is the program's own caution.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import factory

from bayround.facts.work import JobKind
from bayround.jobs.intervals import clocks, what_blocks

DAY = date(2026, 10, 14)
MIDNIGHT = datetime(2026, 10, 14, 0, 0).astimezone()


def blocks(kind: JobKind, ends_at: datetime, **intervals: float | None) -> tuple[str, ...]:
    treated = factory.treatment(ends_at.astimezone(UTC), **intervals)  # type: ignore[arg-type]
    return what_blocks(kind, [treated], DAY, DAY - timedelta(days=1))


def test_re_entry_one_minute_either_side_of_the_working_day() -> None:
    over = MIDNIGHT - timedelta(hours=12)
    assert blocks(JobKind.WEED, over, re_entry_hours=12.0, pre_harvest_days=0.0) == ()
    late = over + timedelta(minutes=1)
    found = blocks(JobKind.WEED, late, re_entry_hours=12.0, pre_harvest_days=0.0)
    assert found == ("no re-entry before 2026-10-14 00:01",)


def test_pick_inside_the_pre_harvest_interval_is_stopped_other_work_is_not() -> None:
    ended = MIDNIGHT - timedelta(days=3) + timedelta(minutes=1)
    assert blocks(JobKind.PICK, ended, re_entry_hours=0.0, pre_harvest_days=3.0) == (
        "no pick before 2026-10-14 00:01",
    )
    assert blocks(JobKind.TRELLIS, ended, re_entry_hours=0.0, pre_harvest_days=3.0) == ()


def test_unknown_interval_counts_as_not_safe() -> None:
    found = blocks(JobKind.PICK, MIDNIGHT - timedelta(days=90), re_entry_hours=None, pre_harvest_days=None)
    assert len(found) == 2
    assert all("not safe" in line for line in found)


def test_the_later_of_two_products_wins() -> None:
    first = factory.treatment(MIDNIGHT - timedelta(hours=30), re_entry_hours=48.0, pre_harvest_days=1.0)
    second = factory.treatment(MIDNIGHT - timedelta(hours=20), re_entry_hours=4.0, pre_harvest_days=7.0)
    state = clocks([first, second], DAY)
    assert state.re_entry_from == first.ended_at + timedelta(hours=48)
    assert state.earliest_pick == second.ended_at + timedelta(days=7)
