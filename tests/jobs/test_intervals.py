"""Re-entry and pre-harvest clocks: one minute before and after, the later of several, unknown is not safe.

Source of the rules: US EPA 40 CFR 156.208 and the Worker Protection Standard as summarised (label wins,
the longer interval applies); "unknown = not safe" is the program's own caution. The changes of clocks are
those of Central European Time (EU Directive 2000/84/EC: last Sunday of March and of October, 01:00 UTC).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

import factory
from bayround.facts import moments
from bayround.facts.work import JobKind
from bayround.jobs.intervals import (
    Clocks,
    began_after,
    clocks,
    enter_text,
    moment_text,
    pick_text,
    pre_harvest_end,
    stops,
    what_blocks,
)

DAY = date(2026, 10, 14)
MIDNIGHT = datetime(2026, 10, 14, 0, 0).astimezone()
MINUTE = timedelta(minutes=1)
BERLIN = ZoneInfo("Europe/Berlin")


def blocks(kind: JobKind, ends_at: datetime, **intervals: float | None) -> tuple[str, ...]:
    treated = factory.treatment(ends_at.astimezone(UTC), **intervals)  # type: ignore[arg-type]
    return what_blocks(kind, [treated], DAY)


def berlin(day: int, hour: int, minute: int = 0, month: int = 10) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=BERLIN).astimezone(UTC)


def test_re_entry_one_minute_either_side_of_the_working_day() -> None:
    over = MIDNIGHT - timedelta(hours=12)
    assert blocks(JobKind.WEED, over, re_entry_hours=12.0, pre_harvest_days=0.0) == ()
    found = blocks(JobKind.WEED, over + MINUTE, re_entry_hours=12.0, pre_harvest_days=0.0)
    assert found == ("no re-entry before 2026-10-14 00:01",)


def test_pick_inside_the_pre_harvest_interval_is_stopped_other_work_is_not() -> None:
    ended = MIDNIGHT - timedelta(days=3) + MINUTE
    assert blocks(JobKind.PICK, ended, re_entry_hours=0.0, pre_harvest_days=3.0) == (
        "no pick before 2026-10-14 00:01",
    )
    assert blocks(JobKind.TRELLIS, ended, re_entry_hours=0.0, pre_harvest_days=3.0) == ()


def test_a_job_due_later_is_stopped_while_the_interval_runs() -> None:
    treated = factory.treatment(MIDNIGHT, re_entry_hours=12.0, pre_harvest_days=0.0)
    assert what_blocks(JobKind.WEED, [treated], DAY) == ("no re-entry before 2026-10-14 12:00",)
    assert what_blocks(JobKind.WEED, [treated], DAY + timedelta(days=1)) == ()


@pytest.mark.parametrize("kind", [JobKind.WEED, JobKind.PICK])
def test_stopped_to_the_minute(kind: JobKind) -> None:
    treated = factory.treatment(MIDNIGHT + timedelta(hours=8), re_entry_hours=4.0, pre_harvest_days=0.0)
    over = MIDNIGHT + timedelta(hours=12)
    assert stops(kind, [treated], over - MINUTE) == ("no re-entry before 2026-10-14 12:00",)
    assert stops(kind, [treated], over) == ()
    assert stops(kind, [treated], over + MINUTE) == ()


def test_across_midnight_to_the_minute() -> None:
    treated = factory.treatment(MIDNIGHT - timedelta(hours=2), re_entry_hours=4.0, pre_harvest_days=0.0)
    over = MIDNIGHT + timedelta(hours=2)
    assert stops(JobKind.WEED, [treated], over - MINUTE) == ("no re-entry before 2026-10-14 02:00",)
    assert stops(JobKind.WEED, [treated], over) == ()


def test_re_entry_hours_are_hours_gone_by_when_clocks_go_back() -> None:
    """12 h from Saturday 18:00 summer time end at 05:00 winter time, the clock having shown 02:00 to 03:00 twice."""
    treated = factory.treatment(berlin(24, 18), re_entry_hours=12.0, pre_harvest_days=0.0)
    over = berlin(25, 5)
    assert over - berlin(24, 18) == timedelta(hours=12)
    assert stops(JobKind.WEED, [treated], over - MINUTE, BERLIN) == ("no re-entry before 2026-10-25 05:00",)
    assert stops(JobKind.WEED, [treated], over, BERLIN) == ()


def test_re_entry_hours_are_hours_gone_by_when_clocks_go_forward() -> None:
    treated = factory.treatment(berlin(28, 18, month=3), re_entry_hours=12.0, pre_harvest_days=0.0)
    over = berlin(29, 7, month=3)
    assert stops(JobKind.WEED, [treated], over - MINUTE, BERLIN) == ("no re-entry before 2026-03-29 07:00",)
    assert stops(JobKind.WEED, [treated], over, BERLIN) == ()


@pytest.mark.parametrize(
    ("ended", "over", "text"),
    [
        (
            berlin(24, 15),
            berlin(25, 15),
            "2026-10-25 15:00",
        ),  # 25 hours: the clock on the wall is the later one
        (berlin(28, 15, month=3), berlin(29, 16, month=3), "2026-03-29 16:00"),  # 24 hours are the later one
    ],
)
def test_a_pre_harvest_day_is_never_short_when_clocks_change(
    ended: datetime, over: datetime, text: str
) -> None:
    treated = factory.treatment(ended, re_entry_hours=0.0, pre_harvest_days=1.0)
    assert pre_harvest_end(treated, BERLIN) == over
    assert stops(JobKind.PICK, [treated], over - MINUTE, BERLIN) == (f"no pick before {text}",)
    assert stops(JobKind.PICK, [treated], over, BERLIN) == ()


@pytest.mark.parametrize("kind", [JobKind.WEED, JobKind.ROUND])
def test_a_treatment_whose_start_is_known_counts_from_that_minute(kind: JobKind) -> None:
    """Begun at 23:00 of the evening before and ended at 01:00: the evening counts too, the afternoon does not."""
    begun = MIDNIGHT - timedelta(hours=1)
    treated = factory.treatment(
        MIDNIGHT + timedelta(hours=1), started_at=begun, re_entry_hours=4.0, pre_harvest_days=0.0
    )
    text = "no re-entry before 2026-10-14 05:00"
    assert stops(kind, [treated], begun - MINUTE) == ()
    assert stops(kind, [treated], begun) == (text,)
    assert stops(kind, [treated], begun + MINUTE, since=begun - 2 * MINUTE) == (text,)
    assert what_blocks(kind, [treated], DAY - timedelta(days=1)) == (text,)
    assert what_blocks(kind, [treated], DAY - timedelta(days=2)) == ()
    assert began_after([treated], begun - MINUTE) == ("a treatment began at 2026-10-13 23:00",)
    assert began_after([treated], begun) == ()
    unknown = factory.treatment(MIDNIGHT + timedelta(hours=1), re_entry_hours=4.0, pre_harvest_days=0.0)
    assert stops(kind, [unknown], begun) == ()
    assert stops(kind, [unknown], MIDNIGHT) == (text,)
    assert began_after([unknown], MIDNIGHT) == ()


def test_an_hour_that_clocks_show_twice_is_told_apart() -> None:
    first, second = (datetime(2026, 10, 25, hour, 30, tzinfo=UTC) for hour in (0, 1))
    assert moment_text(first, BERLIN) == "2026-10-25 02:30 (UTC+0200)"
    assert moment_text(second, BERLIN) == "2026-10-25 02:30 (UTC+0100)"
    assert moments.instant_of(date(2026, 10, 25), time(2, 30), BERLIN) == second


def test_a_time_that_clocks_never_showed_is_taken_for_the_later_one() -> None:
    assert moments.instant_of(date(2026, 3, 29), time(2, 30), BERLIN) == datetime(
        2026, 3, 29, 1, 30, tzinfo=UTC
    )


def test_part_of_a_minute_counts_whole() -> None:
    treated = factory.treatment(MIDNIGHT + timedelta(seconds=30), re_entry_hours=1.0, pre_harvest_days=0.0)
    assert stops(JobKind.WEED, [treated], MIDNIGHT + timedelta(hours=1)) == (
        "no re-entry before 2026-10-14 01:01",
    )


def test_unknown_interval_counts_as_not_safe() -> None:
    found = blocks(JobKind.PICK, MIDNIGHT - timedelta(days=90), re_entry_hours=None, pre_harvest_days=None)
    assert len(found) == 2
    assert all("not safe" in line for line in found)


def test_a_release_of_living_organisms_stops_nothing_unless_its_label_says_so() -> None:
    release = factory.treatment(MIDNIGHT, biological=True)
    assert stops(JobKind.PICK, [release], MIDNIGHT + MINUTE) == ()
    nothing = factory.treatment(MIDNIGHT, biological=True, re_entry_hours=0.0, pre_harvest_days=0.0)
    assert stops(JobKind.PICK, [nothing], MIDNIGHT, since=MIDNIGHT - timedelta(hours=1)) == ()
    labelled = factory.treatment(MIDNIGHT, biological=True, re_entry_hours=4.0)
    assert stops(JobKind.PICK, [labelled], MIDNIGHT + MINUTE) == ("no re-entry before 2026-10-14 04:00",)


def test_the_later_of_two_products_wins() -> None:
    first = factory.treatment(MIDNIGHT - timedelta(hours=30), re_entry_hours=48.0, pre_harvest_days=1.0)
    second = factory.treatment(MIDNIGHT - timedelta(hours=20), re_entry_hours=4.0, pre_harvest_days=7.0)
    state = clocks([first, second], DAY)
    assert state.re_entry_from == first.ended_at + timedelta(hours=48)
    assert state.earliest_pick == second.ended_at + timedelta(days=7)


def test_columns_say_the_moment_until_the_day_it_is_over() -> None:
    treated = factory.treatment(MIDNIGHT, re_entry_hours=8.0, pre_harvest_days=2.0)
    state = clocks([treated], DAY)
    assert enter_text(state, DAY) == "2026-10-14 08:00"
    assert pick_text(state, DAY) == "2026-10-16 00:00"
    assert enter_text(state, DAY + timedelta(days=1)) == "no interval runs"
    assert pick_text(state, DAY + timedelta(days=1)) == "2026-10-16 00:00"
    assert pick_text(state, DAY + timedelta(days=2)) == "no interval runs"
    unknown = clocks([factory.treatment(MIDNIGHT, re_entry_hours=8.0)], DAY)
    assert enter_text(unknown, DAY) == "2026-10-14 08:00"
    assert pick_text(unknown, DAY) == "not known: look at the label"
    assert pick_text(Clocks(), DAY) == "no interval runs"


def test_who_picks_has_to_enter_too() -> None:
    state = clocks([factory.treatment(MIDNIGHT, re_entry_hours=48.0, pre_harvest_days=1.0)], DAY)
    assert pick_text(state, DAY) == "2026-10-16 00:00"
