"""Which corrections a closed workbook knew of: by the chain it carries, also after laptops were merged."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from bayround.facts import chain
from bayround.facts.farm import FarmInfo
from bayround.facts.kept import MergedHistory
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Correction, WeekClose
from bayround.week import corrected


def entry(key: str, hour: int) -> Correction:
    at = datetime(2026, 11, 24, hour, tzinfo=UTC)
    return Correction(key, "reading", "r", "height_cm", "100.0", "104.0", None, at, "misread")


def linked(entries: list[Correction]) -> tuple[Correction, ...]:
    return tuple(replace(one, chain=made) for one, made in zip(entries, chain.heads(entries)))


A, B, C, D = entry("a", 8), entry("b", 9), entry("c", 10), entry("d", 12)


def season(entries: list[Correction], *merged: list[Correction]) -> SeasonFacts:
    histories = [
        MergedHistory(str(place), len(one), chain.reckon(one), json.dumps([entry.id for entry in one]))
        for place, one in enumerate(merged)
    ]
    farm = FarmInfo("farm", "Farm")
    return SeasonFacts(farm, corrections=linked(entries), merged_histories=tuple(histories))


def close(head: str | None, hour: int = 11) -> WeekClose:
    at = datetime(2026, 11, 24, hour, tzinfo=UTC)
    return WeekClose("close", "2026-W47", at, 7, "digest", chain_head=head)


@pytest.mark.parametrize(
    ("history", "merged", "knew", "later"),
    [
        ([A, B, C], [], [A, B, C], []),
        ([A, B, C], [], [A, B], [C]),
        ([A, B, C], [], [], [A, B, C]),
        # Closed on the other laptop, which knew a and c; b was made here before the closing and is listed.
        ([A, B, C, D], [[A, C, D]], [A, C], [B, D]),
        ([B, A, C], [[A, C]], [A, C], [B]),
    ],
)
def test_what_the_workbook_did_not_know_of(history, merged, knew, later):
    found = corrected.since(season(history, *merged), close(chain.reckon(knew)))
    assert [one.id for one in found] == [one.id for one in later]


def test_a_close_of_an_early_version_goes_by_the_clock():
    found = corrected.since(season([A, B, C, D]), close(None))
    assert [one.id for one in found] == ["d"]


def test_a_head_that_no_chain_has_is_told_apart_from_an_empty_one():
    assert corrected.entries_up_to(season([A]), "0" * 64) is None
    assert corrected.entries_up_to(season([A]), "") == frozenset()
