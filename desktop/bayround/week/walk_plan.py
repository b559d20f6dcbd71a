"""Which plants to mark: spread over the rows from a random start; a seed draws the same ones again."""

from __future__ import annotations

from bayround.agronomy import walking
from bayround.facts.farm import Bay, Planting


def places(
    bay: Bay, planting: Planting, wanted: int, seed: int, taken: set[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Return *wanted* (row, position) places in walking order, none of them *taken*.

    Plants are taken to stand evenly in the rows; a place already marked moves on to the next free one.
    """
    base, extra = divmod(planting.plants, bay.rows)
    per_row = [base + (1 if row < extra else 0) for row in range(bay.rows)]
    used = set(taken)
    found = []
    for stop in walking.plan_walk(per_row, wanted, seed):
        place = _next_free(stop.row, stop.position, per_row, used)
        used.add(place)
        found.append(place)
    return found


def _next_free(row: int, position: int, per_row: list[int], used: set[tuple[int, int]]) -> tuple[int, int]:
    total = sum(per_row)
    for _step in range(total):
        if (row, position) not in used:
            return row, position
        position += 1
        while position > per_row[row - 1]:
            position = 1
            row = row % len(per_row) + 1
    raise ValueError("Every plant of this planting is marked already.")
