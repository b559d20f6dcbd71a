"""Groups used again: IRAC's rule is on the group number; what is typed from labels differs in dress only."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

import factory
from bayround.jobs.mode_of_action import groups, repeated

NOW = datetime(2026, 10, 20, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("4A", {"4A"}),
        ("IRAC group 4a", {"4A"}),
        ("Group: 28", {"28"}),
        ("4A + 3A", {"4A", "3A"}),
        ("FRAC 11/3", {"11", "3"}),
        ("M 02", {"M02"}),
        ("", set()),
        ("  ", set()),
    ],
)
def test_groups_as_typed(typed: str, found: set[str]) -> None:
    assert groups(typed) == found


def test_a_group_used_before_on_this_crop_is_said_with_count_and_day() -> None:
    earlier = [
        factory.treatment(NOW - timedelta(days=days), mode_of_action_group=group)
        for days, group in ((40, "4A"), (21, "IRAC 4A"), (7, "28"))
    ]
    (told,) = repeated("House · Bay 1", "4a", NOW, earlier, NOW - timedelta(days=60))
    assert told.startswith("House · Bay 1: group 4A again; 2 treatments of this crop")
    assert "2026-09-29 (21 days earlier)" in told
    assert repeated("Bay", "9B", NOW, earlier) == ()


def test_earlier_crops_and_later_treatments_do_not_count() -> None:
    earlier = [
        factory.treatment(NOW - timedelta(days=90), mode_of_action_group="4A"),
        factory.treatment(NOW + timedelta(days=1), mode_of_action_group="4A"),
    ]
    assert repeated("Bay", "4A", NOW, earlier, NOW - timedelta(days=60)) == ()
