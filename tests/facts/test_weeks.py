"""ISO 8601 weeks, checked against Python's own calendar over a whole 400-year cycle."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bayround.facts.problems import Refused
from bayround.facts.weeks import Week, weeks_between


def test_every_day_of_the_cycle_agrees_with_the_calendar() -> None:
    """Source: ISO 8601 as in ``date.isocalendar``; 146,097 days, 71 of 400 years have 53 weeks."""
    day, long_years = date(2000, 1, 1), set()
    for _step in range(146_097):
        week = Week.of(day)
        assert (week.year, week.number) == day.isocalendar()[:2]
        if week.number == 53:
            long_years.add(week.year)
        day += timedelta(days=1)
    assert len({year for year in long_years if 2000 <= year < 2400}) == 71


@pytest.mark.parametrize(
    ("day", "text"),
    [
        (date(2026, 12, 28), "2026-W53"),
        (date(2027, 1, 1), "2026-W53"),
        (date(2027, 1, 4), "2027-W01"),
        (date(2024, 12, 30), "2025-W01"),
        (date(2021, 1, 3), "2020-W53"),
    ],
)
def test_turn_of_the_year(day: date, text: str) -> None:
    """Source: ISO 8601 rule that week 1 holds the year's first Thursday."""
    assert str(Week.of(day)) == text
    assert Week.parse(text) == Week.of(day)
    assert Week.parse(text).monday <= day <= Week.parse(text).sunday


@pytest.mark.parametrize(
    "text", ["2026-W54", "2025-W53", "2026", "W47", "2026-W00", "x", "", "٢٠٢٦-W47", "2026-W٤٧"]
)
def test_what_is_no_week_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="is not a week"):
        Week.parse(text)


def test_weeks_between_crosses_the_year() -> None:
    assert [str(week) for week in weeks_between(Week(2026, 52), Week(2027, 1))] == [
        "2026-W52",
        "2026-W53",
        "2027-W01",
    ]
