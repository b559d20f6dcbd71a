"""A tiny run of the ten years; the real one is `python -m tests.benchmarks --ten-years`."""

from __future__ import annotations

from ten_years import Times, measure


def test_the_ten_years_can_be_measured() -> None:
    told, *found = measure(bays=2, weeks=60, runs=1)
    assert str(told).startswith("1200 readings")
    assert [row.name for row in found if isinstance(row, Times)] == ["open", "open after a crash", "backup"]
