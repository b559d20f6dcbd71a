"""Keys: RFC 9562 (2024) in 22 signs. The numbers behind them are checked against Python's own `uuid` and `int`."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from uuid import NAMESPACE_DNS, RFC_4122, UUID, uuid5

import pytest
from hypothesis import example, given
from hypothesis import strategies as some

from bayround.facts import ids

NUMBERS = some.integers(0, 2**128 - 1)


@given(NUMBERS, NUMBERS)
@example(0, 2**128 - 1)
@example(2**127, 2**127 + 1)
def test_a_short_key_is_the_same_number_and_comes_in_the_same_order(one: int, other: int) -> None:
    first, second = ids.short(UUID(int=one)), ids.short(UUID(int=other))
    assert len(first) == len(second) == ids.SHORT
    assert first.isascii()
    assert first.isalnum()
    assert ids.uuid_of(first) == UUID(int=one)
    assert (first < second, first == second) == (one < other, one == other)


def test_to_the_base_of_62_as_reckoned_by_hand() -> None:
    """62² = 3844: 3844·61 + 62·36 + 9 is “za9” behind nineteen noughts; signs in the order of ASCII."""
    assert ids.short(UUID(int=61 * 3844 + 36 * 62 + 9)) == "0" * 19 + "za9"
    assert ids.short(UUID(int=61 * 3844 + 35 * 62 + 10)) == "0" * 19 + "zZA"


def test_a_new_key_is_of_version_7_and_of_now() -> None:
    """RFC 9562, 5.7: version 7, variant 10, first 48 bits Unix milliseconds (counted on when many come in one)."""
    before = time.time_ns() // 1_000_000
    made = [ids.uuid_of(ids.new_id()) for _ in range(100)]
    assert {(key.version, key.variant) for key in made} == {(7, RFC_4122)}
    assert all(before - 1 <= key.int >> 80 < before + 86_400_000 for key in made)
    assert [ids.short(key) for key in made] == sorted({ids.short(key) for key in made})


def test_the_same_parts_make_the_same_key_of_version_5() -> None:
    assert ids.same_id("a", "b") == ids.same_id("a", "b") != ids.same_id("ab")
    assert ids.uuid_of(ids.same_id("a", "b")).version == 5
    example_of_python_docs = UUID("886313e1-3b8a-5372-9b90-0c9aee199e5d")  # docs.python.org, uuid, Example
    assert ids.uuid_of(ids.short(uuid5(NAMESPACE_DNS, "python.org"))) == example_of_python_docs


def key_at(moment: datetime) -> UUID:
    return UUID(int=int(moment.timestamp() * 1000) << 80)


@pytest.mark.parametrize("long_year", [2026, 2038, 2040, 2073])
def test_a_short_key_comes_after_the_long_ones_of_version_1(long_year: int) -> None:
    """Where the key breaks a tie, what was written after an upgrade is the later one."""
    long = str(key_at(datetime(long_year, 12, 31, tzinfo=UTC)))
    assert long < ids.short(key_at(datetime(2026, 1, 1, tzinfo=UTC)))


def test_where_capitals_may_not_stand_a_key_is_told_as_its_uuid() -> None:
    key = "0198c3d2-7c1a-7e0b-9a35-6d1f0c9b7a11"
    assert ids.in_small_letters(key) == ids.in_small_letters(ids.short(UUID(key))) == key
    assert ids.in_small_letters("Another") == "another"
    assert ids.in_small_letters("no key of 22 signs, no") == "no key of 22 signs, no"


def test_a_key_of_either_length_and_one_of_another_kind_begins_a_draw() -> None:
    key = UUID("0199ffff-ffff-7fff-bfff-00000000002a")
    assert ids.seed_of(str(key)) == ids.seed_of(ids.short(key)) == 42
    assert ids.seed_of("123456789") == 0xCBF43926  # the check value of CRC-32, from memory
