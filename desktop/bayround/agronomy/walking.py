"""Which plants to walk to: a grid with a random start, spread over the rows, in the order it is walked.

Every plant of the bay has the same chance to be on the list, so the plain mean is unbiased. The zigzag is
only the order of the walk, never the choice of the plants: a fixed W or diagonal has no error bar.
"""

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from bayround.agronomy.inputs import whole_number

_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


@dataclass(frozen=True, slots=True)
class Stop:
    """One plant to visit: ``position`` along ``row``, both counted from 1."""

    row: int
    position: int


def systematic_positions(length: int, wanted: int, start: float) -> list[int]:
    """Positions at a fractional interval: floor(start + i·length/wanted) + 1, within 1..length.

    ``start`` lies in [0, length/wanted); drawn evenly from there it gives every position the chance
    wanted/length. Positions never repeat. (Fractional interval method: Särndal, Swensson & Wretman 1992,
    Model Assisted Survey Sampling, ch. 3; from memory.) Raises ValueError when more are wanted than there are
    or start is outside.
    """
    whole_number(length, "length")
    if whole_number(wanted, "wanted") > length:
        raise ValueError(f"{wanted} wanted of {length}")
    if wanted == 0:
        return []
    if not 0.0 <= start < length / wanted:
        raise ValueError(f"start must lie in [0, {length / wanted}), not {start}")
    first = min(int(start * wanted), length - 1)
    return [(first + step * length) // wanted + 1 for step in range(wanted)]


def row_quotas(plants_per_row: Sequence[int], wanted: int, start: float) -> list[int]:
    """How many plants to take in each row: its share of ``wanted``, rounded down or up by the random start.

    ``start`` in [0, 1). Every quota lies within one of its exact share and they sum to ``wanted``. Raises
    ValueError for a negative row, or when more plants are wanted than stand in the rows.
    """
    sizes = [whole_number(size, "plants in a row") for size in plants_per_row]
    total = sum(sizes)
    if whole_number(wanted, "wanted") > total:
        raise ValueError(f"{wanted} plants wanted, {total} stand in the rows")
    if not 0.0 <= start < 1.0:
        raise ValueError(f"start must lie in [0, 1), not {start}")
    quotas = [0] * len(sizes)
    if wanted == 0:
        return quotas
    ends = list(accumulate(sizes))
    row = 0
    for place in systematic_positions(total, wanted, start * total / wanted):
        while ends[row] < place:
            row += 1
        quotas[row] += 1
    return quotas


def plan_walk(plants_per_row: Sequence[int], wanted: int, seed: int) -> tuple[Stop, ...]:
    """A grid with random start over the rows of a bay, in walking order: up one visited row, down the next.

    ``plants_per_row`` has one entry a row (0 for an empty row); ``wanted`` plants are chosen. Each row gets
    its share within one plant; within a row the stops are evenly spaced; the starts of neighbouring rows are
    staggered by the golden section so that stops do not line up across rows. Every plant has the chance
    wanted/plants to be chosen. The same seed always gives the same walk; keep the seed and the list. Raises
    ValueError when more plants are wanted than there are.
    """
    draw = random.Random(whole_number(seed, "seed"))
    row_start, position_start = draw.random(), draw.random()
    stops: list[Stop] = []
    visited = 0
    for row, quota in enumerate(row_quotas(plants_per_row, wanted, row_start), start=1):
        if quota == 0:
            continue
        length = plants_per_row[row - 1]
        stagger = (position_start + visited * _GOLDEN) % 1.0
        stops.extend(
            Stop(row, position) for position in systematic_positions(length, quota, stagger * length / quota)
        )
        visited += 1
    return walking_order(stops)


def walking_order(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    """The stops row by row, the visited rows alternately up and down (boustrophedon)."""
    by_row: dict[int, list[Stop]] = {}
    for stop in sorted(stops, key=lambda stop: (stop.row, stop.position)):
        by_row.setdefault(stop.row, []).append(stop)
    ordered: list[Stop] = []
    for visited, row in enumerate(by_row.values()):
        ordered.extend(row if visited % 2 == 0 else reversed(row))
    return tuple(ordered)
