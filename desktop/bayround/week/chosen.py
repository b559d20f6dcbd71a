"""How the marked plants of a bay were chosen, in words; sheets and screens say the same."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bayround import words
from bayround.facts.farm import MarkedPlant, PlantChoice
from bayround.words import _

ASIDE_SIGN = "◇"
"""Stands beside a plant that was chosen for what was seen on it."""


def seeds_of(choices: Iterable[PlantChoice]) -> tuple[int, ...]:
    """Return the seeds with which plants were drawn."""
    return tuple(sorted({one.seed for one in choices if one.seed is not None}))


def in_words(seeds: Sequence[int], aside: frozenset[str], plants: Iterable[MarkedPlant]) -> tuple[str, ...]:
    """Return with which seed the plants were drawn, and which of them stand aside from the means."""
    said = []
    if seeds:
        said.append(_("drawn with seed {seeds}").format(seeds=words.listing([str(seed) for seed in seeds])))
    numbers = [str(plant.number) for plant in plants if plant.id in aside]
    if numbers:
        said.append(_("in no mean: {plants}").format(plants=words.listing(numbers)))
    return tuple(said)
