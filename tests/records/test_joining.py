"""Merging is order-free and repeatable, loses nothing, and decides no conflict by itself: generated histories.

The three laws are those of a join semilattice (Shapiro, Preguica, Baquero and Zawirski 2011,
"Conflict-free replicated data types", INRIA RR-7687, section 2.3): commutative, associative, idempotent.
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from laptops import DAY, Laptop, act, plain, small_farm, values_somewhere

from bayround.facts.work import ClimateDay
from bayround.records.conflicts import conflicts_of
from bayround.records.farm_state import FarmState
from bayround.records.joining import join

STEP = st.tuples(st.integers(0, 3), st.integers(0, 10), st.integers(0, 5), st.integers(0, 3))
HISTORIES = st.tuples(st.integers(2, 4), st.lists(STEP, min_size=1, max_size=14))
BY_THE_PROGRAM = {"revision", "finished_at", "started_at", "id", "state", "visit_id"}


def played(history: tuple[int, list[tuple[int, int, int, int]]]) -> list[FarmState]:
    """Play a history: steps on one laptop or another, now and then one merges another's file."""
    number, steps = history
    first = small_farm()
    laptops: list[Laptop] = [first.copy(str(name)) for name in range(1, number + 1)]
    for who, what, value, other in steps:
        if what == 10:
            laptops[who % number].merge(laptops[other % number])
        else:
            act(laptops[who % number], what, value)
    return [laptop.settle() for laptop in laptops]


@settings(max_examples=1000, deadline=None, derandomize=True, database=None)
@given(HISTORIES)
def test_order_and_repetition_do_not_matter_and_nothing_is_lost(
    history: tuple[int, list[tuple[int, int, int, int]]],
) -> None:
    states = played(history)
    a, b, c = (*states, *states)[:3]
    ab = join(a, b)
    assert plain(ab) == plain(join(b, a))
    assert plain(join(ab, c)) == plain(join(a, join(b, c)))
    assert plain(join(ab, b)) == plain(ab) == plain(join(ab, ab))
    everything = states[0]
    for state in states[1:]:
        everything = join(everything, state)
    kept = values_somewhere(everything)
    for state in states:
        lost = values_somewhere(state) - kept
        assert {one for one in lost if one[1] not in BY_THE_PROGRAM and one[2]} == set()


def test_fields_changed_apart_are_both_kept() -> None:
    first = small_farm()
    one, other = first.copy("1"), first.copy("2")
    one.correct("house", "house", "length_m", 41.0)
    other.correct("house", "house", "note", "torn")
    one.merge(other)
    assert (one.value("house", "house", "length_m"), one.value("house", "house", "note")) == (41.0, "torn")
    assert conflicts_of(one.state) == ()


def test_a_value_that_was_seen_and_changed_gives_way() -> None:
    one = small_farm()
    other = one.copy("2")
    other.correct("reading", "reading-2", "height_cm", 120.0)
    one.merge(other)
    assert one.value("reading", "reading-2", "height_cm") == 120.0
    assert conflicts_of(one.state) == ()


def test_changed_back_is_a_change_too() -> None:
    first = small_farm()
    one, other = first.copy("1"), first.copy("2")
    one.correct("reading", "reading-2", "height_cm", 120.0)
    one.correct("reading", "reading-2", "height_cm", 100.0)
    other.correct("reading", "reading-2", "height_cm", 130.0)
    one.merge(other)
    (conflict,) = conflicts_of(one.state)
    assert conflict.values == ("100.0", "130.0")


def test_the_same_field_changed_on_both_is_never_decided_by_the_program() -> None:
    first = small_farm()
    one, other = first.copy("1"), first.copy("2")
    one.correct("reading", "reading-2", "height_cm", 120.0)
    other.correct("reading", "reading-2", "height_cm", 130.0)
    third = other.copy("3")
    one.merge(other)
    (conflict,) = conflicts_of(one.state)
    assert (conflict.row_id, conflict.field, conflict.values) == (
        "reading-2",
        "height_cm",
        ("120.0", "130.0"),
    )
    one.merge(third)
    assert conflicts_of(one.state) == (conflict,)
    one.decide()
    assert conflicts_of(one.state) == ()
    one.merge(third)  # the file from before the decision brings nothing new
    assert conflicts_of(one.state) == ()
    assert one.value("reading", "reading-2", "height_cm") == 130.0


def test_a_draft_typed_on_both_keeps_both_values() -> None:
    first = small_farm()
    one, other = first.copy("1"), first.copy("2")
    one.type_over("reading", "reading", "height_cm", 101.0)
    other.type_over("reading", "reading", "height_cm", 102.0)
    other.type_over("reading", "reading", "flowers", 3.0)
    one.merge(other)
    (conflict,) = conflicts_of(one.state)
    assert conflict.values == ("101.0", "102.0")
    assert one.value("reading", "reading", "flowers") == 3.0
    assert one.state.beside == {("reading", "reading", "height_cm"): frozenset({"102.0"})}


def test_one_bay_of_one_round_keyed_twice_is_one_visit() -> None:
    first = small_farm()
    one, other = first.copy("1"), first.copy("2")
    act(one, 7, 0)
    act(other, 7, 1)
    one.merge(other)
    assert sorted(one.state.rows["visit"]) == ["done", "draft", "visit-1-1"]
    assert one.state.became == {"visit-2-1": "visit-1-1", "reading-2-2": "reading-1-2"}
    (conflict,) = conflicts_of(one.state)
    assert (conflict.row_id, conflict.values) == ("reading-1-2", ("100.0", "101.0"))


def test_what_was_taken_out_stays_out_unless_it_was_changed_elsewhere() -> None:
    first = small_farm()
    one, other, third = first.copy("1"), first.copy("2"), first.copy("3")
    one.remove_weed("weed")
    third.type_over("weed_note", "weed", "cover_percent", 50.0)
    one.merge(other)
    assert one.state.rows["weed_note"] == {}
    one.merge(third)
    assert one.value("weed_note", "weed", "cover_percent") == 50.0


def test_of_values_that_differ_the_shown_ones_go_together() -> None:
    """As texts 13.0 comes before 9.5 and 12.0 before 25.0: a lowest of 13 above a highest of 12 can't be kept."""
    first = small_farm()
    one, other = first.copy("1"), first.copy("2")
    one.put(ClimateDay("day-1", "house", DAY, 9.5, 11.0))
    one.correct("climate_day", "day-1", "high_c", 12.0)
    other.put(ClimateDay("day-2", "house", DAY, 13.0, 25.0))
    joined = join(one.settle(), other.settle())
    (row,) = joined.rows["climate_day"].values()
    day = ClimateDay(*row)
    assert (day.low_c, day.high_c) == (13.0, 25.0)
    found = {item.field: item.values for item in conflicts_of(joined)}
    assert found == {"low_c": ("13.0", "9.5"), "high_c": ("25.0", "12.0")}
    assert plain(join(joined, other.settle())) == plain(joined) == plain(join(other.settle(), one.settle()))
    assert plain(join(joined, joined)) == plain(joined)
