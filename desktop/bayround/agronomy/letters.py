"""Letters behind means: two treatments share a letter exactly when they do not differ significantly.

Insert-and-absorb with a final sweep: Piepho 2004, Journal of Computational and Graphical Statistics
13:456-466.
"""

from collections.abc import Collection, Hashable, Sequence
from itertools import combinations
from string import ascii_lowercase, ascii_uppercase
from typing import TypeVar

__all__ = ["compact_letters", "letter_groups"]

Name = TypeVar("Name", bound=Hashable)

_ALPHABET = ascii_lowercase + ascii_uppercase


def _absorb(columns: list[frozenset[int]]) -> list[frozenset[int]]:
    """Drop every column that another holds whole, keeping the first of equals."""
    kept: list[frozenset[int]] = []
    for column in sorted(columns, key=len, reverse=True):
        if not any(column <= other for other in kept):
            kept.append(column)
    return kept


def _pairs(column: Collection[int]) -> set[tuple[int, int]]:
    return set(combinations(sorted(column), 2))


def _sweep(columns: list[frozenset[int]], count: int) -> list[frozenset[int]]:
    """Take out each letter that says nothing: its pairs, and its treatment, stand in other columns."""
    swept = [set(column) for column in columns]
    for place, column in enumerate(swept):
        others = [other for index, other in enumerate(swept) if index != place]
        told = set().union(*(_pairs(other) for other in others)) if others else set()
        lettered = set().union(*others) if others else set()
        for treatment in range(count):
            mine = {pair for pair in _pairs(column) if treatment in pair}
            if treatment in column and treatment in lettered and mine <= told:
                column.discard(treatment)
    return [frozenset(column) for column in swept if column]


def _column_sets(count: int, significant: set[tuple[int, int]]) -> list[frozenset[int]]:
    columns = [frozenset(range(count))]
    for first, second in sorted(significant):
        split: list[frozenset[int]] = []
        for column in columns:
            if first in column and second in column:
                split += [column - {first}, column - {second}]
            else:
                split.append(column)
        columns = _absorb(split)
    return _sweep(columns, count)


def letter_groups(
    names: Sequence[Name], significant_pairs: Collection[tuple[Name, Name]]
) -> tuple[frozenset[Name], ...]:
    """Groups of names that share a letter, the group of the foremost name first.

    ``names``: the treatments in the order the letters should follow (highest mean first, as a rule);
    ``significant_pairs``: the pairs that differ, either way round.
    Errors: ValueError when a name stands twice, a pair names an unknown treatment or one with itself.
    """
    if len(set(names)) != len(names):
        raise ValueError("each treatment may stand only once in names")
    place = {name: index for index, name in enumerate(names)}
    significant: set[tuple[int, int]] = set()
    for first, second in significant_pairs:
        if first not in place or second not in place or first == second:
            raise ValueError(f"({first!r}, {second!r}) is not a pair of two treatments in names")
        low, high = sorted((place[first], place[second]))
        significant.add((low, high))
    columns = _column_sets(len(names), significant) if names else []
    return tuple(frozenset(names[index] for index in column) for column in sorted(columns, key=sorted))


def compact_letters(
    names: Sequence[Name], significant_pairs: Collection[tuple[Name, Name]]
) -> dict[Name, str]:
    """The letters of each treatment, such as ``{"A": "a", "B": "ab", "C": "b"}``.

    Arguments and errors as `letter_groups`; ValueError too when more than 52 letters would be needed.
    """
    groups = letter_groups(names, significant_pairs)
    if len(groups) > len(_ALPHABET):
        raise ValueError(f"{len(groups)} letters are needed, only {len(_ALPHABET)} exist: compare fewer")
    return {
        name: "".join(letter for letter, group in zip(_ALPHABET, groups, strict=False) if name in group)
        for name in names
    }
