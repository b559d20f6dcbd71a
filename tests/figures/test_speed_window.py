"""The window's benchmark measures what it says: five years are five years, a limit passed is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

from bayround.actions import sample
from bayround.facts.bay_past import gather
from benchmarks import LAST_DAY
from benchmarks_window import Took, WindowTimes, five_years

LIMITS = WindowTimes(
    bay_first=Took(500, 500),
    bay=Took(100, 900),
    week=Took(300, 900),
    key_p95=Took(50, 90),
    key_median=Took(2, 2),
    start=Took(3000, 9000),
    start_week=Took(3500, 9000),
    start_bare=Took(1000, 2000),
)


def test_five_years_are_five_plantings_of_weekly_visits() -> None:
    season, bay_id = five_years(sample.season_facts(), "S7", years=2, visits=10)
    visits = [visit for visit in season.visits if visit.bay_id == bay_id]
    assert len(visits) == 20
    days = sorted(visit.visited_on for visit in visits)
    assert {later - earlier for earlier, later in pairwise(days)} == {timedelta(weeks=1)}
    assert days[-1] == LAST_DAY
    past = next(one for one in gather(season, LAST_DAY) if one.bay.id == bay_id)
    assert len(past.visits) == 10
    assert all(len(record.readings) == 10 for record in past.visits)


def test_what_takes_longer_than_its_limit_is_told() -> None:
    assert LIMITS.within
    slow = Took(3001, 1)
    for name in ("bay", "week", "key_p95", "start"):
        assert not replace(LIMITS, **{name: slow}).within
    assert "3.00 times" in LIMITS.report()
