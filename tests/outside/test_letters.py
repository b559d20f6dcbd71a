"""Letters against published displays, and against scikit-posthocs."""

from itertools import combinations

import numpy as np
import pytest

from bayround.agronomy.anova import fit_layout
from bayround.agronomy.comparisons import significant_pairs, tukey_comparisons
from bayround.agronomy.letters import compact_letters, letter_groups
from published_trials import INSECT_SPRAYS, long_form


def tukey_pairs(values: list[float], treatments: list[str]) -> tuple[tuple[str, str], ...]:
    fit = fit_layout(values, treatments)
    error = fit.error_line
    return significant_pairs(
        tukey_comparisons(
            fit.treatments,
            fit.means,
            fit.mean_covariance,
            error_mean_square=error.mean_square,
            error_degrees=error.degrees_of_freedom,
        )
    )


def test_first_example_of_piepho() -> None:
    """Piepho 2004, example 1 (in scikit-posthocs's tests): pairs (0,1) (0,2) (0,3) (1,3) give a | b | bc | c."""
    found = compact_letters([0, 1, 2, 3], [(0, 1), (0, 2), (0, 3), (1, 3)])
    assert found == {0: "a", 1: "b", 2: "bc", 3: "c"}


def test_insect_sprays() -> None:
    """R multcompView: raw counts {A,B,F} {C,D,E}; square roots {A,B,F} {D,E} {C,E} (A a, B a, C b, D c, E bc, F a)."""
    values, treatments = long_form(INSECT_SPRAYS)
    raw = letter_groups("FBADEC", tukey_pairs(values, treatments))
    assert raw == (frozenset("FBA"), frozenset("DEC"))
    root = letter_groups("FBADEC", tukey_pairs([value**0.5 for value in values], treatments))
    assert set(root) == {frozenset("FBA"), frozenset("DE"), frozenset("EC")}
    letters = compact_letters("FBADEC", tukey_pairs([value**0.5 for value in values], treatments))
    assert letters == {"F": "a", "B": "a", "A": "a", "D": "b", "E": "bc", "C": "c"}


def test_none_and_all_different() -> None:
    assert compact_letters("ABC", []) == {"A": "a", "B": "a", "C": "a"}
    assert compact_letters("ABC", list(combinations("ABC", 2))) == {"A": "a", "B": "b", "C": "c"}
    assert compact_letters([], []) == {}


def random_pairs(source: np.random.Generator, count: int) -> list[tuple[int, int]]:
    chance = source.uniform(0, 1)
    return [pair for pair in combinations(range(count), 2) if source.random() < chance]


def test_letters_say_exactly_what_differs_on_2000_random_matrices() -> None:
    """The property that defines the display (Piepho 2004): a shared letter if and only if not different."""
    source = np.random.default_rng(2004)
    for _ in range(2000):
        count = int(source.integers(2, 11))
        pairs = random_pairs(source, count)
        letters = compact_letters(range(count), pairs)
        assert all(letters.values())
        for first, second in combinations(range(count), 2):
            shared = bool(set(letters[first]) & set(letters[second]))
            assert shared is ((first, second) not in pairs)


def test_no_letter_is_idle_on_1000_random_matrices() -> None:
    """The final sweep (Piepho 2004): taking any one letter off any treatment would lose a pair or leave it bare."""
    source = np.random.default_rng(456)
    for _ in range(1000):
        count = int(source.integers(2, 9))
        letters = compact_letters(range(count), random_pairs(source, count))
        for treatment, own in letters.items():
            others = [set(each) for other, each in letters.items() if other != treatment]
            for letter in own:
                rest = set(own) - {letter}
                assert not rest or any(letter in each and not rest & each for each in others)


def test_never_more_letters_than_scikit_posthocs() -> None:
    """Second implementation: scikit-posthocs 0.17's insert-and-absorb on 100 random matrices."""
    import pandas as pd
    from scikit_posthocs import compact_letter_display

    source = np.random.default_rng(56)
    for _ in range(100):
        count = int(source.integers(3, 9))
        pairs = random_pairs(source, count)
        names = [f"t{place}" for place in range(count)]
        p_values = pd.DataFrame(1.0, index=names, columns=names)
        for first, second in pairs:
            p_values.iloc[first, second] = p_values.iloc[second, first] = 0.001
        theirs = compact_letter_display(p_values, alpha=0.05)
        mine = compact_letters(names, [(names[first], names[second]) for first, second in pairs])
        assert len(set("".join(mine.values()))) <= len(set("".join(theirs.astype(str))))


@pytest.mark.parametrize(
    ("names", "pairs"),
    [(["A", "A"], []), (["A", "B"], [("A", "C")]), (["A", "B"], [("A", "A")])],
)
def test_impossible_input_is_refused(names: list[str], pairs: list[tuple[str, str]]) -> None:
    with pytest.raises(ValueError):
        compact_letters(names, pairs)


def test_more_letters_than_there_are_is_said() -> None:
    with pytest.raises(ValueError, match="53 letters"):
        compact_letters(range(53), list(combinations(range(53), 2)))
