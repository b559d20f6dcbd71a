"""Randomised layouts: what the textbook asks of them, evenness of the lot, and that a seed repeats."""

from collections import Counter
from itertools import permutations

import pytest

from bayround.agronomy.trial_layout import blocks_layout, completely_randomised_layout, split_plot_layout


def test_every_treatment_once_in_every_block() -> None:
    """Randomised complete blocks (Fisher 1935)."""
    layout = blocks_layout("ABCDEF", 4, seed=11)
    assert [place.plot for place in layout] == list(range(1, 25))
    for block in range(1, 5):
        assert sorted(place.treatment for place in layout if place.block == block) == list("ABCDEF")


def test_completely_randomised_has_equal_numbers() -> None:
    layout = completely_randomised_layout("ABC", 5, seed=3)
    assert Counter(place.treatment for place in layout) == {"A": 5, "B": 5, "C": 5}
    assert {place.block for place in layout} == {None}


def test_split_plot_keeps_whole_plots_together() -> None:
    """Yates 1935: sub-plots lie side by side in their whole plot, every combination once a block."""
    layout = split_plot_layout(["G", "M", "V"], ["0", "2", "4", "6"], 6, seed=1935)
    assert len(layout) == 72
    for block in range(1, 7):
        inside = [place for place in layout if place.block == block]
        assert len({(place.whole, place.treatment) for place in inside}) == 12
        wholes = [place.whole for place in inside]
        assert all(len(set(wholes[start : start + 4])) == 1 for start in (0, 4, 8))


def test_every_order_is_equally_likely() -> None:
    """Chi-square test of 24 orders over 9,600 blocks, a seed each (scipy.stats.chisquare)."""
    from scipy.stats import chisquare

    seen: Counter[tuple[str, ...]] = Counter()
    for seed in range(4800):
        layout = blocks_layout("ABCD", 2, seed=seed)
        seen[tuple(place.treatment for place in layout[:4])] += 1
        seen[tuple(place.treatment for place in layout[4:])] += 1
    counts = [seen[order] for order in permutations("ABCD")]
    assert chisquare(counts).pvalue > 0.01


def test_a_seed_repeats_and_another_differs() -> None:
    assert blocks_layout("ABCDEFGH", 3, seed=7) == blocks_layout("ABCDEFGH", 3, seed=7)
    assert blocks_layout("ABCDEFGH", 3, seed=7) != blocks_layout("ABCDEFGH", 3, seed=8)


def test_the_draw_is_the_textbook_shuffle() -> None:
    """Knuth, The Art of Computer Programming 2, algorithm P, done by hand on Python's Mersenne Twister stream."""
    import random

    stream = random.Random(42)
    expected = list("ABCDE")
    for top in (4, 3, 2, 1):
        other = int(stream.random() * (top + 1))
        expected[top], expected[other] = expected[other], expected[top]
    assert [place.treatment for place in blocks_layout("ABCDE", 2, seed=42)[:5]] == expected


@pytest.mark.parametrize(
    "call",
    [
        lambda: blocks_layout(["A"], 3, seed=1),
        lambda: blocks_layout(["A", "A"], 3, seed=1),
        lambda: blocks_layout(["A", "B"], 1, seed=1),
        lambda: completely_randomised_layout(["A", "B"], 1, seed=1),
        lambda: split_plot_layout(["A"], ["x", "y"], 3, seed=1),
        lambda: split_plot_layout(["A", "B"], ["x"], 3, seed=1),
    ],
)
def test_layouts_without_replication_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
