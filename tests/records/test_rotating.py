"""Which backups stay. Checked against the rule in words: all of 2 days, 12 days, 10 weeks, 9 months."""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from file_tricks import names, overwrite
from hypothesis import given, settings
from hypothesis import strategies as some

from bayround.records import placing
from bayround.records.backup import Backup, back_up, list_backups, restore
from bayround.records.rotation import KEEP_ALL, kept, rotate
from bayround.records.store import Store

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def made(moments: Iterable[datetime]) -> list[Backup]:
    return [Backup(Path(f"{n}"), "Hill", moment, n, 0) for n, moment in enumerate(moments)]


def test_a_year_of_one_backup_a_day() -> None:
    """Reckoned by hand with a calendar of 2026; NOW is Wednesday 25 November."""
    backups = made(NOW - timedelta(days=age) for age in range(365))
    two_days = ["2026-11-25", "2026-11-24", "2026-11-23"]
    twelve_days = [f"2026-11-{day}" for day in range(22, 10, -1)]
    ten_weeks = [  # Tuesday is the first day left of its week, the others are Sundays
        "2026-11-10", "2026-11-08", "2026-11-01", "2026-10-25", "2026-10-18", "2026-10-11", "2026-10-04",
        "2026-09-27", "2026-09-20", "2026-09-13",
    ]  # fmt: skip
    nine_months = [  # the weeks have used up September from the 7th on
        "2026-09-06", "2026-08-31", "2026-07-31", "2026-06-30", "2026-05-31", "2026-04-30", "2026-03-31",
        "2026-02-28", "2026-01-31",
    ]  # fmt: skip
    found = kept(backups, NOW, lambda path: True)
    days = sorted((backup.made_at.date().isoformat() for backup in found), reverse=True)
    assert days == [*two_days, *twelve_days, *ten_weeks, *nine_months, "2025-11-26"]  # and the oldest


def test_every_half_hour_for_a_week() -> None:
    backups = made(NOW - timedelta(minutes=30 * step) for step in range(7 * 48))
    found = kept(backups, NOW, lambda path: True)
    recent = [backup for backup in backups if NOW - backup.made_at <= KEEP_ALL]
    assert len(recent) == 97
    older = found - set(recent)
    assert sorted((backup.made_at for backup in older), reverse=True) == [
        datetime(2026, 11, 23, 11, 30, tzinfo=UTC),
        *(datetime(2026, 11, day, 23, 30, tzinfo=UTC) for day in (22, 21, 20, 19, 18)),
        min(backup.made_at for backup in backups),  # the oldest of all
    ]


def test_a_laptop_in_a_drawer_loses_nothing() -> None:
    backups = made(datetime(2025, 3, day, 12, tzinfo=UTC) for day in range(1, 13))
    assert kept(backups, NOW, lambda path: True) == set(backups)


def test_a_clock_that_was_wrong_costs_nothing() -> None:
    backups = made([datetime(2035, 1, 1, tzinfo=UTC), NOW])
    assert kept(backups, NOW, lambda path: True) == set(backups)


moments = some.lists(
    some.integers(-24 * 5, 24 * 900).map(lambda hours: NOW - timedelta(hours=hours)), max_size=80
)


@given(moments, some.randoms(use_true_random=False), some.sampled_from([0.0, 0.3, 1.0]))
@settings(max_examples=150, deadline=None)
def test_what_must_hold_of_any_backups(times: list[datetime], chance: object, spoilt: float) -> None:
    backups = made(times)
    sound = {backup.path: chance.random() >= spoilt for backup in backups}  # type: ignore[attr-defined]
    found = kept(backups, NOW, sound.__getitem__)
    good = sorted((b for b in backups if sound[b.path]), key=lambda b: (b.made_at, b.revision))
    assert found <= set(backups)
    assert {b for b in backups if NOW - b.made_at <= KEEP_ALL} <= found
    if good:
        assert {good[0], good[-1]} <= found
    else:
        assert found == set(backups)
    old = [b for b in backups if NOW - b.made_at > KEEP_ALL]
    for day in sorted({b.made_at.date() for b in old}, reverse=True)[:12]:
        of_day = [b for b in good if b in old and b.made_at.date() == day]
        assert not of_day or of_day[-1] in found
    if spoilt == 0.0:
        assert len(found & set(old)) <= 12 + 10 + 9 + 1
    assert kept(found, NOW, sound.__getitem__) == found  # doing it again removes nothing


@given(moments)
@settings(max_examples=100, deadline=None)
def test_no_flood_of_new_backups_pushes_an_old_one_out(times: list[datetime]) -> None:
    """After a restore many new backups come quickly (a known way to lose the oldest good one)."""
    backups = made(times)
    before = kept(backups, NOW, lambda path: True)
    flood = [Backup(Path(f"new{n}"), "Hill", NOW + timedelta(seconds=n), 0, 0) for n in range(40)]
    assert before <= kept([*before, *flood], NOW, lambda path: True)


def test_files_are_removed_and_a_spoilt_one_does_not_stand_in_for_a_sound_one(
    stocked: Store, tmp_path: Path
) -> None:
    folder = tmp_path / "kept"
    old = NOW - timedelta(days=10)
    early, middle, late = (back_up(stocked, folder, old + timedelta(hours=n)) for n in range(3))
    first = back_up(stocked, folder, old - timedelta(days=90))
    newest = back_up(stocked, folder, NOW)
    overwrite(late, 5 * 4096, os.urandom(4096))
    left, fresh = folder / f"{placing.UNFINISHED}left", folder / f"{placing.UNFINISHED}fresh"
    left.touch()
    fresh.touch()
    os.utime(left, times=((NOW - timedelta(days=2)).timestamp(),) * 2)
    os.utime(fresh, times=(NOW.timestamp(),) * 2)
    assert set(rotate(folder, NOW)) == {early, late}
    assert names(folder) == {first.name, middle.name, newest.name, fresh.name}
    assert rotate(folder, NOW) == ()


def test_an_empty_or_missing_folder(tmp_path: Path) -> None:
    assert rotate(tmp_path / "nowhere", NOW) == ()
    assert rotate(tmp_path, NOW) == ()


def test_restoring_and_rotating_keeps_the_oldest(stocked: Store, tmp_path: Path, farm_path: Path) -> None:
    folder = tmp_path / "kept"
    oldest = back_up(stocked, folder, NOW - timedelta(days=400))
    back_up(stocked, folder, NOW - timedelta(days=30))
    stocked.close()
    restore(oldest, farm_path)
    rotate(folder, NOW)
    assert oldest in {backup.path for backup in list_backups(folder)}


def test_the_two_days_end_to_the_minute() -> None:
    minutes = (0, 48 * 60 - 1, 48 * 60, 48 * 60 + 1, 48 * 60 + 2, 9 * 24 * 60)
    backups = made(NOW - timedelta(minutes=age) for age in minutes)
    assert kept(backups, NOW, lambda path: True) == set(backups) - {backups[4]}
