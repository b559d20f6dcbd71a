"""Which backups stay: all for two days, then the last of 12 days, of 10 weeks, of 9 months."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from bayround.facts.weeks import Week
from bayround.records import placing, problems
from bayround.records.backup import Backup, is_good, list_backups

KEEP_ALL = timedelta(days=2)
DAYS, WEEKS, MONTHS = 12, 10, 9
_UNFINISHED_FOR = timedelta(days=1)


def rotate(folder: Path, now: datetime) -> tuple[Path, ...]:
    """Remove the backups in *folder* that no rule keeps, and return them.

    Raises:
        FarmFileProblem: when a file can't be removed.
    """
    backups = list_backups(folder)
    keep = kept(backups, now, cache(is_good))
    surplus = tuple(backup.path for backup in backups if backup not in keep)
    with problems.disk_in_words(folder):
        for path in surplus:
            path.unlink(missing_ok=True)
        for left in folder.glob(placing.UNFINISHED + "*") if folder.is_dir() else ():
            if left.stat().st_mtime < (now - _UNFINISHED_FOR).timestamp():
                left.unlink(missing_ok=True)
    return surplus


def kept(backups: Iterable[Backup], now: datetime, good: Callable[[Path], bool]) -> set[Backup]:
    """Return which of *backups* stay.

    All of the last two days stay (and any from the future: a clock was wrong). Of the older ones the
    newest sound one a day stays for the last 12 days that have any, then a week, then a month. The
    newest and the oldest sound one always stay. Periods without backups don't count, so a laptop that
    lay in a drawer loses nothing. Where none is sound, none is removed.
    """
    newest_first = sorted(backups, key=lambda backup: (backup.made_at, backup.revision), reverse=True)
    old = [backup for backup in newest_first if now - backup.made_at > KEEP_ALL]
    keep = set(newest_first) - set(old)
    rest = old
    for period, count in ((_day, DAYS), (_week, WEEKS), (_month, MONTHS)):
        rest, chosen = _last_of_each(rest, period, count, good)
        keep |= chosen
    if keep == set(newest_first):
        return keep
    for ordered in (newest_first, newest_first[::-1]):
        best = next((backup for backup in ordered if good(backup.path)), None)
        keep |= {best} if best else set(newest_first)
    return keep


def _last_of_each(
    newest_first: list[Backup],
    period: Callable[[Backup], Hashable],
    count: int,
    good: Callable[[Path], bool],
) -> tuple[list[Backup], set[Backup]]:
    """Return the backups older than the last *count* periods, and those that stay of these periods."""
    periods: dict[Hashable, list[Backup]] = {}
    for backup in newest_first:
        periods.setdefault(period(backup), []).append(backup)
    chosen: set[Backup] = set()
    for members in list(periods.values())[:count]:
        # one alone stays without being opened: most days have but one
        best = members[0] if len(members) == 1 else next((one for one in members if good(one.path)), None)
        chosen |= {best} if best else set(members)
    older = [backup for members in list(periods.values())[count:] for backup in members]
    return older, chosen


def _day(backup: Backup) -> Hashable:
    return backup.made_at.date()


def _week(backup: Backup) -> Hashable:
    return Week.of(backup.made_at.date())


def _month(backup: Backup) -> Hashable:
    return backup.made_at.year, backup.made_at.month
