"""Which treatment goes on which plot: drawn by lot, from a seed, so that the draw can be repeated.

Completely randomised, randomised complete blocks, and split plots in blocks (Fisher 1935, The Design of
Experiments). The lot is a Fisher-Yates shuffle on Python's Mersenne Twister ``random()``, whose stream
for a seed the language promises to keep.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from bayround.agronomy.inputs import whole_number

__all__ = ["PlotPlace", "blocks_layout", "completely_randomised_layout", "split_plot_layout"]

Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class PlotPlace:
    """One plot of a layout. ``plot`` counts from 1 along the walk; ``block`` from 1, None without blocks.

    whole: treatment of the whole plot the plot lies in (split plots only).
    """

    plot: int
    block: int | None
    treatment: str
    whole: str | None = None


def _shuffled(items: Sequence[Item], lot: random.Random) -> list[Item]:
    """The items in an order drawn by lot, each order equally likely (Fisher-Yates)."""
    drawn = list(items)
    for place in range(len(drawn) - 1, 0, -1):
        other = int(lot.random() * (place + 1))
        drawn[place], drawn[other] = drawn[other], drawn[place]
    return drawn


def _require_treatments(name: str, treatments: Sequence[str]) -> None:
    if len(treatments) < 2 or len(set(treatments)) != len(treatments):
        raise ValueError(f"{name} must be at least two different names, got {list(treatments)}")


def completely_randomised_layout(
    treatments: Sequence[str], replicates: int, seed: int
) -> tuple[PlotPlace, ...]:
    """Every treatment on ``replicates`` plots, all plots drawn in one lot.

    For plots that are alike. Errors: ValueError with fewer than two treatments or replicates.
    """
    _require_treatments("treatments", treatments)
    repeats = whole_number(replicates, "replicates", at_least=2)
    drawn = _shuffled(list(treatments) * repeats, random.Random(seed))
    return tuple(PlotPlace(plot, None, treatment) for plot, treatment in enumerate(drawn, start=1))


def blocks_layout(treatments: Sequence[str], blocks: int, seed: int) -> tuple[PlotPlace, ...]:
    """Every treatment once in every block, a lot of its own for each block.

    A block is a stretch of plots as alike as can be (one house, one end of it). Errors: ValueError with
    fewer than two treatments or blocks.
    """
    _require_treatments("treatments", treatments)
    lot = random.Random(seed)
    places: list[PlotPlace] = []
    for block in range(1, whole_number(blocks, "blocks", at_least=2) + 1):
        for treatment in _shuffled(treatments, lot):
            places.append(PlotPlace(len(places) + 1, block, treatment))
    return tuple(places)


def split_plot_layout(
    whole: Sequence[str], sub: Sequence[str], blocks: int, seed: int
) -> tuple[PlotPlace, ...]:
    """Whole-plot treatments drawn within each block, sub-plot treatments within each whole plot.

    Plots of one whole plot lie side by side. Errors: ValueError with fewer than two names on either
    side, or fewer than two blocks.
    """
    _require_treatments("whole", whole)
    _require_treatments("sub", sub)
    lot = random.Random(seed)
    places: list[PlotPlace] = []
    for block in range(1, whole_number(blocks, "blocks", at_least=2) + 1):
        for whole_treatment in _shuffled(whole, lot):
            for treatment in _shuffled(sub, lot):
                places.append(PlotPlace(len(places) + 1, block, treatment, whole_treatment))
    return tuple(places)
